#pragma once

#include "horn/note.h"
#include "horn/tuning.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace bellhand::horn {

/// How far the right hand closes the bell.
enum class Hand { open, quarter, half, three_quarters, full };

[[nodiscard]] const char*
hand_id(Hand hand) noexcept; ///< "open", "quarter", "half", "three-quarters", "full"
[[nodiscard]] const char*
hand_sign(Hand hand) noexcept; ///< the trade's sign: "o", "¼", "½", "¾", "+"
[[nodiscard]] const char*
hand_label(Hand hand) noexcept; ///< "open", "quarter", "half", "three-quarters", "full stop"

/// One way to play a written note.
struct HandWay {
    int partial = 4; ///< 1..24, the natural note it is bent from
    Hand hand = Hand::open;
    Hand hand_to =
        Hand::open; ///< upper end where practice gives a range ("¾ to +"), else equal to `hand`
    double shift_cents = 0.0; ///< from the natural partial to equal temperament, negative = lower
    bool hand_out = false;    ///< open with the hand drawn back
    bool lip = false;         ///< the lips supply part of it (factitious notes)
    bool poor = false;        ///< known to be poor or rarely written
};

/// All sensible ways to play one written note, the usual one first.
struct ChartEntry {
    Note written;
    std::vector<HandWay> ways;
    const char* source = ""; ///< where the usual way stands
    const char* remark = "";
};

/// The hand chart from written G2 up to partial 24 (G6), plus C2; independent of the crook. Built once.
[[nodiscard]] std::span<const ChartEntry> hand_chart();

/// The entry for a written note, or null when no horn plays it.
[[nodiscard]] const ChartEntry* chart_entry(Note written);

/// What a sounding frequency means on this crook.
struct NoteReading {
    Note written;
    int partial = 0;
    Hand hand = Hand::open;
    double target_hz = 0.0;
    double deviation_cents = 0.0; ///< sounding minus target
};

/// Nearest written note that the chart knows, with its usual partial and hand. `staying_on`: the note that was read a
/// moment ago; it is kept until the sound is clearly nearer to another (a few cents beyond the middle), so that a note
/// played a quarter-tone off does not flicker. Empty when `f0_hz` is further than a semitone from all of them.
[[nodiscard]] std::optional<NoteReading>
read_pitch(double f0_hz, const Tuning& tuning, std::optional<Note> staying_on = std::nullopt);

/// The same against an expected written note, however far away the sound is. Empty when the chart does not know it.
[[nodiscard]] std::optional<NoteReading>
read_against(double f0_hz, const Tuning& tuning, Note expected);

} // namespace bellhand::horn

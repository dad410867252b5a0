#pragma once

#include "horn/note.h"
#include "horn/tuning.h"

#include <array>
#include <optional>
#include <span>
#include <string_view>

namespace bellhand::horn {

/// How far the right hand closes the bell.
enum class Hand { open, quarter, half, three_quarters, full };
/// All of them, from open to closed.
inline constexpr std::array kHands{
    Hand::open, Hand::quarter, Hand::half, Hand::three_quarters, Hand::full};

/// "open", "quarter", "half", "three-quarters", "full": options and files.
[[nodiscard]] const char* hand_id(Hand hand) noexcept;
/// The hand of that id; empty when it is none.
[[nodiscard]] std::optional<Hand> hand_of(std::string_view id) noexcept;

/// The trade's sign: "o", "¼", "½", "¾", "+".
[[nodiscard]] const char* hand_sign(Hand hand) noexcept;

/// "open", "quarter", "half", "three-quarters", "full stop": for people.
[[nodiscard]] const char* hand_label(Hand hand) noexcept;

/// One way to play a written note.
struct HandWay {
    int partial = 4; ///< 1..24, the natural note it starts from
    Hand hand = Hand::open;
    /// Upper end where practice gives a range ("¾ to +"), else equal to `hand`.
    Hand hand_to = Hand::open;
    /// From the natural partial to the note in equal temperament, negative = lower. With a full stop named from the
    /// partial below it is the rise onto the note (about a semitone).
    double shift_cents = 0.0;
    bool hand_out = false;   ///< open with the hand drawn back
    bool lip = false;        ///< the lips supply part of it (factitious notes)
    bool poor = false;       ///< known to be poor or rarely written
    const char* source = ""; ///< who says so
};

/// All sensible ways to play one written note, the usual one first; never empty.
struct ChartEntry {
    Note written;
    std::span<const HandWay> ways;
    const char* remark = ""; ///< one sentence, or empty

    [[nodiscard]] const HandWay& usual() const noexcept { return ways.front(); }
};

/// The hand chart from written G2 up to partial 24 (G6), plus C2, rising; independent of the crook. Computed at the
/// first call, without allocation.
[[nodiscard]] std::span<const ChartEntry> hand_chart() noexcept;

/// The entry for a written note however it is spelled, or null when no horn plays it.
[[nodiscard]] const ChartEntry* chart_entry(Note written) noexcept;

/// Cents from partial `partial` (1 and up) to the written note in equal temperament; the tube's own series n * f1, C
/// fixed at the crook's nominal pitch.
[[nodiscard]] double shift_from_partial_cents(Note written, int partial) noexcept;

/// Frequency of the open partial n * f1 of the nominal tube.
[[nodiscard]] double partial_hz(int partial, const Tuning& tuning) noexcept;

/// The written note nearest to a partial, usual spelling: 7 gives B♭4, 11 gives F♯5.
[[nodiscard]] Note nearest_written(int partial) noexcept;

/// What a sounding frequency means on this crook.
struct NoteReading {
    Note written;
    int partial = 0;
    Hand hand = Hand::open;
    double target_hz = 0.0;
    double deviation_cents = 0.0; ///< sounding minus target
};

/// Nearest written note inside the chart's compass, with its usual partial and hand (those of the next note above where
/// the chart has none: below G2 the lips alone find notes). `staying_on`: the note that was read a
/// moment ago; it is kept until the sound is clearly nearer to another (a few cents beyond the middle), so that a note
/// played a quarter-tone off does not flicker. Empty when `f0_hz` is further than a semitone from all of them or is not
/// a frequency. Never allocates, locks only at the very first call.
[[nodiscard]] std::optional<NoteReading> read_pitch(
    double f0_hz, const Tuning& tuning, std::optional<Note> staying_on = std::nullopt) noexcept;

/// The same against an expected written note (its spelling is kept), however far away the sound is. Empty when the
/// chart does not know it or `f0_hz` is not a frequency.
[[nodiscard]] std::optional<NoteReading>
read_against(double f0_hz, const Tuning& tuning, Note expected) noexcept;

} // namespace bellhand::horn

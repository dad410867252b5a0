#pragma once

#include "drill/exercise.h"
#include "horn/hand_response.h"
#include "horn/tuning.h"
#include "trainer/short_note.h"

#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

namespace bellhand::drill {

/// A player's own hand on a horn so tuned; empty where it is not known, and the modelled one takes its place.
using HandOn = std::function<std::optional<horn::HandResponse>(const horn::Tuning&)>;

/// A note of an exercise as it is asked on one crook: what will be listened for.
struct Asked {
    std::uint32_t step = 0; ///< index into the exercise
    horn::Crook crook;      ///< in the horn
    horn::Note written;
    double target_hz = 0.0;
    std::optional<double> other_hz; ///< second note of a trill; the last pitch of a slow closing
    int partial = 0;                ///< the branch: full stop of partial n sounds just above n - 1
    horn::Hand hand = horn::Hand::open;
    horn::Hand hand_to = horn::Hand::open; ///< where practice gives a range
    double tolerance_cents = 5.0;
    /// From the beginning of the exercise; rests count. In quarters of the exercise's own tempo: where a part goes at
    /// another, by so much more or less.
    double at_quarters = 0.0;
    double quarters = 0.0; ///< length, the same; 0: as long as the player likes
    bool fermata = false;  ///< the length that is written is the least
    bool waited =
        false; ///< a fermata stands on the note or rest before: nobody knows when it comes
    bool bar_begins = false; ///< a place to start again from: first of a bar, or after a rest
    bool slurred = false;
    Dynamic dynamic = Dynamic::as_before;
    Hairpin hairpin = Hairpin::none;
    Manner manner = Manner::plain;
    /// What sounds when the lips land on another partial or the hand stands elsewhere, Hz.
    std::vector<double> other_partials_hz;
    std::vector<double> other_hands_hz;
    std::vector<horn::Hand> other_hands; ///< of `other_hands_hz`
};

/// What the steps of one crook are read against.
struct PlanSettings {
    horn::Tuning tuning;
    std::optional<horn::HandResponse> hand; ///< this player's; empty: the modelled one
    HandOn hand_on;                         ///< the same on the other crooks of a part
    double pitch_factor = 1.0;              ///< on the tolerances
    std::optional<Measure> measure;         ///< in place of the exercise's
    std::optional<horn::Note> root;         ///< in place of the exercise's, written
};

/// The notes of an exercise on one crook, in order, rests left out. Notes that the hand chart does not know are left
/// out too; `playable` tells of them beforehand.
[[nodiscard]] std::vector<Asked> plan_of(const Exercise& exercise, const PlanSettings& settings);

/// One after the other they sound as one pitch.
[[nodiscard]] bool same_pitch(const Asked& one, const Asked& other) noexcept;

/// What is listened for around a step: the note before it, which may not be over, itself, and the two after it; and where a
/// pitch comes twice in a row, when it is to be struck again. `quarter_s`: a quarter as it is played now, 0: not known.
[[nodiscard]] trainer::ExpectedPitches expected_around(const std::vector<Asked>& asked,
                                                       std::uint32_t step,
                                                       double quarter_s = 0.0) noexcept;

/// The crook of a transposition, 0 to -16.
[[nodiscard]] const horn::Crook& crook_at(int transposition) noexcept;

/// What is in the horn at a step: the crook of the part there, `otherwise` where the exercise is none.
[[nodiscard]] horn::Crook
crook_of(const Exercise& exercise, std::uint32_t step, const horn::Crook& otherwise) noexcept;

/// Length of a step in quarters of the exercise's own tempo.
[[nodiscard]] double quarters_of(const Exercise& exercise, const Step& step) noexcept;

/// The written note to be played on `crook` for one that stands in the exercise: the same, unless the part is printed
/// for another crook.
[[nodiscard]] horn::Note
played_note(const Exercise& exercise, horn::Note printed, const horn::Crook& crook) noexcept;

/// The way of the chart that the step means; where it names what the chart does not have, exactly what it names.
[[nodiscard]] horn::HandWay way_asked(const Step& step, const horn::ChartEntry& entry) noexcept;

/// Frequency of a written note as it is measured: by the tuning, or just above a root. Just intervals above the root:
/// 16/15 9/8 6/5 5/4 4/3 45/32 3/2 8/5 5/3 9/5 15/8 (the usual five-limit ones; the tritone as 45/32).
[[nodiscard]] double measured_hz(horn::Note written,
                                 const horn::Tuning& tuning,
                                 Measure measure,
                                 const std::optional<horn::Note>& root) noexcept;

} // namespace bellhand::drill

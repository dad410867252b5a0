#pragma once

#include "hand/closure_grid.h"
#include "horn/hand_chart.h"

#include <string>

namespace bellhand::hand {

/// No advice is given below this probability that it is right. One remark in five that sends the hand the wrong way
/// would already teach a student to distrust the other four; a stricter bar leaves most notes without a word, because
/// half the tones of a hand horn lie where hand and lips can do the same (this program's choice; the reliability of the
/// probability itself is measured).
inline constexpr double kAdviceConfidence = 0.8;

/// What was meant.
struct Intent {
    int partial = 0; ///< the branch: full stop of partial n sounds just above n - 1
    horn::Hand hand = horn::Hand::open;
    horn::Hand hand_to = horn::Hand::open; ///< where practice gives a range
    double target_cents = 0.0;             ///< from f1
    double tolerance_cents = 5.0;
};

/// The intent of a chart's way; a full stop named from the partial below belongs to the branch above it.
[[nodiscard]] Intent intent_of(const horn::HandWay& way) noexcept;

enum class AdviceKind {
    nothing,     ///< within the tolerance, and the hand where it should be
    hand_closed, ///< flat: the hand is further closed than meant
    hand_open,   ///< sharp: not closed enough
    lips_low,    ///< the lips pull the note down
    lips_high,
    other_position, ///< right pitch from another hand position or partial
    hand_or_lips,   ///< off, and the sound does not tell by which
    unsure,         ///< the tone itself is not clear enough
};

/// One note's deviation taken apart.
struct Advice {
    AdviceKind kind = AdviceKind::unsure;
    double deviation_cents = 0.0;
    double hand_cents = 0.0; ///< of it, by the hand
    double lips_cents = 0.0; ///< of it, by the lips
    double confidence = 0.0; ///< that the kind is right
};

/// Splits a deviation by where the hand must be expected and what lips usually do. `evidence`: of the note as a whole;
/// `cents`: its pitch from f1, the player's offset taken out. No allocation.
[[nodiscard]] Advice advise_note(const Intent& intent,
                                 const ClosureGrid& grid,
                                 const GridLogs& evidence,
                                 const Position& position,
                                 double cents) noexcept;

/// The same in a teacher's words, one or two sentences: "19 cents flat: the hand is further closed than three-quarters;
/// open it a little." Empty for `nothing`.
[[nodiscard]] std::string
advice_text(const Advice& advice, const Intent& intent, const Position& position);

/// "open", "quarter to half": the range that the sound allows.
[[nodiscard]] std::string range_text(const Position& position);

} // namespace bellhand::hand

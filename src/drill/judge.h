#pragma once

#include "drill/judgement.h"
#include "drill/plan.h"
#include "drill/relation.h"
#include "drill/tolerances.h"
#include "drill/trace.h"

#include <optional>
#include <vector>

namespace bellhand::drill {

/// What besides the note itself counts for its judgement. Empty parts are not judged.
struct Circumstances {
    Tolerances tolerances;
    double quarter_s = 0.0;         ///< 0: free tempo, lengths are free
    double more_quarters = 0.0;     ///< of the notes after it that could not be heard apart from it
    std::optional<double> timing_s; ///< positive = late
    std::optional<double>
        neighbours_dbfs;           ///< mean level of the notes beside it that should be as loud
    bool colour_as_before = false; ///< the note before should have the same colour
    std::vector<Trace::Moment> inside;
};

/// A note that was meant as `asked`, judged: partial, hand, held pitch and attack apart (first 80 to 120 ms are
/// attack: common practice, no source), steadiness, timing, length, loudness, colour, hairpin, trill; in this order, which is
/// a teacher's. A note that is another one is judged no further; its pitch only as far as it is known.
/// The hand is judged by pitch where the pitch proves it, else by the timbre when that is sure enough, else not at all.
/// `step` comes from `asked`; pass and part are the caller's.
[[nodiscard]] Judgement
judged(const Asked& asked, const trainer::PlayedNote& note, const Circumstances& around);

/// In a room that rings a note was read at a multiple or part of the pitch that was asked for: that is the ear's mistake
/// rather than the player's, and nothing can be said.
[[nodiscard]] bool mistaken_in_room(double asked_hz, const trainer::PlayedNote& note) noexcept;

/// True when the note itself was wrong or missing, not only its quality.
[[nodiscard]] bool is_wrong(const Judgement& judgement) noexcept;

} // namespace bellhand::drill

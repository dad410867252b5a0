#pragma once

#include "instrument/least_squares.h"

#include <cstddef>
#include <vector>

namespace bellhand::instrument {

/// A measurement as evidence about lengths: a played pitch, which tells the sum of an assembly through one partial, or a
/// tape.
struct LengthReading {
    /// The lengths that were measured together. `sd`: what is known of this one reading alone, in metres (0 for a single
    /// open note); the player's aim and the partial's own offset come on top.
    Statement sum;
    double wrong_m = 0.1; ///< how far it strays when it is no honest reading of this at all
    std::size_t assembly =
        0;           ///< readings with the same pieces and the same partial share one offset
    int partial = 0; ///< 0: no aim and no offset (a tape, or f1 calibrated over many partials)
};

/// What the readings and the firm statements say together.
struct WeighedLengths {
    std::vector<double> value_m;
    std::vector<double> covariance_m2;
    std::vector<double> wrong; ///< per reading: probability that it is no honest reading at all
    std::vector<double>
        off_cents; ///< per reading: shorter (+), so higher, than everything else says
    std::vector<double> off_sd_cents; ///< how far an honest one would stray from that
    double aim_cents = 0.0;           ///< how differently the same note is centred each time
    double offset_cents = 0.0;        ///< how far a partial lies from n times f1
    bool repeats = false; ///< some note was played twice: aim and offset are told apart by it
};

/// Errors in variables: settles lengths from pitches that are themselves uncertain in three ways.
///
/// - *Aim*, new for every note: unknown, about 2.5 cents, between 1 and 7; repeats of a note tell it, and average it out.
/// - *Offset* of the partial from n times f1 on this assembly: unknown, about 6 cents, between 3 and 10. A part of it
///   goes with the partial on every crook, for the bell is the same. Repeats do not shrink it, other partials do.
/// - *Wrong*: a reading may be another note, or a slip of the pen (1 in 25), then it says almost nothing.
///
/// Both spreads are averaged over a grid by their evidence; which readings are wrong is searched from the likeliest
/// sets outwards, and all that remain possible are averaged (Hoeting et al., Statistical Science 14, 382, 1999). So a
/// contradiction widens the result, and a reading that may be wrong or right counts for half. `firm`: statements taken
/// at their word; together they must fix the unknowns 0 to `unknowns` - 1.
[[nodiscard]] WeighedLengths weigh_readings(std::size_t unknowns,
                                            const std::vector<Statement>& firm,
                                            const std::vector<LengthReading>& readings);

} // namespace bellhand::instrument

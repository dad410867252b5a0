#pragma once

// Shared by the calibration sources only.

#include "instrument/calibration/calibration.h"

#include <span>
#include <vector>

namespace bellhand::instrument {

/// Two horns closer than this are the same.
inline constexpr double kCandidatesApart_cents = 25.0;

/// Density of the normal distribution about zero.
[[nodiscard]] double normal(double x, double variance) noexcept;

/// How often a partial is played when nothing is known: the upper ones are rare. Sums to about one.
[[nodiscard]] double usage(int partial) noexcept;

/// One note seen against all partials of a horn.
struct NoteReading {
    int partial = 1;
    double density = 0.0; ///< of the best partial
    double total = 0.0;   ///< over all partials
};

/// A pitch `played_cents` above f1; the question's offsets must be set.
[[nodiscard]] NoteReading
read_note(double played_cents, double sd_cents, const CalibrationQuestion& question) noexcept;

/// Log likelihood of an f1 by the crook that was expected alone, 0 at its middle: away from it less. 0 without one.
[[nodiscard]] double log_expected(double f1_hz, const CalibrationQuestion& question) noexcept;

struct F1Candidate {
    double f1_hz = 0.0;
    double score = 0.0;
};

/// The likeliest f1 on a grid, best first, each at least `kCandidatesApart_cents` from the others; near the expected
/// one, when there is one.
[[nodiscard]] std::vector<F1Candidate> f1_candidates(std::span<const PlayedPitch> notes,
                                                     const CalibrationQuestion& question);

} // namespace bellhand::instrument

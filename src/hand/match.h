#pragma once

#include <cmath>

namespace bellhand::hand {

/// Loudness and colour of the held part of one note.
struct NoteColour {
    bool known = false;
    double level_dba = -200.0; ///< energy mean, A-weighted
    double centroid_hz = 0.0;  ///< by power
    double slope_db_per_octave = 0.0;
};

/// Second note against the first. The goal is 0 everywhere.
struct Match {
    bool known = false;
    double loudness_db = 0.0;
    double centroid_octaves = 0.0;
    double slope_db_per_octave = 0.0;
    /// The figure, dB: loudness and colour together, an octave of centroid counted like 6 dB (this program's choice).
    double uneven_db = 0.0;
    double best_uneven_db = 0.0; ///< the player's best so far between an open and a stopped note
};

[[nodiscard]] inline Match match_of(const NoteColour& first, const NoteColour& second) noexcept {
    Match out;
    if (!first.known || !second.known) {
        return out;
    }
    constexpr double kOctave_db = 6.0;
    out.known = true;
    out.loudness_db = second.level_dba - first.level_dba;
    out.centroid_octaves = std::log2(second.centroid_hz / first.centroid_hz);
    out.slope_db_per_octave = second.slope_db_per_octave - first.slope_db_per_octave;
    out.uneven_db = std::hypot(out.loudness_db, kOctave_db * out.centroid_octaves);
    return out;
}

} // namespace bellhand::hand

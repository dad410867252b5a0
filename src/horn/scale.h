#pragma once

#include "core/result.h"
#include "horn/crook_chart.h"

#include <array>
#include <string>
#include <string_view>
#include <vector>

namespace bellhand::horn {

struct Mode {
    const char* id = "major";    ///< options and files
    const char* label = "major"; ///< for people
    std::array<int, 7> steps{0, 2, 4, 5, 7, 9, 11};
};

/// A seven-note scale on a tonic.
struct Scale {
    char letter = 'C'; ///< of the tonic, 'A' to 'G'
    int sharps = 0;    ///< of the tonic
    Mode mode{};
};

/// Reads "G-major", "g minor", "Bb" (major), "F# dorian", "e♭-harmonic-minor". Errors (usage): one sentence that lists
/// the modes.
[[nodiscard]] Result<Scale> parse_scale(std::string_view text);

/// "G major", "B♭ harmonic minor".
[[nodiscard]] std::string scale_label(const Scale& scale);

/// Chromatic step of the tonic above C, 0 to 11.
[[nodiscard]] int tonic_step(const Scale& scale) noexcept;

/// True when the note belongs to the scale, however it is spelled.
[[nodiscard]] bool contains(const Scale& scale, int number) noexcept;

/// The eight notes from a tonic (chromatic number `tonic`) to the next, each with its own letter.
[[nodiscard]] std::array<Note, 8> one_octave(const Scale& scale, int tonic) noexcept;

/// What one octave of a scale, tonic to tonic, asks of the hand in the usual ways.
struct ScaleCount {
    std::array<Note, 8> notes{};
    int open = 0;
    int covered = 0;
    int stopped = 0;
    int lipped = 0;
    double mean_evenness = 0.0; ///< of the eight, scale of `evenness_of`
};

/// Every octave of the scale that lies in the hand chart, lowest first.
[[nodiscard]] std::vector<ScaleCount> count_scale(const Scale& scale);

} // namespace bellhand::horn

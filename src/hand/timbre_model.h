#pragma once

#include "core/result.h"

#include <array>
#include <filesystem>
#include <string_view>

namespace bellhand::hand {

/// Harmonics are looked at in these groups: 1, 2-3, 4-5, 7-10.
inline constexpr int kGroups = 4;
/// Open, quarter, half, three-quarters, full stop.
inline constexpr int kDegrees = 5;

/// What open and stop-like tones sound like. Read from `assets/hand/timbre.txt`, which `tests/hand/learn_timbre.py`
/// makes from measured tones; the file says which figures were measured and which are modelled.
struct TimbreModel {
    double reference_hz = 200.0;
    /// Usual level of a group against the whole tone, open: a + b o + c o^2 dB, o octaves from the reference.
    std::array<std::array<double, 3>, kGroups> usual_db{};
    std::array<double, kGroups> spread_db{1.0, 1.0, 1.0, 1.0};
    /// Log odds of stop-like against open at even odds: constant + sum weight * (level - usual) / spread.
    std::array<double, kGroups> weight{};
    double constant = 0.0;
    double open_mean = -3.0;  ///< log odds of open tones
    double open_spread = 1.8; ///< and their standard deviation
    double lowest_hz = 75.0;  ///< no stop-like tone below was measured: there timbre says nothing
    double highest_hz = 700.0;
    /// The other stopped sound, bright: 2-5 kHz against 0.2-1 kHz at which it is as likely as open, and how fast the log
    /// odds grow above.
    double bright_edge_db = -3.0;
    double bright_per_db = 0.6;
    double most_log_odds = 3.0; ///< no sound is believed more than this
    /// How likely a tone is to sound stop-like at each degree of the hand.
    std::array<double, kDegrees> stop_like_share{0.01, 0.02, 0.05, 0.15, 0.5};
};

/// Reads lines of a name and its figures; `#` begins a remark. Errors: a name unknown, missing or twice, a figure that
/// is none; the sentence names `where` and the line.
[[nodiscard]] Result<TimbreModel> parse_timbre_model(std::string_view text,
                                                     const std::string& where);

/// From the program's own files. Errors: file missing or damaged.
[[nodiscard]] Result<TimbreModel> load_timbre_model();

} // namespace bellhand::hand

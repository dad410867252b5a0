#pragma once

#include "horn/acoustics/natural_horn.h"
#include "instrument/calibration/calibration.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <random>
#include <vector>

// Simulated horns and players whose truth is known. Horns are the modelled bore with every dimension varied at random;
// players wander, aim a little differently each time, lean sharp or flat, and play wrong notes.
namespace bellhand::testing {

inline constexpr std::array kTunedPartials{4, 5, 6, 8, 9, 10, 12};

/// Where a player's open partials really are: f1 by the convention of the calibration, offsets from it.
struct TrueHorn {
    double f1_hz = 0.0;
    std::array<double, 25> offset_cents{}; ///< by partial, 1 to 24
};

inline horn::acoustics::HornShape random_shape(std::mt19937_64& random) {
    std::uniform_real_distribution<double> unit(-1.0, 1.0);
    horn::acoustics::HornShape shape;
    const auto vary = [&](double& value, double by) { value *= 1.0 + by * unit(random); };
    vary(shape.cup_length_m, 0.3);
    vary(shape.throat_radius_m, 0.08);
    vary(shape.crook_taper_m, 0.3);
    vary(shape.tube_radius_m, 0.05);
    vary(shape.first_cone_m, 0.2);
    vary(shape.first_cone_end_radius_m, 0.06);
    vary(shape.second_cone_m, 0.15);
    vary(shape.throat_of_bell_radius_m, 0.1);
    vary(shape.bell_length_m, 0.1);
    vary(shape.bell_exponent, 0.07);
    vary(shape.rim_radius_m, 0.04);
    return shape;
}

/// Open partials of a random bore on a random crook, as a player with a bias plays them: all notes `bias` high, rising
/// further by `tilt` an octave; plus 2 cents of whim for each partial.
inline TrueHorn random_horn(std::mt19937_64& random) {
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    std::normal_distribution<double> normal;
    const auto air = horn::acoustics::keefe_air(16.0 + 12.0 * unit(random));
    const auto resonances = horn::acoustics::horn_resonances(
        random_shape(random), 0.5 + 2.9 * unit(random), horn::acoustics::hand_at(0.0), air, 16);
    const double bias = 8.0 * normal(random);
    const double tilt = 3.0 * normal(random);
    TrueHorn horn;
    std::array<double, 25> log_hz{};
    for (std::size_t n = 2; n <= 16; ++n) {
        const double octaves = std::log2(static_cast<double>(n) / 8.0);
        log_hz[n] = std::log2(resonances[n - 1].f_hz / static_cast<double>(n)) +
                    (bias + tilt * octaves + 2.0 * normal(random)) / 1200.0;
    }
    double log_f1 = 0.0;
    for (const int n : kTunedPartials) {
        log_f1 += log_hz[static_cast<std::size_t>(n)] / kTunedPartials.size();
    }
    horn.f1_hz = std::exp2(log_f1);
    for (std::size_t n = 2; n <= 16; ++n) {
        horn.offset_cents[n] = 1200.0 * (log_hz[n] - log_f1);
    }
    return horn;
}

struct Habits {
    double wander_sd_cents = 5.0; ///< from reading to reading inside a note
    double wander_s = 0.030;      ///< correlation time of it
    double aim_sd_cents = 0.5;    ///< how differently the same note is centred each time
    double held_s = 3.0;
    double drift_cents_per_min = 0.0;
    double between_s = 4.0; ///< from note to note
};

/// Median of the readings of one held note, every 256 samples at 48 kHz.
inline instrument::PlayedPitch
held_note(double hz, double time_s, const Habits& habits, std::mt19937_64& random) {
    std::normal_distribution<double> normal;
    constexpr double kHop_s = 256.0 / 48000.0;
    const double memory = std::exp(-kHop_s / habits.wander_s);
    const double aim = habits.aim_sd_cents * normal(random);
    double wander = habits.wander_sd_cents * normal(random);
    std::vector<double> readings;
    for (double t = 0.0; t < habits.held_s; t += kHop_s) {
        readings.push_back(wander);
        wander = memory * wander +
                 habits.wander_sd_cents * std::sqrt(1.0 - memory * memory) * normal(random);
    }
    std::sort(readings.begin(), readings.end());
    const double median = readings[readings.size() / 2];
    const double spread =
        0.5 * (readings[readings.size() * 84 / 100] - readings[readings.size() * 16 / 100]);
    return {time_s,
            hz * std::exp2((aim + median) / 1200.0),
            instrument::held_note_sd_cents(spread, habits.held_s)};
}

/// Open notes on the given partials in the given order.
inline std::vector<instrument::PlayedPitch> play(const TrueHorn& horn,
                                                 const std::vector<int>& partials,
                                                 const Habits& habits,
                                                 std::mt19937_64& random) {
    std::vector<instrument::PlayedPitch> notes;
    const double middle_s = 0.5 * habits.between_s * static_cast<double>(partials.size() - 1);
    for (std::size_t i = 0; i < partials.size(); ++i) {
        const double time_s = habits.between_s * static_cast<double>(i);
        const double cents = horn.offset_cents[static_cast<std::size_t>(partials[i])] +
                             habits.drift_cents_per_min * (time_s - middle_s) / 60.0;
        notes.push_back(held_note(
            horn.f1_hz * partials[i] * std::exp2(cents / 1200.0), time_s, habits, random));
    }
    return notes;
}

/// Replaces a note by one that is not an open partial: half stopped, or anything in the horn's range.
inline void spoil(instrument::PlayedPitch& note, const TrueHorn& horn, std::mt19937_64& random) {
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    if (unit(random) < 0.5) {
        note.f0_hz *= std::exp2(-(50.0 + 50.0 * unit(random)) / 1200.0);
    } else {
        note.f0_hz = horn.f1_hz * 2.5 * std::pow(5.0, unit(random));
    }
}

} // namespace bellhand::testing

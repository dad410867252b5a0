#pragma once

#include "bleed/tone_remover.h"
#include "support/signals.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

namespace bellhand::test {

/// A tone as the remover is told of it, and the same as it comes back: every harmonic with the gain and phase of its way,
/// higher by `clock`, fading in and out as the program's player does.
struct Loudspeaker {
    std::vector<double> hz{220.0};
    double clock = 60e-6;
    double start_s = 0.2;
    double end_s = 1e9;
    double level = 0.1; ///< rms of one voice at the microphone
    double rate_hz = 48000.0;
    std::string seed = "loudspeaker";

    /// Gain of the player at a moment; its unit is rms.
    [[nodiscard]] double gain(double t_s) const {
        const double rise = t_s < start_s ? 0.0 : 1.0 - std::exp(-(t_s - start_s) / 0.05);
        return t_s < end_s ? rise : rise * std::exp(-(t_s - end_s) / 0.05);
    }

    [[nodiscard]] bleed::Voices voices(double from_s, double to_s) const {
        bleed::Voices out{};
        for (std::size_t v = 0; v < hz.size(); ++v) {
            const double before = gain(from_s);
            const double after = gain(to_s);
            if (after > 1e-5 || before > 1e-5) {
                out[v] = {hz[v], before, after};
            }
        }
        return out;
    }

    /// What loudspeaker and room do to a frequency: a few arrivals within 60 ms, so near pitches fare nearly alike.
    [[nodiscard]] std::complex<double> response(double f_hz) const {
        Random random(seed);
        std::complex<double> sum{};
        for (int arrival = 0; arrival < 6; ++arrival) {
            const double late_s = random.between(0.0, arrival == 0 ? 0.002 : 0.06);
            const double turns = f_hz * late_s;
            sum += random.between(0.2, 1.0) / (1 + arrival) *
                   std::polar(1.0, -2.0 * std::numbers::pi * turns);
        }
        return sum;
    }

    [[nodiscard]] std::vector<float> heard(double length_s) const {
        std::vector<float> out(static_cast<std::size_t>(length_s * rate_hz));
        for (const double f : hz) {
            for (int k = 1; k * f < std::min(9000.0, 0.45 * rate_hz) && k <= 30; ++k) {
                const std::complex<double> way = response(k * f);
                const double amplitude = level * std::abs(way) / k;
                const double phase = std::arg(way) / (2.0 * std::numbers::pi);
                for (std::size_t i = 0; i < out.size(); ++i) {
                    const double t_s = static_cast<double>(i) / rate_hz;
                    const double turns = k * f * (1.0 + clock) * t_s + phase;
                    out[i] += static_cast<float>(amplitude * gain(t_s) *
                                                 std::sin(2.0 * std::numbers::pi * turns));
                }
            }
        }
        return out;
    }
};

/// Runs sound through a remover in blocks, as a session does.
inline std::vector<float> removed(bleed::ToneRemover& remover,
                                  const Loudspeaker& loudspeaker,
                                  std::vector<float> sound,
                                  bool horn_sounds = false) {
    for (std::size_t at = 0; at < sound.size(); at += 128) {
        const std::size_t count = std::min<std::size_t>(128, sound.size() - at);
        const double from_s = static_cast<double>(at) / loudspeaker.rate_hz;
        const double to_s = static_cast<double>(at + count) / loudspeaker.rate_hz;
        remover.remove(std::span<float>(sound).subspan(at, count),
                       loudspeaker.voices(from_s, to_s),
                       horn_sounds);
    }
    return sound;
}

} // namespace bellhand::test

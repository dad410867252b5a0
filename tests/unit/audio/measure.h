#pragma once

#include <algorithm>
#include <cmath>
#include <span>

/// Measurements that share no code with what they measure.
namespace bellhand::measured {

inline constexpr double kTau = 6.283185307179586;

inline double rms_dbfs(std::span<const float> samples) {
    double power = 0.0;
    for (const float sample : samples) {
        power += static_cast<double>(sample) * static_cast<double>(sample);
    }
    return 10.0 * std::log10(std::max(power / static_cast<double>(samples.size()), 1e-30));
}

/// Level of the sinusoid at one frequency, dBFS rms: the Fourier sum under a Hann window.
inline double line_dbfs(std::span<const float> samples, double rate_hz, double hz) {
    double re = 0.0;
    double im = 0.0;
    double weight = 0.0;
    const auto n = static_cast<double>(samples.size());
    for (std::size_t i = 0; i < samples.size(); ++i) {
        const double w = 0.5 - 0.5 * std::cos(kTau * (static_cast<double>(i) + 0.5) / n);
        const double angle = kTau * hz / rate_hz * static_cast<double>(i);
        re += w * static_cast<double>(samples[i]) * std::cos(angle);
        im += w * static_cast<double>(samples[i]) * std::sin(angle);
        weight += w;
    }
    const double amplitude = 2.0 * std::sqrt(re * re + im * im) / weight;
    return 20.0 * std::log10(std::max(amplitude / std::sqrt(2.0), 1e-15));
}

/// Frequency near `near_hz`, from how far the phase of that line turns between two halves of the samples.
inline double line_hz(std::span<const float> samples, double rate_hz, double near_hz) {
    const std::size_t half = samples.size() / 2;
    const auto phase = [&](std::size_t first) {
        double re = 0.0;
        double im = 0.0;
        for (std::size_t i = 0; i < half; ++i) {
            const double w = 0.5 - 0.5 * std::cos(kTau * (static_cast<double>(i) + 0.5) /
                                                  static_cast<double>(half));
            const double angle = kTau * near_hz / rate_hz * static_cast<double>(first + i);
            re += w * static_cast<double>(samples[first + i]) * std::cos(angle);
            im -= w * static_cast<double>(samples[first + i]) * std::sin(angle);
        }
        return std::atan2(im, re);
    };
    double turned = phase(half) - phase(0);
    turned -= kTau * std::round(turned / kTau);
    return near_hz + turned * rate_hz / (kTau * static_cast<double>(half));
}

inline double cents(double hz, double reference_hz) {
    return 1200.0 * std::log2(hz / reference_hz);
}

} // namespace bellhand::measured

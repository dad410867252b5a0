#pragma once

#include <array>
#include <span>

namespace bellhand::dsp {

/// A-weighting of IEC 61672-1:2013, Annex E, in dB at `frequency_hz` (0 dB at 1 kHz).
[[nodiscard]] double a_weighting_db(double frequency_hz) noexcept;

/// The same as a filter at one sample rate.
///
/// The four zeros at rest and the poles at 20.6, 107.7 and 737.9 Hz are far below half the sample rate and come from
/// the bilinear transform; the double pole at 12.2 kHz, which that transform would bend, is matched in level at rest, at
/// a third and at a half of the sample rate (M. Vicanek, "Matched second order digital filters", 2016).
class AWeighting {
public:
    explicit AWeighting(double sample_rate_hz);

    /// Next sample.
    double push(double x) noexcept;

    /// Level of the filter at one frequency, in dB.
    [[nodiscard]] double response_db(double frequency_hz) const noexcept;

    void reset() noexcept;

private:
    struct Section {
        double b0 = 1.0, b1 = 0.0, b2 = 0.0, a1 = 0.0, a2 = 0.0;
        double x1 = 0.0, x2 = 0.0, y1 = 0.0, y2 = 0.0;
    };
    double sample_rate_hz_;
    double gain_ = 1.0;
    std::array<Section, 5> sections_{};
};

} // namespace bellhand::dsp

#pragma once

#include "dsp/real_fft.h"

#include <array>
#include <complex>
#include <span>
#include <vector>

namespace bellhand::hand {

/// Levels of the newest 20 ms or so in dBFS (rms), -200 for nothing.
struct Bands {
    double low_db = -200.0;         ///< 0.2 to 1 kHz
    double high_db = -200.0;        ///< 2 to 5 kHz
    double above_5_khz_db = -200.0; ///< meaningful when `bandwidth_hz` is well above 5 kHz
    double total_db = -200.0;       ///< above 40 Hz
    double bandwidth_hz = 20000.0;  ///< up to where this input has been heard to carry sound
};

/// Hears levels in bands and finds out how much bandwidth the input has: call audio ends at 4, 8 or 12 kHz whatever the
/// sample rate says. No allocation after construction.
class BandMeter {
public:
    explicit BandMeter(double sample_rate_hz);

    void push(std::span<const float> samples) noexcept;
    /// Levels of the newest stretch of sound.
    [[nodiscard]] const Bands& look() noexcept;
    void forget() noexcept;

private:
    static constexpr double kSlice_hz = 500.0;
    static constexpr std::size_t kSlices = 40; // to 20 kHz

    void learn_bandwidth(const std::array<double, kSlices>& slice_power) noexcept;
    void find_bandwidth() noexcept;

    double rate_hz_;
    dsp::RealFft fft_;
    std::vector<float> ring_;
    std::size_t at_ = 0;
    std::vector<float> hann_;
    std::vector<float> windowed_;
    std::vector<std::complex<float>> spectrum_;
    double scale_ = 0.0;                     // from |X|^2 to mean square
    std::array<double, kSlices> usual_db_{}; // mean level of each slice while something sounds
    double loudest_db_ = -200.0;             // of late
    std::size_t slices_ = kSlices;
    int looks_ = 0;
    Bands bands_;
};

} // namespace bellhand::hand

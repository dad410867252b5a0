#pragma once

#include "bleed/voice.h"

#include <array>
#include <complex>
#include <cstddef>
#include <span>
#include <vector>

namespace bellhand::bleed {

inline constexpr int kLines = kVoices * kHarmonics;

/// The harmonics of all voices as oscillators: what each of them measures in the sound, and their sum, to be taken away.
///
/// A line is harmonic k of voice v, at index v * kHarmonics + k - 1. Its oscillator runs at the nominal frequency; how
/// the loudspeaker's clock differs is told by `set_coefficient`, again and again. Measured are the sums of the sound
/// against each oscillator under overlapping cosine (von Hann) windows of two hops.
class LineBank {
public:
    explicit LineBank(double sample_rate_hz);

    [[nodiscard]] std::size_t hop() const noexcept { return hop_; }
    [[nodiscard]] double hop_s() const noexcept { return static_cast<double>(hop_) / rate_hz_; }

    /// Another pitch for a voice: its oscillators begin anew, what is taken away of it is nothing. 0 = it is silent.
    void set_voice(int voice, double hz) noexcept;
    [[nodiscard]] double hz(int voice) const noexcept { return voices_[at(voice)].hz; }
    [[nodiscard]] int lines(int voice) const noexcept { return voices_[at(voice)].lines; }
    [[nodiscard]] double line_hz(int line) const noexcept {
        return voices_[at(line / kHarmonics)].hz * (line % kHarmonics + 1);
    }
    /// What is taken away: Re(coefficient * oscillator) * gain of the voice.
    void set_coefficient(int line, std::complex<float> value) noexcept {
        coefficient_re_[at(line)] = value.real();
        coefficient_im_[at(line)] = value.imag();
    }

    /// Takes the sum of all lines out of `samples` (at most 128, and not beyond the end of the hop).
    void run(std::span<float> samples, const Voices& voices) noexcept;
    /// Samples until the hop is full.
    [[nodiscard]] std::size_t room() const noexcept { return hop_ - filled_; }

    /// What the window that ended with the full hop says.
    struct Frame {
        double power_heard = 0.0; ///< mean square of the sound
        double power_left = 0.0;  ///< of what is left of it
        std::array<double, kVoices> gain{};
        std::array<double, kVoices>
            turns{};        ///< phase of the fundamental's oscillator at the middle
        bool steady = true; ///< no gain changed
    };
    /// When the hop is full (`room` 0): the window's figures, and the amplitude of each line into `amplitudes`
    /// (kLines; phase against its oscillator; only lines of sounding voices are written). Begins the next hop.
    [[nodiscard]] Frame take(std::span<std::complex<float>> amplitudes) noexcept;

private:
    struct Running {
        double hz = 0.0;
        int lines = 0;
        double turns = 0.0; ///< of the fundamental at the next sample
    };
    /// Sums over one hop: with weight 1 and with the rising half of the window.
    struct Sums {
        double heard = 0.0, left = 0.0;
        std::array<double, kVoices> gain{};
        std::array<double, kVoices> least{}, most{};
    };
    static constexpr std::size_t kBlock = 128;
    static constexpr std::size_t kLanes = 4;

    static std::size_t at(int index) noexcept { return static_cast<std::size_t>(index); }
    void run_voice(int voice, std::span<const float> samples, const Voice& now) noexcept;

    double rate_hz_;
    std::size_t hop_;
    std::size_t filled_ = 0;
    std::vector<float> rise_; ///< rising half of the window, one hop
    std::array<Running, kVoices> voices_{};
    std::array<float, kLines> coefficient_re_{}, coefficient_im_{};
    std::array<float, kLines> whole_re_{}, whole_im_{}, risen_re_{}, risen_im_{};
    std::array<float, kLines> before_re_{},
        before_im_{};                            ///< rising half of the window that ends next
    std::array<double, kVoices> turns_before_{}; ///< at the middle of the window that ends next
    Sums whole_, risen_, before_;
    std::array<float, kBlock * kLanes> sum_{};
};

} // namespace bellhand::bleed

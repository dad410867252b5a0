#pragma once

#include "audio/exact_math.h"
#include "audio/horn_spectrum.h"
#include "audio/synth.h"

#include <array>
#include <cstddef>
#include <cstdint>

namespace bellhand::audio {

/// Plays a checked score piece by piece. Harmonics are summed from the powers of one rotating phasor, so all of them
/// stay in phase with one another and a slur never breaks the waveform.
class SynthPlayer {
public:
    static constexpr std::size_t kStep = 32; ///< samples between two looks at the score

    struct Step {
        std::size_t count = 0; ///< samples used, 0 = the end
        std::array<float, kStep> samples{};
        std::array<float, kStep> f0_hz{}; ///< 0 where no tone sounds
    };

    SynthPlayer(SynthScore score, double sample_rate_hz);

    void next(Step& out) noexcept; ///< no allocation

private:
    /// Everything that glides linearly from one look at the score to the next.
    struct Posture {
        double f0_hz = 0.0;
        double breath = 0.0; ///< rms of the noise of breath and attack
        bool sounding = false;
        std::array<double, kMaxToneHarmonics> amplitude{};
        int harmonics = 0;
    };

    void look(double time_s, Posture& out) noexcept;
    void enter_tone(std::size_t index) noexcept;
    [[nodiscard]] bool linked(std::size_t index) const noexcept;
    [[nodiscard]] double pitch_cents(const ToneSpec& tone, double time_s) const noexcept;
    void wander(double time_s) noexcept;
    void sum_harmonics(const Posture& from, const Posture& to, Step& out) noexcept;
    void add_noise(const Posture& from, const Posture& to, Step& out) noexcept;

    SynthScore score_;
    double rate_hz_;
    std::uint64_t length_; ///< in samples
    std::uint64_t position_ = 0;

    exact::Random lips_;
    exact::Random noise_;
    std::uint64_t wander_ticks_ = 0;
    double lip_from_ = 0.0, lip_to_ = 0.0;
    double swell_from_ = 0.0, swell_to_ = 0.0;
    double lip_cents_ = 0.0;
    double swell_db_ = 0.0;
    double played_s_ = 0.0; ///< through all repetitions: wander goes on

    std::size_t tone_ = 0;
    bool in_tone_ = false;
    HornSpectrum spectrum_, spectrum_before_;
    double level_ = 0.0, level_before_ = 0.0;
    double base_hz_ = 0.0, base_before_hz_ = 0.0;

    double phase_turns_ = 0.0;
    std::array<exact::SinCos, kMaxToneHarmonics> offset_{}; ///< fixed phase of each harmonic
    Posture now_, then_;

    struct OnePole {
        double share = 1.0;
        double value = 0.0;
        double gain = 1.0; ///< so that white noise of variance 1 comes out with variance 1
    };
    std::array<OnePole, 4> room_{};
    double room_rms_ = 0.0;
    OnePole breath_high_, breath_low_;
    double breath_gain_ = 1.0;
};

} // namespace bellhand::audio

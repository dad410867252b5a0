#pragma once

#include "audio/exact_math.h"
#include "audio/peak_limiter.h"
#include "audio/reference_sound.h"
#include "core/spsc_ring.h"

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>

namespace bellhand::audio {

inline constexpr int kReferenceHarmonics = 48;

// The metronome's click.
inline constexpr double kBeatHz = 1200.0;
inline constexpr double kBarHz = 1800.0; ///< the first of a bar
inline constexpr double kClickS = 0.012; ///< time constant of its decay

/// Amplitudes of the harmonics of a reference tone whose rms is 1, those below 0.45 of the sample rate; returns how many
/// there are. `hz` must be positive.
int reference_spectrum(double hz,
                       ReferenceColour colour,
                       double sample_rate_hz,
                       std::span<double, kReferenceHarmonics> amplitude) noexcept;

/// One pitch that fades in and out and changes its pitch only in silence.
class ReferenceVoice {
public:
    void prepare(double sample_rate_hz) noexcept;
    /// `hz` 0 = fade out.
    void want(double hz, double level_dbfs, ReferenceColour colour) noexcept;
    void add_to(std::span<float> out) noexcept;
    [[nodiscard]] bool silent() const noexcept { return gain_ == 0.0; }
    [[nodiscard]] double hz() const noexcept { return hz_; }
    [[nodiscard]] ReferenceColour colour() const noexcept { return colour_; }
    [[nodiscard]] double gain() const noexcept { return gain_; } ///< rms, as it is

private:
    void take_wanted() noexcept;

    double rate_hz_ = 48000.0;
    double hz_ = 0.0, wanted_hz_ = 0.0;
    double level_ = 0.0; ///< rms, as wanted
    ReferenceColour colour_ = ReferenceColour::soft_sawtooth;
    ReferenceColour wanted_colour_ = ReferenceColour::soft_sawtooth;
    double gain_ = 0.0; ///< as it is
    double phase_turns_ = 0.0;
    int harmonics_ = 0;
    std::array<double, kReferenceHarmonics> amplitude_{}; ///< the tone as a whole has rms 1
};

/// Makes the reference sounds sample by sample on the device's thread: nothing here allocates, locks or waits.
class ReferencePlayer {
public:
    ReferencePlayer() : beats_(256) {}

    /// A device begins: silence first, then what is wanted fades in. Not while `fill` runs.
    void prepare(double sample_rate_hz, std::uint32_t stream) noexcept;
    void want(const ReferenceSound& sound) noexcept;
    /// `played`: gets what the samples consist of (its voices and whether the limiter worked).
    void fill(std::span<float> out, PlayedBlock* played = nullptr) noexcept;

    /// Beats as they are written into the output, for one reading thread; lost when nobody reads.
    [[nodiscard]] SpscRing<Beat>& beats() noexcept { return beats_; }

private:
    void add_beats(std::span<float> out) noexcept;

    double rate_hz_ = 48000.0;
    std::uint32_t stream_ = 0;
    std::uint64_t position_ = 0;
    ReferenceSound wanted_;
    std::array<ReferenceVoice, ReferenceSound::kDroneVoices> drone_;
    ReferenceVoice note_;
    std::uint64_t note_end_ = 0; ///< sample at which the note begins to fade

    double until_beat_ = 0.0; ///< samples
    std::uint32_t beat_number_ = 0;
    double click_phase_turns_ = 0.0;
    double click_hz_ = 0.0;
    double click_gain_ = 0.0;

    PeakLimiter limiter_;
    SpscRing<Beat> beats_;
};

} // namespace bellhand::audio

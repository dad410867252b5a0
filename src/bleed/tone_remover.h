#pragma once

#include "bleed/line_bank.h"
#include "bleed/path_fit.h"
#include "bleed/voice.h"

#include <cstddef>
#include <span>

namespace bellhand::bleed {

enum class State {
    silent,   ///< nothing sounds
    learning, ///< listening how it comes back; until then only what is louder passes
    removed,  ///< known and taken away
    unheard,  ///< the microphone hears nothing of it
    stuck,    ///< it is heard, but does not stand still enough to be learnt
};

/// How it goes. Levels are mean squares of the microphone's samples.
struct Report {
    State state = State::silent;
    double heard = 0.0;     ///< of our tones in the microphone's sound, as learnt
    double left = 0.0;      ///< of them after removal, in the newest pause of the player
    double clock_ppm = 0.0; ///< by which the microphone hears our tones higher
    int changes = 0; ///< times the way changed under it (moved microphone, turned knob) so far
};

/// Takes the tones that the program itself plays out of what the microphone hears.
///
/// Drone and reference note are sums of harmonics of exactly known pitch, so what comes back of each is one line of
/// known frequency whose complex gain stands still, apart from a common slow turning by the difference of the two
/// devices' clocks: an adaptive canceller of lines (Widrow et al. 1975) rather than of a room's whole response, which
/// a few lines could never teach (Soo and Pang 1990 and Enzner and Vary 2006 do that for speech). A horn in unison
/// lies on the very same lines, so the gains are learnt only from windows of 85 ms in which nothing but the tones
/// sounds: those whose lines fit what is known. When they stop fitting, a stretch of windows that fit each other at
/// once (no player's lips hold the phase of a high harmonic for so long) means that the way itself has changed.
///
/// Cost a sample: some ten multiplications a line, 240 lines at most; a fit every 43 ms. Nothing allocates or locks
/// after construction.
class ToneRemover {
public:
    explicit ToneRemover(double sample_rate_hz);

    /// How strong the harmonics of a voice are played; told before it sounds, it helps to tell near pitches apart.
    void set_spectrum(int voice, std::span<const double> amplitude) noexcept {
        fit_.set_spectrum(voice, amplitude);
    }

    /// Takes our tones out of the samples. `voices`: as they are due at the microphone over these samples; a voice
    /// may be told early (gain 0) so that its first moment is not taken for a horn. `horn_sounds`: a horn was heard in
    /// what was returned last.
    void remove(std::span<float> samples, const Voices& voices, bool horn_sounds) noexcept;

    /// The streams no longer tie together as before (a device ran dry, samples were lost): learn anew.
    void lose_phase() noexcept;

    [[nodiscard]] Report report() const noexcept;

private:
    void take_voices(const Voices& voices, bool horn_sounds) noexcept;
    void learn_anew(bool horn_sounds) noexcept;
    void end_hop() noexcept;
    void learn() noexcept;
    void follow() noexcept;
    [[nodiscard]] bool fits(std::size_t among, const Path& path) noexcept;
    void adopt(const Path& path, std::size_t among) noexcept;
    void set_coefficients(double time_s) noexcept;
    void gate(std::span<float> samples, const Voices& voices, bool horn_sounds) noexcept;

    double rate_hz_;
    LineBank bank_;
    PathFit fit_;
    Path path_;
    Path trial_;
    double time_s_ = 0.0; ///< of the next sample

    State state_ = State::silent;
    std::size_t hops_ = 0;         ///< since a voice changed
    std::size_t steady_ = 0;       ///< of the newest frames with steady gains
    std::size_t since_learnt_ = 0; ///< good frames
    std::size_t misfits_ = 0;      ///< of the newest frames
    bool horn_before_ = false;     ///< a horn sounded when learning began
    double floor_ = 0.0;           ///< what is left of a good frame
    double quiet_ = 0.0;           ///< mean square of the sound in good frames
    double rest_ = 0.0;            ///< the same after removal
    Report report_;
    int changes_ = 0;

    // The gate: what it may be loud without being let through.
    double room_ = 0.0;     ///< least mean square of late without our tones
    double expected_ = 0.0; ///< of what rings of our tones, learnt
    double fading_s_ = 0.0; ///< since our tones began to fade
    double unlearnt_ = 0.0; ///< loudest window since learning began
    double short_ = 0.0;    ///< mean square over some 10 ms
    float let_through_ = 1.0F;
};

} // namespace bellhand::bleed

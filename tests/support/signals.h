#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <random>
#include <span>
#include <string>
#include <string_view>
#include <vector>

/// Horn-like tones whose pitch is known at every instant, for tests and for measuring the estimator.
namespace bellhand::test {

/// Mono, nominal full scale 1.0; a tone made here has unit power (rms 1) before `normalised`.
using Samples = std::vector<double>;

/// Same seed, same numbers on every machine (the standard's distributions are not specified that far).
class Random {
public:
    explicit Random(std::uint64_t seed) : bits_(seed) {}
    explicit Random(std::string_view
                        name); ///< seeded by a name: a signal keeps its sound when others are added
    [[nodiscard]] double uniform(); ///< 0 <= u < 1
    [[nodiscard]] double between(double low, double high) { return low + (high - low) * uniform(); }
    [[nodiscard]] double gauss(); ///< mean 0, variance 1 (Box and Muller, 1958)
    [[nodiscard]] std::size_t below(std::size_t count); ///< 0 .. count-1

private:
    std::mt19937_64 bits_;
};

/// Linear amplitude of harmonic i+1.
using Spectrum = std::vector<double>;

enum class Timbre {
    open,    ///< one broad formant near 450 Hz: the fundamental weak below it, strong above
    stopped, ///< fundamental 25-40 dB under harmonics 4-8
    brassy,  ///< rises to 1.2-2 kHz and falls slowly: loud playing with shock waves in the tube
    soft,    ///< pianissimo: the lowest few harmonics and little else
};
[[nodiscard]] const char* timbre_name(Timbre timbre) noexcept;

/// A plausible spectrum for a pitch. Shapes after the levels tabulated in published measurements of horn tones (weak
/// fundamental under 250 Hz, formant, stopped tones with a boosted 2-3 kHz region); exact figures are invented and
/// vary with `random`, so that no estimator can learn them.
[[nodiscard]] Spectrum spectrum(Timbre timbre, double f0_hz, double highest_hz, Random& random);

/// Harmonic levels that were measured on a recorded tone.
struct MeasuredTone {
    std::string name;
    std::string technique; ///< "open" or "muted"
    double f0_hz = 0.0;
    Spectrum amplitudes;
};
/// Reads `harmonics.csv` (columns tone, note, technique, dynamic, f0_hz, h1_db ...). Empty when the file is not there.
[[nodiscard]] std::vector<MeasuredTone> read_measured_tones(const std::string& path);

/// What lips do: all of it belongs to the true pitch, which the truth files follow.
struct LipMotion {
    double slow_cents =
        0.0; ///< standard deviation of a random walk pulled back over about half a second
    double fast_cents = 0.0; ///< standard deviation of a tremor between about 8 and 30 Hz
    double level_db = 0.0;   ///< standard deviation of the level's wander below about 6 Hz
};

/// A tone from start to end. Pitch is a function of time; the spectrum may turn into a second one (another note).
struct ToneShape {
    double on_s = 0.15;
    double off_s = 1.05;
    double attack_s = 0.015;
    double release_s = 0.03;
    double scoop_cents =
        0.0;            ///< how far off the first moment is; relaxes with a time constant of 25 ms
    double chiff = 0.0; ///< noise burst at the attack, rms relative to the tone
    bool bright_last = false; ///< high harmonics grow later than low ones, as on brass
    std::function<double(double)> f0_hz;
    Spectrum first;
    Spectrum second;                               ///< empty: the first one stays
    std::function<double(double)> share_of_second; ///< 0..1 over time
    std::function<double(double)> gain;            ///< empty: 1; for re-attacks and dips
    LipMotion lips;
};

/// A tone with its truth.
struct KnownTone {
    Samples samples;
    std::vector<double> f0_hz; ///< true pitch every millisecond, 0 = no tone
};

/// Sums harmonics over one running phase, so that pitch may move in any way and all harmonics stay exact multiples
/// (sustained brass tones are mode-locked: Fletcher 1978). Harmonics above 0.45 of the sample rate are left out.
[[nodiscard]] KnownTone
make_tone(const ToneShape& shape, double length_s, double rate_hz, Random& random);

[[nodiscard]] double rms(std::span<const double> samples) noexcept;
[[nodiscard]] double from_db(double db) noexcept;

/// Scales so that unit power becomes `tone_dbfs`; less if it would clip.
[[nodiscard]] std::vector<float> normalised(std::span<const double> samples,
                                            double tone_dbfs = -21.0);

/// Writes a mono 16-bit WAV. False when it cannot.
[[nodiscard]] bool
write_wav(const std::string& path, std::span<const float> samples, double rate_hz);
/// Reads any sound file as mono (mean of the channels). Empty when it cannot.
[[nodiscard]] std::vector<float> read_sound(const std::string& path, double& rate_hz);

} // namespace bellhand::test

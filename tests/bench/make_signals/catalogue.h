#pragma once

#include "support/signals.h"

#include <array>
#include <cstdio>
#include <memory>
#include <string>
#include <vector>

namespace bellhand::test {

class DroneRig;

inline constexpr double kRateHz = 48000.0;
inline constexpr std::array<Timbre, 4> kTimbres{
    Timbre::open, Timbre::stopped, Timbre::brassy, Timbre::soft};

/// One line of the manifest.
struct Entry {
    std::string name;
    std::string kind;
    std::string profile;
    double snr_db = 30.0;
    double f0_hz = 0.0;
    double f1_hz = 0.0; ///< pitch after the change, else the same
    double on_s = 0.0;
    double off_s = 0.0;
    double change_from_s = 0.0;
    double change_to_s = 0.0;
    double rate_hz = kRateHz;
};

/// A folder of signals being filled.
class Catalogue {
public:
    /// Only signals whose name contains `only` are wanted. Another `seed` makes another set of the same kinds: other
    /// pitches, spectra and noise. Ends the program when the folder cannot be written.
    Catalogue(std::string folder, std::string only, std::string seed);
    Catalogue(const Catalogue&) = delete;
    Catalogue& operator=(const Catalogue&) = delete;
    ~Catalogue() { std::fclose(manifest_); }

    [[nodiscard]] bool wants(const std::string& name) const {
        return name.find(only_) != std::string::npos;
    }
    [[nodiscard]] std::string seeded(const std::string& name) const { return seed_ + name; }
    /// From now on one signal in three, with a prelude; the same with a drone added goes into the folder "with" beside
    /// what is played (played/NAME.csv).
    void add_drones(const DroneRig& rig);
    /// Writes sound, truth and manifest line. Ends the program when that fails.
    void put(const Entry& entry, const Samples& samples, const std::vector<double>& truth);
    [[nodiscard]] int count() const { return count_; }
    [[nodiscard]] double seconds() const { return seconds_; }

private:
    void write(const Entry& entry, const Samples& samples, const std::vector<double>& truth);
    void put_with_drone(Entry entry, Samples samples, std::vector<double> truth);

    std::string folder_;
    std::string only_;
    std::string seed_;
    std::FILE* manifest_ = nullptr;
    int count_ = 0;
    double seconds_ = 0.0;
    const DroneRig* rig_ = nullptr;
    std::unique_ptr<Catalogue> with_drone_;
};

/// `count` pitches in equal musical steps, each moved by up to a third of a semitone so that no tempered grid is hit.
[[nodiscard]] std::vector<double>
ladder(double low_hz, double high_hz, int count, const std::string& seed);
[[nodiscard]] double highest_hz(double rate_hz);
[[nodiscard]] ToneShape held(double f0_hz, const Spectrum& levels, double on_s, double off_s);
/// "stem_07".
[[nodiscard]] std::string numbered(const std::string& stem, std::size_t i);

/// A held tone, then something done to it.
template <typename Disturb>
void disturbed(Catalogue& all, Entry e, Timbre timbre, Disturb disturb) {
    if (!all.wants(e.name)) {
        return;
    }
    Random random(all.seeded(e.name));
    e.profile = timbre_name(timbre);
    e.f1_hz = e.f0_hz;
    e.on_s = 0.2;
    e.off_s = 1.2;
    KnownTone tone = make_tone(
        held(e.f0_hz, spectrum(timbre, e.f0_hz, highest_hz(e.rate_hz), random), e.on_s, e.off_s),
        1.4,
        e.rate_hz,
        random);
    disturb(tone.samples, random);
    all.put(e, tone.samples, tone.f0_hz);
}

// The chapters of the set.
void steady_tones(Catalogue& all, const std::vector<MeasuredTone>& measured);
void living_tones(Catalogue& all, const std::vector<MeasuredTone>& measured);
void sample_rates(Catalogue& all);
void note_changes(Catalogue& all);
void moving_pitch(Catalogue& all);
void rooms(Catalogue& all);
void disturbed_tones(Catalogue& all);
void speech_around(Catalogue& all);
void no_horn(Catalogue& all);

} // namespace bellhand::test

// The metronome's clicks in the microphone beside the horn: what they do to the notes that are heard. They are not taken
// out; where the microphone hears them the player is asked to wear headphones.
#include "audio/reference_player.h"
#include "support/heard_sound.h"
#include "support/performance.h"

#include <algorithm>
#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

constexpr double kRate_hz = 48000.0;
constexpr int kPerformances = 6;

double peak_of(const std::vector<float>& samples) {
    float peak = 0.0F;
    for (const float sample : samples) {
        peak = std::max(peak, std::abs(sample));
    }
    return static_cast<double>(peak);
}

/// Clicks at a beat of their own, not the player's: they fall anywhere in the notes.
std::vector<float> clicks(std::size_t samples, double beats_per_minute) {
    audio::ReferenceSound wanted;
    wanted.beats_per_minute = beats_per_minute;
    audio::ReferencePlayer player;
    player.prepare(kRate_hz, 1);
    player.want(wanted);
    std::vector<float> out(samples);
    for (std::size_t done = 0; done < samples; done += 256) {
        player.fill(std::span(out).subspan(done, std::min<std::size_t>(256, samples - done)));
    }
    return out;
}

/// What clicks changed in what is heard of six melodies.
struct Harm {
    int notes = 0;     ///< heard without clicks
    int otherwise = 0; ///< not heard at the same place as the same note, or heard beside them
    double most_cents = 0.0;
    double most_start_s = 0.0;
};

/// `level_db`: peak of the clicks against the peak of the horn.
Harm harm_of(double level_db) {
    Harm harm;
    for (std::uint64_t seed = 1; seed <= kPerformances; ++seed) {
        test::PlayerScript script;
        script.seed = seed;
        script.tuning.crook = *horn::parse_crook(seed % 2 == 0 ? "F" : "D");
        const auto played =
            test::perform(test::random_melody(script.tuning.crook, 24, seed), script);
        const std::vector<float> alone = audio::render(test::sound_of(played, seed), kRate_hz);
        const std::vector<float> beats =
            clicks(alone.size(), 61.0 + 13.0 * static_cast<double>(seed));
        REQUIRE(peak_of(beats) > 0.0);
        const double gain = peak_of(alone) / peak_of(beats) * std::pow(10.0, level_db / 20.0);
        std::vector<float> both = alone;
        for (std::size_t i = 0; i < both.size(); ++i) {
            both[i] += static_cast<float>(gain * static_cast<double>(beats[i]));
        }
        const auto before = test::hear_sound(alone, kRate_hz, script.tuning).notes;
        const auto after = test::hear_sound(both, kRate_hz, script.tuning).notes;
        harm.notes += static_cast<int>(before.size());
        std::size_t found = 0;
        for (const trainer::PlayedNote& note : before) {
            const auto same = std::find_if(after.begin(), after.end(), [&](const auto& other) {
                return std::abs(other.start_s - note.start_s) < 0.060 &&
                       other.written.number == note.written.number;
            });
            if (same == after.end()) {
                ++harm.otherwise;
                continue;
            }
            ++found;
            harm.most_cents =
                std::max(harm.most_cents, std::abs(same->deviation_cents - note.deviation_cents));
            harm.most_start_s = std::max(harm.most_start_s, std::abs(same->start_s - note.start_s));
        }
        harm.otherwise += static_cast<int>(after.size() - found);
    }
    MESSAGE(level_db,
            " dB: ",
            harm.notes,
            " notes, ",
            harm.otherwise,
            " otherwise, held within ",
            harm.most_cents,
            " cents, begun within ",
            1000.0 * harm.most_start_s,
            " ms");
    return harm;
}

} // namespace

TEST_CASE("clicks far under the horn are heard as no note and move none") {
    for (const double level_db : {-30.0, -24.0}) {
        CAPTURE(level_db);
        const Harm harm = harm_of(level_db);
        REQUIRE(harm.notes > 100);
        CHECK(harm.otherwise == 0);
        CHECK(harm.most_cents < 0.2);
        CHECK(harm.most_start_s < 0.020);
    }
}

TEST_CASE("louder ones split notes, which is why headphones are asked for, but leave their pitch") {
    const Harm near_horn = harm_of(-12.0);
    CHECK(near_horn.otherwise <= 8); // of 144; 4 as measured
    CHECK(near_horn.most_cents < 0.5);
    const Harm as_horn = harm_of(0.0);
    CHECK(as_horn.otherwise >
          near_horn.otherwise); // 41: else the words about headphones are not needed
    CHECK(as_horn.most_cents < 1.0);
}

#include "bleed/tone_remover.h"

#include "support/loudspeaker.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

double mean_square(std::span<const float> samples) {
    double sum = 0.0;
    for (const float sample : samples) {
        sum += static_cast<double>(sample) * static_cast<double>(sample);
    }
    return sum / static_cast<double>(samples.size());
}

} // namespace

TEST_SUITE("property/tone_remover") {
    TEST_CASE(
        "any chord at any rate over any clock is removed by 25 dB within two and a half seconds") {
        for (int seed = 0; seed < 60; ++seed) {
            CAPTURE(seed);
            test::Random random("chord " + std::to_string(seed));
            test::Loudspeaker speaker;
            constexpr std::array kRates{16000.0, 22050.0, 44100.0, 48000.0};
            speaker.rate_hz = kRates[random.below(kRates.size())];
            speaker.hz = {random.between(60.0, 700.0)};
            const std::size_t more = random.below(3);
            for (std::size_t v = 0; v < more; ++v) { // tempered intervals beat
                speaker.hz.push_back(speaker.hz[0] *
                                     std::exp2(static_cast<double>(3 + random.below(10)) / 12.0));
            }
            speaker.clock = random.between(-200e-6, 200e-6);
            speaker.level = std::pow(10.0, random.between(-50.0, -15.0) / 20.0);
            speaker.seed = "way " + std::to_string(seed);
            std::vector<float> sound = speaker.heard(3.0);
            for (float& sample : sound) {
                sample += static_cast<float>(speaker.level * 0.01 * random.gauss());
            }
            bleed::ToneRemover remover(speaker.rate_hz);
            const std::vector<float> left = test::removed(remover, speaker, sound);
            const auto tail = static_cast<std::ptrdiff_t>(0.5 * speaker.rate_hz);
            const double before = mean_square({sound.end() - tail, sound.end()});
            const double after = mean_square({left.end() - tail, left.end()});
            CHECK(10.0 * std::log10(after / before + 1e-20) < -25.0);
            CHECK(remover.report().state == bleed::State::removed);
        }
    }

    TEST_CASE("whatever is heard and told, what comes out is finite and never much louder than "
              "what went in") {
        for (int seed = 0; seed < 40; ++seed) {
            CAPTURE(seed);
            test::Random random("chaos " + std::to_string(seed));
            bleed::ToneRemover remover(48000.0);
            bleed::Voices voices{};
            double loudest = 0.0;
            float most = 0.0F;
            for (int block = 0; block < 1500; ++block) {
                if (random.uniform() < 0.01) { // someone plays with every control
                    auto& voice = voices[random.below(bleed::kVoices)];
                    voice.hz = random.uniform() < 0.3 ? 0.0 : random.between(20.0, 5000.0);
                    voice.gain = voice.gain_after = random.uniform() < 0.3 ? 0.0 : random.uniform();
                }
                if (random.uniform() < 0.002) {
                    remover.lose_phase();
                }
                std::vector<float> samples(1 + random.below(200));
                const double level = random.uniform() < 0.5 ? 1e-3 : 0.3;
                for (float& sample : samples) {
                    sample = static_cast<float>(level * random.gauss());
                    loudest = std::max(loudest, std::abs(static_cast<double>(sample)));
                }
                remover.remove(samples, voices, random.uniform() < 0.5);
                for (const float sample : samples) {
                    REQUIRE(std::isfinite(sample));
                    most = std::max(most, std::abs(sample));
                }
            }
            CHECK(static_cast<double>(most) < 4.0 * loudest);
        }
    }
}

#include "audio/synth_feed.h"

#include <cmath>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand::audio;

namespace {

constexpr double kRate_hz = 48000.0;

SynthScore one_tone(double f0_hz) {
    SynthScore score;
    score.noise_dbfs = -100.0;
    ToneSpec tone;
    tone.duration_s = 5.0;
    tone.f0_hz = f0_hz;
    score.tones.push_back(tone);
    score.length_s = 6.0;
    return score;
}

std::vector<float> read(SynthFeed& feed, double length_s) {
    std::vector<float> samples(static_cast<std::size_t>(length_s * kRate_hz));
    for (std::size_t at = 0; at < samples.size(); at += kBlockSamples) {
        const std::size_t count = std::min(kBlockSamples, samples.size() - at);
        const auto had = feed.read(std::span(samples).subspan(at, count));
        REQUIRE(had);
        if (*had < count) {
            samples.resize(at + *had);
            break;
        }
    }
    return samples;
}

double rms(const std::vector<float>& samples) {
    double sum = 0.0;
    for (const float sample : samples) {
        sum += static_cast<double>(sample) * static_cast<double>(sample);
    }
    return std::sqrt(sum / static_cast<double>(samples.size()));
}

float steepest(const std::vector<float>& samples) {
    float most = 0.0F;
    for (std::size_t i = 1; i < samples.size(); ++i) {
        most = std::max(most, std::fabs(samples[i] - samples[i - 1]));
    }
    return most;
}

} // namespace

TEST_SUITE("audio/synth_feed") {
    TEST_CASE("the same samples as the score rendered at once") {
        SynthFeed feed(std::make_shared<MusicStand>(one_tone(220.0)), kRate_hz);
        CHECK(read(feed, 7.0) == render(one_tone(220.0), kRate_hz));
    }

    TEST_CASE(
        "another score is played from its beginning, and what sounded fades without a click") {
        const auto stand = std::make_shared<MusicStand>(one_tone(220.0));
        SynthFeed feed(stand, kRate_hz);
        const std::vector<float> before = read(feed, 2.0);
        SynthScore silence;
        silence.noise_dbfs = -120.0;
        silence.length_s = 1.0;
        silence.repeat = true;
        stand->lay(silence);
        std::vector<float> after = read(feed, 3.0);
        REQUIRE(after.size() == static_cast<std::size_t>(3.0 * kRate_hz)); // goes on for ever
        std::vector<float> seam(before.end() - 2400, before.end());
        seam.insert(seam.end(), after.begin(), after.begin() + 2400);
        CHECK(steepest(seam) <= 1.1F * steepest(before));
        after.erase(after.begin(), after.begin() + 2400);
        CHECK(rms(after) < 1e-4 * rms(before));
    }

    TEST_CASE("what cannot be played is silence") {
        SynthScore bad = one_tone(220.0);
        bad.tones.front().f0_hz = 1e6;
        SynthFeed feed(std::make_shared<MusicStand>(bad), kRate_hz);
        CHECK(read(feed, 1.0).size() == static_cast<std::size_t>(kRate_hz));
        SynthFeed empty(std::make_shared<MusicStand>(SynthScore{}), kRate_hz);
        CHECK(read(empty, 3.0).size() ==
              static_cast<std::size_t>(kRate_hz)); // one second, then its end
    }
}

#include "audio/synth.h"

#include "audio/exact_math.h"
#include "measure.h"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <limits>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::audio;

namespace {

constexpr double kRateHz = 48000.0;

ToneSpec tone(double start_s, double duration_s, double f0_hz) {
    ToneSpec out;
    out.start_s = start_s;
    out.duration_s = duration_s;
    out.f0_hz = f0_hz;
    return out;
}

SynthScore one(const ToneSpec& spec) {
    SynthScore score;
    score.tones = {spec};
    score.length_s = spec.start_s + spec.duration_s + 0.2;
    return score;
}

std::span<const float>
part(const std::vector<float>& samples, double from_s, double to_s, double rate_hz = kRateHz) {
    const auto first = static_cast<std::size_t>(from_s * rate_hz);
    const auto last = std::min(samples.size(), static_cast<std::size_t>(to_s * rate_hz));
    return std::span<const float>(samples).subspan(first, last - first);
}

std::uint64_t fingerprint(const std::vector<float>& samples) { // FNV-1a over the bits
    std::uint64_t hash = 14695981039346656037ULL;
    for (const float sample : samples) {
        std::uint32_t bits = 0;
        std::memcpy(&bits, &sample, sizeof bits);
        hash = (hash ^ bits) * 1099511628211ULL;
    }
    return hash;
}

} // namespace

TEST_SUITE("audio/exact_math") {
    TEST_CASE("the own elementary functions agree with the C library") {
        double worst_sin = 0.0;
        double worst_exp = 0.0;
        double worst_log = 0.0;
        for (double x = -9.87; x < 10.0; x += 0.0137) {
            const exact::SinCos got = exact::sin_cos_turns(x);
            worst_sin = std::max({worst_sin,
                                  std::abs(got.sin - std::sin(exact::kTau * (x - std::floor(x)))),
                                  std::abs(got.cos - std::cos(exact::kTau * (x - std::floor(x))))});
            worst_exp = std::max(worst_exp, std::abs(exact::exp2(x) / std::exp2(x) - 1.0));
            worst_log = std::max(worst_log, std::abs(exact::log2(std::exp2(x)) - x));
        }
        CHECK(worst_sin < 5e-15);
        CHECK(worst_exp < 1e-14);
        CHECK(worst_log < 1e-13);
        CHECK(exact::amplitude_of_db(-20.0) == doctest::Approx(0.1).epsilon(1e-12));
        CHECK(exact::db_of_power(100.0) == doctest::Approx(20.0).epsilon(1e-12));
    }

    // Test vector printed by the authors' reference program for seed 1234567: from memory.
    TEST_CASE("the random numbers are those of SplitMix64") {
        exact::Random random(1234567);
        CHECK(random.bits() == 6457827717110365317ULL);
        CHECK(random.bits() == 3203168211198807973ULL);
    }

    TEST_CASE("white and bell-shaped noise have mean 0 and variance 1") {
        exact::Random random(7);
        for (const bool bell : {false, true}) {
            double sum = 0.0;
            double squares = 0.0;
            constexpr int kCount = 40000;
            for (int i = 0; i < kCount; ++i) {
                const double x = bell ? random.normal() : random.white();
                sum += x;
                squares += x * x;
            }
            CHECK(std::abs(sum / kCount) < 0.02);
            CHECK(squares / kCount == doctest::Approx(1.0).epsilon(0.03));
        }
    }
}

TEST_SUITE("audio/synth") {
    TEST_CASE("the same seed gives the same samples, another seed others") {
        ToneSpec spec = tone(0.1, 0.3, 220.0);
        spec.vibrato_hz = 5.0;
        spec.vibrato_cents = 12.0;
        spec.attack_cents = -30.0;
        spec.closure = 0.8;
        SynthScore score = one(spec);
        const std::vector<float> first = render(score, kRateHz);
        CHECK(first == render(score, kRateHz));
        // Recorded from the first build; must come out on every machine and with every compiler.
        CHECK(fingerprint(first) == 16483077775770360801ULL);
        score.seed = 2;
        CHECK(first != render(score, kRateHz));
    }

    TEST_CASE("a tone has the pitch that was asked for, at every sample rate") {
        for (const double rate_hz : {8000.0, 22050.0, 44100.0, 48000.0, 96000.0, 192000.0}) {
            for (const double f0_hz : {58.27, 174.61, 698.46}) {
                SynthScore score = one(tone(0.1, 1.0, f0_hz));
                score.jitter_cents = 0.0;
                score.noise_dbfs = -120.0;
                const std::vector<float> samples = render(score, rate_hz);
                CHECK(samples.size() == static_cast<std::size_t>(std::llround(1.3 * rate_hz)));
                const std::span<const float> held = part(samples, 0.35, 1.0, rate_hz);
                for (const int harmonic : {1, 2, 4}) {
                    const double hz = measured::line_hz(held, rate_hz, harmonic * f0_hz * 1.0005);
                    CAPTURE(rate_hz);
                    CAPTURE(f0_hz);
                    CAPTURE(harmonic);
                    // A low fundamental is so weak that the breath noise shakes its measurement.
                    CHECK(std::abs(measured::cents(hz, harmonic * f0_hz)) <
                          (harmonic == 1 ? 0.2 : 0.05));
                }
            }
        }
    }

    TEST_CASE("a tone has the level that was asked for, whatever the spectrum") {
        for (const double level_dbfs : {-40.0, -21.0, -12.0}) {
            for (const double closure : {0.0, 0.5, 1.0}) {
                ToneSpec spec = tone(0.0, 1.5, 174.6);
                spec.level_dbfs = level_dbfs;
                spec.closure = closure;
                SynthScore score = one(spec);
                score.noise_dbfs = -100.0;
                CHECK(measured::rms_dbfs(part(render(score, kRateHz), 0.2, 1.3)) ==
                      doctest::Approx(level_dbfs).epsilon(0.03));
            }
        }
    }

    TEST_CASE("the room's noise has its level, and there is nothing else before and after a tone") {
        SynthScore score = one(tone(1.0, 0.5, 233.1));
        score.length_s = 2.5;
        score.noise_dbfs = -50.0;
        const std::vector<float> samples = render(score, kRateHz);
        CHECK(std::abs(measured::rms_dbfs(part(samples, 0.0, 1.0)) + 50.0) < 0.7);
        CHECK(std::abs(measured::rms_dbfs(part(samples, 1.5, 2.5)) + 50.0) < 0.7);
        CHECK(measured::rms_dbfs(part(samples, 1.1, 1.4)) > -23.0);
    }

    TEST_CASE("nothing is folded back from above half the sample rate") {
        // At 8 kHz a brassy stopped tone of 430 Hz would fold its harmonics to 8000 - 430 k: 260, 690, 1120 ...
        ToneSpec spec = tone(0.0, 1.0, 430.0);
        spec.closure = 1.0;
        spec.brightness = 1.0;
        SynthScore score = one(spec);
        score.jitter_cents = 0.0;
        score.noise_dbfs = -140.0;
        const std::vector<float> samples = render(score, 8000.0);
        const std::span<const float> held = part(samples, 0.3, 0.8, 8000.0);
        for (int k = 10; k <= 17; ++k) {
            CAPTURE(k);
            CHECK(measured::line_dbfs(held, 8000.0, 8000.0 - 430.0 * k) <
                  -70.0); // breath noise only
        }
    }

    TEST_CASE("the attack starts off pitch and settles within about 60 ms") {
        ToneSpec spec = tone(0.1, 0.6, 220.0);
        spec.attack_cents = -40.0;
        SynthScore score = one(spec);
        score.jitter_cents = 0.0;
        const Rendering out = render_with_truth(score, kRateHz);
        const auto at = [&](double time_s) {
            return measured::cents(
                static_cast<double>(out.f0_hz[static_cast<std::size_t>(time_s * kRateHz)]), 220.0);
        };
        CHECK(at(0.104) < -25.0);
        CHECK(std::abs(at(0.16)) < 2.0);
        CHECK(std::abs(at(0.30)) < 0.01);
    }

    TEST_CASE("drift and vibrato have the rate and the extent that were asked for") {
        ToneSpec spec = tone(0.0, 2.0, 220.0);
        spec.drift_cents_per_s = 10.0;
        SynthScore score = one(spec);
        score.jitter_cents = 0.0;
        Rendering out = render_with_truth(score, kRateHz);
        const auto hz_at = [&](double time_s) {
            return static_cast<double>(out.f0_hz[static_cast<std::size_t>(time_s * kRateHz)]);
        };
        CHECK(measured::cents(hz_at(1.5), hz_at(0.5)) == doctest::Approx(10.0).epsilon(0.01));
        CHECK(std::abs(measured::cents(hz_at(1.0), 220.0)) < 0.05);

        score.tones[0].drift_cents_per_s = 0.0;
        score.tones[0].vibrato_hz = 5.0;
        score.tones[0].vibrato_cents = 20.0;
        out = render_with_truth(score, kRateHz);
        CHECK(measured::cents(hz_at(1.05), 220.0) ==
              doctest::Approx(20.0).epsilon(0.02)); // a quarter period
        CHECK(measured::cents(hz_at(1.15), 220.0) == doctest::Approx(-20.0).epsilon(0.02));
    }

    TEST_CASE("the lips wander slowly, by as much as was asked for") {
        SynthScore score = one(tone(0.0, 30.0, 220.0));
        score.jitter_cents = 4.0;
        const Rendering out = render_with_truth(score, 8000.0);
        double sum = 0.0;
        double squares = 0.0;
        double fastest = 0.0;
        int count = 0;
        double before = 0.0;
        for (std::size_t i = 8000; i < 29 * 8000; i += 80) { // every 10 ms
            const double cents = measured::cents(static_cast<double>(out.f0_hz[i]), 220.0);
            if (count > 0) {
                fastest = std::max(fastest, std::abs(cents - before));
            }
            before = cents;
            sum += cents;
            squares += cents * cents;
            ++count;
        }
        const double mean = sum / count;
        CHECK(std::sqrt(squares / count - mean * mean) == doctest::Approx(4.0).epsilon(0.25));
        CHECK(fastest < 8.0);
    }

    TEST_CASE("a slur passes from note to note without a break in the waveform or a new attack") {
        SynthScore score;
        score.tones = {tone(0.1, 0.5, 174.6), tone(0.6, 0.5, 233.1)};
        score.tones[1].slurred = true;
        score.jitter_cents = 0.0;
        score.noise_dbfs = -140.0;
        const Rendering out = render_with_truth(score, kRateHz);
        double steepest_held = 0.0;
        double steepest_slur = 0.0;
        for (std::size_t i = 1; i < out.samples.size(); ++i) {
            const double step = std::abs(static_cast<double>(out.samples[i]) -
                                         static_cast<double>(out.samples[i - 1]));
            const double time_s = static_cast<double>(i) / kRateHz;
            if (time_s > 0.58 && time_s < 0.65) {
                steepest_slur = std::max(steepest_slur, step);
            } else if ((time_s > 0.3 && time_s < 0.55) || (time_s > 0.8 && time_s < 1.0)) {
                steepest_held = std::max(steepest_held, step);
            }
        }
        CHECK(steepest_slur < 1.1 * steepest_held);
        const double held_dbfs = measured::rms_dbfs(part(out.samples, 0.3, 0.5));
        CHECK(measured::rms_dbfs(part(out.samples, 0.60, 0.63)) > held_dbfs - 8.0);
        const double half_way =
            static_cast<double>(out.f0_hz[static_cast<std::size_t>(0.615 * kRateHz)]);
        CHECK(half_way > 190.0);
        CHECK(half_way < 215.0);
        CHECK(static_cast<double>(out.f0_hz[static_cast<std::size_t>(0.64 * kRateHz)]) ==
              doctest::Approx(233.1).epsilon(1e-5));

        score.tones[1].slurred = false; // the same tongued: silence between, for a moment
        const std::vector<float> tongued = render(score, kRateHz);
        CHECK(measured::rms_dbfs(part(tongued, 0.597, 0.601)) < held_dbfs - 20.0);
    }

    TEST_CASE("an attack carries more noise than the held tone") {
        SynthScore score = one(tone(0.1, 1.0, 440.0));
        score.noise_dbfs = -140.0;
        score.jitter_cents = 0.0;
        const std::vector<float> samples = render(score, kRateHz);
        // Between harmonics, where only noise stands.
        const double attack = measured::line_dbfs(part(samples, 0.1, 0.16), kRateHz, 1100.0);
        const double held = measured::line_dbfs(part(samples, 0.6, 0.66), kRateHz, 1100.0);
        CHECK(attack > held + 10.0);
    }

    TEST_CASE("scores that cannot be played are refused with the number of the tone") {
        SynthScore score = one(tone(0.0, 1.0, 220.0));
        CHECK(check_score(score, kRateHz).has_value());
        CHECK_FALSE(check_score(score, 4000.0).has_value());
        score.tones.push_back(tone(0.5, 1.0, 220.0));
        CHECK(check_score(score, kRateHz).error().message ==
              "Tone 2 of the demo player's score begins before the tone before it has ended.");
        CHECK(render(score, kRateHz).empty());
        score.tones[1] = tone(2.0, 1.0, std::numeric_limits<double>::quiet_NaN());
        CHECK_FALSE(check_score(score, kRateHz).has_value());
        score.tones[1] = tone(2.0, 0.0, 220.0);
        CHECK_FALSE(check_score(score, kRateHz).has_value());
        score.tones[1] = tone(2.0, 1.0, 30000.0);
        CHECK_FALSE(check_score(score, kRateHz).has_value());
        score.tones[1] = tone(30000.0, 1.0, 220.0);
        CHECK_FALSE(check_score(score, kRateHz).has_value());

        BlockRing ring(16);
        const std::unique_ptr<Source> source = make_synth(score, Pace::as_fast_as_possible);
        const Result<void> started = source->start(ring);
        REQUIRE_FALSE(started.has_value());
        CHECK(started.error().kind == ErrorKind::usage);
        CHECK(source->status().state == SourceState::failed);
    }

    TEST_CASE("an empty score is a second of room") {
        CHECK(render(SynthScore{}, 8000.0).size() == 8000);
    }
}

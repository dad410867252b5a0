#include "pitch/estimator.h"

#include "support/alloc_guard.h"
#include "support/signals.h"
#include "support/signals_disturb.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand::pitch;
using namespace bellhand::test;

namespace {

constexpr double kRate_hz = 48000.0;

double cents(double a, double b) {
    return 1200.0 * std::log2(a / b);
}

std::vector<PitchFrame> run(Estimator& estimator, std::span<const float> rest) {
    std::vector<PitchFrame> frames;
    while (!rest.empty()) {
        rest = rest.subspan(estimator.push(rest));
        PitchFrame frame;
        if (estimator.frame(frame))
            frames.push_back(frame);
    }
    return frames;
}

std::vector<PitchFrame> hear(std::span<const float> x, double rate_hz = kRate_hz) {
    return run(*make_estimator({rate_hz, 0.0}).value(), x);
}

// A tone from 0.1 s to 0.6 s (or `off_s`) in 0.7 s (or 0.1 s more) of white noise.
std::vector<float> noisy_tone(Timbre timbre,
                              double f0_hz,
                              double snr_db,
                              std::string_view seed,
                              double rate_hz = kRate_hz,
                              double off_s = 0.6) {
    Random random(seed);
    ToneShape shape;
    shape.on_s = 0.1;
    shape.off_s = off_s;
    shape.first = spectrum(timbre, f0_hz, 0.42 * rate_hz, random);
    shape.f0_hz = [f0_hz](double) { return f0_hz; };
    Samples x = make_tone(shape, off_s + 0.1, rate_hz, random).samples;
    add_white(x, snr_db, random);
    return normalised(x);
}

std::vector<float> moving_tone(double seconds, const std::function<double(double)>& f0_hz) {
    Random random("moving");
    ToneShape shape;
    shape.on_s = 0.05;
    shape.off_s = seconds - 0.05;
    shape.first = spectrum(Timbre::stopped, f0_hz(0.0), 19000.0, random);
    shape.f0_hz = f0_hz;
    Samples x = make_tone(shape, seconds, kRate_hz, random).samples;
    add_white(x, 35.0, random);
    return normalised(x);
}

} // namespace

TEST_SUITE("pitch/estimator") {
    TEST_CASE("open, stopped, brassy and soft notes from 43 to 1390 Hz are heard at their pitch") {
        for (Timbre timbre : {Timbre::open, Timbre::stopped, Timbre::brassy, Timbre::soft}) {
            for (double f0 : {43.4, 58.1, 97.3, 174.0, 351.0, 702.0, 1390.0}) {
                const auto frames = hear(noisy_tone(timbre, f0, 25.0, "pitches"));
                CAPTURE(timbre_name(timbre));
                CAPTURE(f0);
                int wrong = 0;
                double worst_judged = 0.0;
                double worst_live = 0.0;
                for (const PitchFrame& frame : frames) {
                    if (frame.time_s < 0.4 || frame.time_s > 0.58)
                        continue;
                    if (!frame.voiced || std::abs(cents(frame.f0_hz, f0)) > 50.0) {
                        ++wrong;
                        continue;
                    }
                    worst_judged = std::max(worst_judged, std::abs(cents(frame.judged_hz, f0)));
                    worst_live = std::max(worst_live, std::abs(cents(frame.f0_hz, f0)));
                }
                CHECK(wrong == 0);
                CHECK(worst_judged < 1.0);
                CHECK(worst_live < 4.0);
            }
        }
    }

    TEST_CASE("every sample rate hears the same") {
        for (double rate : {8000.0,
                            11025.0,
                            16000.0,
                            22050.0,
                            32000.0,
                            44100.0,
                            48000.0,
                            88200.0,
                            96000.0,
                            192000.0}) {
            const auto frames = hear(noisy_tone(Timbre::stopped, 146.9, 35.0, "rates", rate), rate);
            CAPTURE(rate);
            const auto at = std::find_if(
                frames.begin(), frames.end(), [](const PitchFrame& f) { return f.time_s > 0.5; });
            REQUIRE(at != frames.end());
            REQUIRE(at->voiced);
            CHECK(std::abs(cents(at->judged_hz, 146.9)) < 0.15);
            CHECK(std::abs(cents(at->f0_hz, 146.9)) < 1.0);
        }
    }

    TEST_CASE("a missing fundamental is no octave error") {
        std::vector<float> x(static_cast<std::size_t>(0.5 * kRate_hz));
        for (std::size_t n = 0; n < x.size(); ++n) {
            double v = 0.0;
            for (int l = 3; l <= 9; ++l)
                v += std::sin(
                    2.0 * std::numbers::pi * 87.1 * l * static_cast<double>(n) / kRate_hz + l * l);
            x[n] = static_cast<float>(0.05 * v);
        }
        const PitchFrame last = hear(x).back();
        REQUIRE(last.voiced);
        CHECK(std::abs(cents(last.judged_hz, 87.1)) < 0.1);
    }

    TEST_CASE("the live value describes the newest sample and the judged one its stated instant") {
        // 100 cents in 0.3 s from 0.4 s on, the pace of a slow glide.
        const auto truth = [](double t) {
            return 311.0 * std::exp2(std::clamp((t - 0.4) / 0.3, 0.0, 1.0) / 12.0);
        };
        double worst_live = 0.0;
        double worst_judged = 0.0;
        double before_s = 0.0;
        for (const PitchFrame& frame : hear(moving_tone(1.0, truth))) {
            if (frame.time_s < 0.45 || frame.time_s > 0.68)
                continue;
            REQUIRE(frame.voiced);
            worst_live = std::max(worst_live, std::abs(cents(frame.f0_hz, truth(frame.time_s))));
            worst_judged = std::max(worst_judged,
                                    std::abs(cents(frame.judged_hz, truth(frame.judged_time_s))));
            CHECK(frame.judged_time_s > before_s);
            CHECK(frame.judged_time_s < frame.time_s);
            CHECK(frame.judged_time_s > frame.time_s - 0.08);
            before_s = frame.judged_time_s;
        }
        CHECK(worst_live < 1.5); // a reading one hop late would be 1.8 cents off
        CHECK(worst_judged < 0.3);
    }

    TEST_CASE("a step is seen at once, and said to be an onset") {
        const auto truth = [](double t) { return t < 0.5 ? 233.0 : 233.0 * std::exp2(1.0 / 12.0); };
        double settled_s = -1.0;
        bool onset = false;
        for (const PitchFrame& frame : hear(moving_tone(0.9, truth))) {
            if (frame.time_s < 0.5 || frame.time_s > 0.84)
                continue;
            const bool right = frame.voiced && std::abs(cents(frame.f0_hz, truth(0.8))) < 10.0;
            if (!right)
                settled_s = -1.0;
            else if (settled_s < 0.0)
                settled_s = frame.time_s;
            if (frame.onset) {
                onset = true;
                CHECK(std::abs(frame.onset_time_s - 0.5) < 0.01);
            }
        }
        CHECK(onset);
        REQUIRE(settled_s > 0.0);
        CHECK(settled_s < 0.525);
    }

    TEST_CASE("two thirds of the errors lie within one stated deviation") {
        int live = 0, judged = 0, count = 0;
        for (int i = 0; i < 24; ++i) {
            const double f0 = 60.0 * std::exp2(i * 0.19);
            const auto frames = hear(noisy_tone(i % 2 == 0 ? Timbre::open : Timbre::stopped,
                                                f0,
                                                i % 3 == 0 ? 10.0 : 20.0,
                                                "deviation " + std::to_string(i)));
            for (const PitchFrame& frame : frames) {
                if (frame.time_s < 0.4 || frame.time_s > 0.58 || !frame.voiced)
                    continue;
                ++count;
                live += std::abs(cents(frame.f0_hz, f0)) < frame.f0_sd_cents ? 1 : 0;
                judged += std::abs(cents(frame.judged_hz, f0)) < frame.judged_sd_cents ? 1 : 0;
            }
        }
        REQUIRE(count > 700);
        CHECK(live / static_cast<double>(count) == doctest::Approx(0.68).epsilon(0.15));
        CHECK(judged / static_cast<double>(count) == doctest::Approx(0.68).epsilon(0.15));
    }

    TEST_CASE("white, pink and hum alone have no pitch") {
        for (int kind = 0; kind < 3; ++kind) {
            Random random("alone");
            Samples x(static_cast<std::size_t>(1.5 * kRate_hz), 0.0);
            if (kind == 0)
                add_white(x, 10.0, random);
            else if (kind == 1)
                add_pink(x, 10.0, kRate_hz, random);
            else
                add_hum(x, 15.0, 50.0, kRate_hz, random);
            int voiced = 0;
            for (const PitchFrame& frame : hear(normalised(x)))
                voiced += frame.voiced ? 1 : 0;
            CAPTURE(kind);
            CHECK(voiced == 0);
        }
    }

    TEST_CASE("a prior for the wrong crook is overruled, and never moves the value") {
        PitchPrior prior;
        for (int n = 1; n <= 16; ++n)
            prior.peaks[static_cast<std::size_t>(prior.count++)] = {58.27 * n, 30.0, 1.0};
        auto estimator = make_estimator({}).value();
        estimator->set_prior(prior);
        const double f0 = 262.9; // half-way between partials 4 and 5 of the supposed crook
        const auto with = run(*estimator, noisy_tone(Timbre::open, f0, 30.0, "prior"));
        const auto without = hear(noisy_tone(Timbre::open, f0, 30.0, "prior"));
        const std::size_t at = static_cast<std::size_t>(0.5 / (256.0 / kRate_hz));
        REQUIRE(with[at].voiced);
        CHECK(std::abs(cents(with[at].judged_hz, f0)) < 0.5);
        CHECK(std::abs(cents(with[at].judged_hz, without[at].judged_hz)) < 0.05);
    }

    TEST_CASE("levels of tone, harmonics and room are right; clipping is said") {
        // 0.25 peak is -15.05 dBFS rms; a second harmonic 6 dB lower.
        std::vector<float> x(static_cast<std::size_t>(0.5 * kRate_hz));
        for (std::size_t n = 0; n < x.size(); ++n) {
            const double t = static_cast<double>(n) / kRate_hz;
            x[n] = static_cast<float>(0.25 * std::sin(2.0 * std::numbers::pi * 500.0 * t) +
                                      0.125 * std::sin(2.0 * std::numbers::pi * 1000.0 * t));
        }
        const PitchFrame last = hear(x).back();
        REQUIRE(last.voiced);
        CHECK(last.harmonic_db[0] == doctest::Approx(-15.05).epsilon(0.01));
        CHECK(last.harmonic_db[1] == doctest::Approx(-21.07).epsilon(0.01));
        CHECK(last.level_dbfs == doctest::Approx(-14.08).epsilon(0.02));
        // A-weighting: -3.2 dB at 500 Hz, 0 at 1 kHz (IEC 61672-1, table 3).
        // Over a hop the power of 500 Hz ripples: the mean of whole periods is meant.
        double power = 0.0;
        const auto frames = hear(x);
        for (std::size_t i = frames.size() - 48; i < frames.size(); ++i)
            power += std::pow(10.0, 0.1 * static_cast<double>(frames[i].level_dba)) / 48.0;
        CHECK(10.0 * std::log10(power) ==
              doctest::Approx(10.0 * std::log10(0.25 * 0.25 / 2.0 * 0.479 + 0.125 * 0.125 / 2.0))
                  .epsilon(0.005));
        CHECK_FALSE(last.clipped);
        for (float& v : x)
            v = std::clamp(6.0F * v, -1.0F, 1.0F);
        const PitchFrame loud = hear(x).back();
        CHECK(loud.clipped);
        CHECK(std::abs(cents(loud.judged_hz, 500.0)) < 0.1);
        Random random("room");
        Samples room(static_cast<std::size_t>(kRate_hz), 0.0);
        add_white(room, 40.0, random);
        const auto quiet = normalised(room);
        CHECK(hear(quiet).back().noise_dbfs == doctest::Approx(-21.0 - 40.0).epsilon(0.02));
    }

    TEST_CASE("a gap keeps time and forgets the waveform") {
        const auto x = noisy_tone(Timbre::open, 220.5, 30.0, "gap");
        auto estimator = make_estimator({kRate_hz, 1.0}).value();
        const std::span<const float> all(x);
        const auto before = run(*estimator, all.subspan(0, 24000));
        REQUIRE(before.back().voiced);
        estimator->gap(4800);
        const auto after = run(*estimator, all.subspan(0, 4096));
        CHECK(after.front().time_s == doctest::Approx(1.0 + 28800.0 / kRate_hz).epsilon(0.0025));
        CHECK_FALSE(after.front().voiced);
        CHECK(after.front().dropped_samples == 4800);
    }

    // What the ear must hear before it shows a note: the part of the way from sound to screen that no computer shortens.
    TEST_CASE("a tongued note out of silence is shown within 60 ms of its first sample") {
        std::vector<double> needed_ms;
        for (int i = 0; i < 20; ++i) {
            const double f0_hz = 131.0 * std::exp2(i / 9.0);
            Random random("burst " + std::to_string(i));
            ToneShape shape;
            shape.on_s = 0.3 + 0.0013 * i; // anywhere in a hop
            shape.off_s = shape.on_s + 0.3;
            shape.attack_s = 0.008;
            shape.first = spectrum(Timbre::open, f0_hz, 12000.0, random);
            shape.f0_hz = [f0_hz](double) { return f0_hz; };
            Samples x = make_tone(shape, 0.7, kRate_hz, random).samples;
            const std::vector<float> sound = normalised(x);
            const auto frames = hear(sound);
            const auto shown =
                std::find_if(frames.begin(), frames.end(), [&](const PitchFrame& frame) {
                    return frame.voiced && std::abs(cents(frame.f0_hz, f0_hz)) < 50.0;
                });
            REQUIRE(shown != frames.end());
            needed_ms.push_back(1e3 * (shown->time_s - shape.on_s));
        }
        std::sort(needed_ms.begin(), needed_ms.end());
        CHECK(needed_ms[10] < 53.0);
        CHECK(needed_ms.back() < 60.0);
    }

    TEST_CASE("silence and samples that are not numbers give no pitch and do no lasting harm") {
        auto estimator = make_estimator({}).value();
        std::vector<float> x(9600, 0.0F);
        x[5000] = std::numeric_limits<float>::quiet_NaN();
        x[6000] = std::numeric_limits<float>::infinity();
        for (const PitchFrame& frame : run(*estimator, x)) {
            CHECK_FALSE(frame.voiced);
            CHECK(frame.level_dbfs < -100.0F);
        }
        auto tone = noisy_tone(Timbre::open, 220.5, 30.0, "numbers");
        tone[20000] = std::numeric_limits<float>::quiet_NaN();
        int wrong = 0;
        for (const PitchFrame& frame : run(*estimator, tone))
            wrong += frame.voiced && !std::isfinite(frame.f0_hz + frame.judged_hz) ? 1 : 0;
        CHECK(wrong == 0);
    }

    TEST_CASE("nothing allocates, locks or touches a file once it is made") {
        if (!RealTimeScope::available()) {
            MESSAGE("skipped: calls cannot be counted under a sanitizer");
            return;
        }
        // Note, slur, rest, deep note: every path of the analysis.
        auto x = moving_tone(0.9, [](double t) { return t < 0.5 ? 233.0 : 311.0; });
        const auto deep = noisy_tone(Timbre::stopped, 47.0, 20.0, "deep");
        x.insert(x.end(), 9600, 0.0F);
        x.insert(x.end(), deep.begin(), deep.end());
        auto estimator = make_estimator({}).value();
        std::span<const float> rest(x);
        PitchFrame frame;
        int voiced = 0;
        const RealTimeScope scope;
        while (!rest.empty()) {
            rest = rest.subspan(estimator->push(rest));
            voiced += estimator->frame(frame) && frame.voiced ? 1 : 0;
        }
        const ForbiddenCalls calls = scope.calls();
        CHECK(voiced > 100);
        CHECK(calls.total() == 0);
    }

    TEST_CASE("a sample rate it cannot serve is refused in a sentence") {
        for (double rate : {4000.0, 400000.0, std::numeric_limits<double>::quiet_NaN()}) {
            const auto refused = make_estimator({rate, 0.0});
            REQUIRE_FALSE(refused.has_value());
            CHECK(refused.error().message.find("192 kHz") != std::string::npos);
        }
    }
}

#include "hand/hand_ear.h"
#include "pitch/estimator.h"
#include "support/alloc_guard.h"
#include "support/signals.h"
#include "support/signals_disturb.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;
using test::RealTimeScope;

TEST_SUITE("rt/hand_path") {
    TEST_CASE("hearing the hand neither allocates, locks nor touches files once it runs") {
        if (!RealTimeScope::available()) {
            MESSAGE("skipped: a sanitizer owns the allocator");
            return;
        }
        constexpr double kRate_hz = 48000.0;
        test::Random random("hand path");
        test::Samples whole;
        for (int i = 0; i < 8; ++i) {
            test::ToneShape shape;
            shape.on_s = 0.05;
            shape.off_s = 0.75;
            const double f0_hz = 130.8 * std::exp2(0.25 * i);
            shape.f0_hz = [f0_hz](double t) { return t < 0.4 ? f0_hz : 0.94 * f0_hz; };
            shape.first = test::spectrum(static_cast<test::Timbre>(i % 4), f0_hz, 19000.0, random);
            const auto tone = test::make_tone(shape, 0.8, kRate_hz, random);
            whole.insert(whole.end(), tone.samples.begin(), tone.samples.end());
        }
        test::add_white(whole, 40.0, random);
        auto sound = test::normalised(whole);
        for (std::size_t n = sound.size() / 2; n < sound.size() / 2 + 50; ++n) {
            sound[n] = std::nanf("");
        }
        auto estimator = *pitch::make_estimator({kRate_hz, 0.0});
        const horn::Tuning tuning;
        hand::HandEar ear(kRate_hz);
        ear.set_horn(
            horn::hand_response(tuning), hand::modelled_trust(), horn::fundamental_hz(tuning));
        (void)horn::hand_chart(); // built at its first use
        int known = 0;
        int notes = 0;
        test::ForbiddenCalls calls;
        {
            const RealTimeScope scope;
            std::span<const float> rest(sound);
            pitch::PitchFrame frame;
            double next_note_s = 0.75;
            while (!rest.empty()) {
                const std::size_t used = estimator->push(rest);
                ear.push(rest.first(used));
                rest = rest.subspan(used);
                while (estimator->frame(frame)) {
                    known += ear.hear(frame).position.known ? 1 : 0;
                    if (frame.time_s >= next_note_s) {
                        const double hz = frame.f0_hz > 0.0 ? frame.f0_hz : 130.8;
                        notes += ear.note({next_note_s - 0.4,
                                           0.35,
                                           hz,
                                           0.0,
                                           hz,
                                           8.0,
                                           horn::nearest_written(4)})
                                         .heard
                                     ? 1
                                     : 0;
                        next_note_s += 0.4;
                    }
                }
            }
            calls = scope.calls();
        }
        CHECK(calls.total() == 0);
        // The path was really walked.
        CHECK(known > 300);
        CHECK(notes >= 5);
    }
}

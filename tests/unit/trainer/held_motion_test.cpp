#include "trainer/held_motion.h"

#include <cmath>
#include <numbers>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

constexpr double kHop_s = 256.0 / 48000.0;

trainer::Reading judged(double time_s, double cents) {
    trainer::Reading reading;
    reading.frame.voiced = true;
    reading.frame.judged_time_s = time_s;
    reading.frame.judged_hz = 220.0 * std::exp2(cents / 1200.0);
    reading.frame.judged_sd_cents = 0.1;
    return reading;
}

trainer::PlayedNote note_at(double start_s, double duration_s) {
    trainer::PlayedNote note;
    note.start_s = start_s;
    note.duration_s = duration_s;
    return note;
}

} // namespace

TEST_SUITE("trainer/held motion") {
    TEST_CASE("drift and vibrato of one note among others, its attack left out") {
        trainer::HeldMotion held;
        for (double t = 0.0; t < 1.0; t += kHop_s) {
            held.add(judged(t, 300.0 * t));
        }
        for (double t = 1.0; t < 3.0; t += kHop_s) {
            const double scoop = t < 1.08 ? -60.0 : 0.0;
            held.add(judged(
                t, scoop - 5.0 * (t - 1.0) + 12.0 * std::sin(2.0 * std::numbers::pi * 5.5 * t)));
        }
        const pitch::PitchMotion motion = held.of(note_at(1.0, 2.0));
        REQUIRE(motion.known);
        CHECK(motion.vibrato);
        CHECK(motion.vibrato_hz == doctest::Approx(5.5).epsilon(0.02));
        CHECK(motion.vibrato_cents == doctest::Approx(12.0).epsilon(0.05));
        CHECK(motion.drift_cents == doctest::Approx(-5.0 * 1.87).epsilon(0.15));
        CHECK(motion.wobble_cents < 0.5);
    }

    TEST_CASE("too short, too long ago or forgotten: not known") {
        trainer::HeldMotion held;
        for (double t = 0.0; t < 30.0; t += kHop_s) {
            held.add(judged(t, 0.0));
        }
        CHECK(held.of(note_at(25.0, 2.0)).known);
        CHECK_FALSE(held.of(note_at(25.0, 0.3)).known);
        CHECK_FALSE(held.of(note_at(1.0, 2.0)).known);
        held.clear();
        CHECK_FALSE(held.of(note_at(25.0, 2.0)).known);
    }
}

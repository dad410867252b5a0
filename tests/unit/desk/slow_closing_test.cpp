#include "desk/model/slow_closing.h"

#include "horn/tuning.h"
#include "support/fake_practice.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

constexpr double kHop_s = 256.0 / 48000.0;

SlowClosing listening() {
    SlowClosing closing;
    closing.set_horn(horn::fundamental_hz({}), horn::hand_response({}));
    closing.listen(true);
    return closing;
}

trainer::Reading tone(double time_s, double hz) {
    trainer::Reading reading = test::reading_of(time_s, {67, 0}, 0.0);
    reading.frame.f0_hz = hz;
    reading.frame.judged_hz = hz;
    reading.frame.judged_time_s = time_s;
    return reading;
}

/// Partial 6 held open for `open_s`, then falling by `fall` cents over three seconds, then held.
double play(SlowClosing& closing, double from_s, double length_s, double open_s, double fall) {
    const double open_hz = 6.0 * horn::fundamental_hz({});
    double at_s = 0.0;
    for (; at_s < length_s; at_s += kHop_s) {
        const double share = std::clamp((at_s - open_s) / 3.0, 0.0, 1.0);
        closing.add(tone(from_s + at_s, open_hz * std::exp2(share * fall / 1200.0)));
    }
    return from_s + at_s;
}

void breathe(SlowClosing& closing, double from_s) {
    for (double at_s = 0.0; at_s < 0.6; at_s += kHop_s) {
        closing.add(test::silence_at(from_s + at_s));
    }
}

} // namespace

TEST_SUITE("gui/slow closing") {
    TEST_CASE("a note is held open for a second, then the mark travels from open to full stop") {
        SlowClosing closing = listening();
        closing.set_pace(4.0);
        CHECK(closing.phase() == SlowClosing::Phase::waiting);
        play(closing, 0.0, 0.9, 1.0, -216.0);
        CHECK(closing.phase() == SlowClosing::Phase::open);
        CHECK(closing.partial() == 6);
        CHECK(closing.mark() == 0.0);
        SlowClosing half = listening();
        play(half, 0.0, 3.0, 1.0, -216.0);
        CHECK(half.phase() == SlowClosing::Phase::closing);
        CHECK(half.mark() == doctest::Approx(0.5).epsilon(0.02));
        // Live: the mark's closure against cents from the open note.
        CHECK(half.live().back().closure == doctest::Approx(half.mark()));
        CHECK(half.live().back().cents == doctest::Approx(-144.0).epsilon(0.02));
        SlowClosing whole = listening();
        play(whole, 0.0, 5.5, 1.0, -216.0);
        CHECK(whole.phase() == SlowClosing::Phase::stopped);
        CHECK(whole.mark() == 1.0);
    }

    TEST_CASE("when the tone ends it is measured, and the result stays until the next one") {
        SlowClosing closing = listening();
        double at_s = play(closing, 0.0, 5.0, 1.0, -216.0);
        breathe(closing, at_s);
        CHECK(closing.phase() == SlowClosing::Phase::waiting);
        REQUIRE(closing.result());
        CHECK(closing.result()->partial == 6);
        CHECK(closing.result()->fall_cents == doctest::Approx(-216.0).epsilon(0.01));
        CHECK(closing.result()->held_open);
        CHECK(closing.result()->held_stopped);
        CHECK(closing.refused().empty());

        // A held note is no closing: it says so, and the result stays.
        at_s = play(closing, 10.0, 3.0, 1.0, 0.0);
        CHECK(closing.result());
        breathe(closing, at_s);
        CHECK(closing.refused().find("did not fall") != std::string::npos);
        CHECK(closing.result()->fall_cents == doctest::Approx(-216.0).epsilon(0.01));

        // A short note is no try at all.
        at_s = play(closing, 20.0, 1.0, 2.0, 0.0);
        breathe(closing, at_s);
        CHECK(closing.refused().find("did not fall") != std::string::npos);

        at_s = play(closing, 30.0, 5.0, 1.0, -180.0);
        breathe(closing, at_s);
        CHECK(closing.refused().empty());
        CHECK(closing.result()->fall_cents == doctest::Approx(-180.0).epsilon(0.01));
    }

    TEST_CASE("nothing is taken while another screen is shown, and a session's end measures what "
              "was heard") {
        SlowClosing closing = listening();
        closing.listen(false);
        breathe(closing, play(closing, 0.0, 5.0, 1.0, -216.0));
        CHECK_FALSE(closing.result());
        closing.listen(true);
        play(closing, 10.0, 5.0, 1.0, -216.0);
        closing.fall_silent();
        CHECK(closing.result());
    }

    TEST_CASE("the pace stays within what one breath allows") {
        SlowClosing closing = listening();
        closing.set_pace(100.0);
        CHECK(closing.pace_s() == kLongestPace_s);
        closing.set_pace(0.0);
        CHECK(closing.pace_s() == kShortestPace_s);
    }
}

#include "desk/model/held_note.h"

#include "support/fake_practice.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;
using bellhand::test::reading_of;
using bellhand::test::silence_at;

namespace {

constexpr double kHop_s = 256.0 / 48000.0;
constexpr horn::Note kC5{72, 0};
constexpr horn::Note kD5{74, 0};

/// Plays `note` for a while; returns the time after it.
double play(HeldNote& held, double from_s, double duration_s, horn::Note note, double cents) {
    double time_s = from_s;
    for (; time_s < from_s + duration_s; time_s += kHop_s) {
        held.add(reading_of(time_s, note, cents));
    }
    return time_s;
}

double rest(HeldNote& held, double from_s, double duration_s) {
    double time_s = from_s;
    for (; time_s < from_s + duration_s; time_s += kHop_s) {
        held.add(silence_at(time_s));
    }
    return time_s;
}

} // namespace

TEST_SUITE("gui/held_note") {
    TEST_CASE("nothing is shown before a note has settled") {
        HeldNote held(HoldTimes{0.1, 0.5, 0.3});
        play(held, 0.0, 0.05, kC5, -8.0);
        CHECK_FALSE(held.shown().has_value());
        play(held, 0.05, 0.1, kC5, -8.0);
        REQUIRE(held.shown().has_value());
        CHECK(held.shown()->note.written == kC5);
        CHECK(held.shown()->sounding);
        CHECK(held.shown()->note.deviation_cents == doctest::Approx(-8.0));
    }

    TEST_CASE(
        "what is heard unsurely is pale and moves no figure; one moment of it does not flicker") {
        const auto unsurely = [](HeldNote& held, double from_s, double duration_s, double cents) {
            double time_s = from_s;
            for (; time_s < from_s + duration_s; time_s += kHop_s) {
                trainer::Reading reading = reading_of(time_s, kC5, cents);
                reading.frame.doubtful = true;
                held.add(reading);
            }
            return time_s;
        };
        HeldNote held(HoldTimes{0.1, 0.5, 0.3});
        double at_s = play(held, 0.0, 0.6, kC5, -8.0);
        at_s = unsurely(held, at_s, 0.1, 30.0);
        REQUIRE(held.shown().has_value());
        CHECK_FALSE(held.shown()->pale());
        at_s = unsurely(held, at_s, 0.6, 30.0); // as while it dies away
        CHECK(held.shown()->sounding);
        CHECK_FALSE(held.shown()->sure);
        CHECK(held.shown()->pale());
        CHECK(held.shown()->note.deviation_cents == doctest::Approx(-8.0));
        at_s = play(held, at_s, 0.4, kC5, 5.0);
        CHECK_FALSE(held.shown()->pale());
        CHECK(held.shown()->note.deviation_cents == doctest::Approx(5.0));
        // A note that was never heard surely is shown pale, with the best that is known.
        HeldNote faint(HoldTimes{0.1, 0.5, 0.3});
        unsurely(faint, 0.0, 0.3, 12.0);
        REQUIRE(faint.shown().has_value());
        CHECK(faint.shown()->pale());
        CHECK(faint.shown()->note.deviation_cents == doctest::Approx(12.0));
    }

    TEST_CASE("a note stays after its end until the next one is stable") {
        HeldNote held(HoldTimes{0.1, 0.5, 0.3});
        double at_s = play(held, 0.0, 1.0, kC5, 4.0);
        at_s = rest(held, at_s, 20.0);
        REQUIRE(held.shown().has_value());
        CHECK(held.shown()->note.written == kC5);
        CHECK_FALSE(held.shown()->sounding);
        at_s = play(held, at_s, 0.05, kD5, 0.0);
        CHECK(held.shown()->note.written == kC5);
        play(held, at_s, 0.2, kD5, 0.0);
        CHECK(held.shown()->note.written == kD5);
    }

    TEST_CASE("what is shown can be read: it stays for the holding time while shorter notes pass") {
        HeldNote held(HoldTimes{0.05, 1.5, 0.3});
        double at_s = play(held, 0.0, 0.3, kC5, 0.0);
        at_s = play(held, at_s, 0.3, kD5, 0.0);
        CHECK(held.shown()->note.written == kC5);
        at_s = play(held, at_s, 0.3, kC5, 0.0);
        CHECK(held.shown()->note.written == kC5);
        play(held, at_s, 1.5, kD5, 0.0);
        CHECK(held.shown()->note.written == kD5);
    }

    TEST_CASE("the figure is a median and changes calmly") {
        HeldNote held(HoldTimes{0.05, 0.2, 0.3});
        int changes = 0;
        double before = 1e9;
        for (int i = 0; i < 375; ++i) { // two seconds, one reading in ten wild
            held.add(reading_of(i * kHop_s, kC5, i % 10 == 0 ? 40.0 : -6.0));
            if (held.shown() && held.shown()->note.deviation_cents != before) {
                before = held.shown()->note.deviation_cents;
                ++changes;
            }
        }
        CHECK(held.shown()->note.deviation_cents == doctest::Approx(-6.0));
        CHECK(changes <= 8);
    }

    TEST_CASE("the final figure of a note replaces the last live one, for that note only") {
        HeldNote held(HoldTimes{0.05, 0.2, 0.3});
        const double at_s = play(held, 0.0, 0.5, kC5, -6.0);
        rest(held, at_s, 0.2);
        trainer::PlayedNote other;
        other.written = kD5;
        other.deviation_cents = 30.0;
        held.ended(other);
        CHECK(held.shown()->note.deviation_cents == doctest::Approx(-6.0));
        trainer::PlayedNote played;
        played.written = kC5;
        played.deviation_cents = -7.5;
        held.ended(played);
        CHECK(held.shown()->note.deviation_cents == doctest::Approx(-7.5));
    }
}

#include "pitch/decay.h"

#include <cmath>

#include <doctest/doctest.h>

using bellhand::pitch::Decay;

namespace {

constexpr double kHop_s = 256.0 / 48000.0;

/// A note of half a second at -20 dBFS, then `after_db` of the time since.
template <typename Level>
Decay after_note(double length_s, Level after_db) {
    Decay decay(kHop_s);
    for (double t = 0.0; t < 0.5; t += kHop_s) {
        decay.hear(std::pow(10.0, -2.0));
    }
    for (double t = 0.0; t < length_s; t += kHop_s) {
        decay.hear(std::pow(10.0, 0.1 * after_db(t)));
    }
    return decay;
}

} // namespace

TEST_SUITE("pitch/decay") {
    TEST_CASE("what falls with the room waits until a longer look confirms it") {
        for (const double rt60_s : {0.3, 0.8, 1.2}) {
            CAPTURE(rt60_s);
            const double slope_db_s = 60.0 / rt60_s;
            const Decay decay =
                after_note(20.0 / slope_db_s, [=](double t) { return -20.0 - slope_db_s * t; });
            CHECK(decay.hides(0));
            CHECK_FALSE(decay.hides(1));
        }
    }

    TEST_CASE("a note 10 dB softer inside the decay is shown at once") {
        const Decay decay =
            after_note(0.3, [](double t) { return t < 0.1 ? -20.0 - 75.0 * t : -30.0; });
        CHECK_FALSE(decay.hides(0));
        CHECK_FALSE(decay.soft());
    }

    TEST_CASE("a steady note 20 dB softer is shown at once too") {
        const Decay decay = after_note(0.2, [](double) { return -40.0; });
        CHECK_FALSE(decay.hides(0));
        CHECK(decay.soft());
    }

    TEST_CASE("far below what was loud it takes two looks, until the loud is forgotten") {
        CHECK(after_note(0.3, [](double) { return -55.0; }).hides(1));
        CHECK_FALSE(after_note(0.3, [](double) { return -55.0; }).hides(2));
        CHECK_FALSE(after_note(2.0, [](double) { return -55.0; }).hides(0));
    }
}

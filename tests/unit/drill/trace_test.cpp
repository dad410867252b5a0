#include "drill/trace.h"

#include "core/cents.h"

#include <cmath>
#include <functional>
#include <numbers>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using drill::Trace;

namespace {

constexpr double kFrom_hz = 400.0;

/// Readings every 5 ms; `cents` above 400 Hz by time.
std::vector<Trace::Moment> curve(double length_s, const std::function<double(double)>& cents) {
    std::vector<Trace::Moment> moments;
    for (int i = 0; 0.005 * i <= length_s; ++i) {
        const double time_s = 0.005 * i;
        moments.push_back({time_s, cents_between(kFrom_hz, 1.0) + cents(time_s), -20.0});
    }
    return moments;
}

drill::ClosingHeard closing(double length_s, const std::function<double(double)>& cents) {
    return drill::closing_of(curve(length_s, cents), kFrom_hz, kFrom_hz * ratio_of_cents(-100.0));
}

} // namespace

TEST_SUITE("drill/trace") {
    TEST_CASE("of a slow closing: how far it came, and how far it went within 40 ms") {
        const auto even = closing(2.0, [](double t) { return -50.0 * t; });
        CHECK(even.reached_share == doctest::Approx(1.0));
        CHECK(even.largest_jump_cents == doctest::Approx(50.0 * 0.040));
        CHECK(even.back_cents == doctest::Approx(0.0));
        // 60 cents in one step, or in 120 ms, a third of them in any 40.
        const auto at_once = closing(2.0, [](double t) { return t < 1.0 ? 0.0 : -60.0; });
        CHECK(at_once.largest_jump_cents == doctest::Approx(60.0));
        CHECK(at_once.reached_share == doctest::Approx(0.6));
        const auto quick =
            closing(2.0, [](double t) { return -500.0 * std::min(std::max(t - 1.0, 0.0), 0.12); });
        CHECK(quick.largest_jump_cents == doctest::Approx(20.0));
    }

    TEST_CASE("of a slow closing: how far it went back") {
        const auto back = closing(2.0, [](double t) { return t < 1.0 ? -80.0 * t : -50.0; });
        CHECK(back.back_cents ==
              doctest::Approx(29.6)); // the last reading of the way stands at 79.6
        CHECK(back.reached_share == doctest::Approx(0.796));
    }

    TEST_CASE("of a trill: its changes, its rate, and how even it is") {
        const double other_hz = kFrom_hz * ratio_of_cents(200.0);
        const auto even = drill::trill_of(
            curve(2.0,
                  [](double t) {
                      return 100.0 - 100.0 * std::cos(2.0 * std::numbers::pi * 5.0 * t);
                  }),
            kFrom_hz,
            other_hz);
        CHECK(even.rate_hz == doctest::Approx(5.0).epsilon(0.02));
        CHECK(even.changes >= 18);
        CHECK(even.changes <= 20);
        CHECK(even.uneven < 0.06);
        // 50 and 150 ms in turn: the same rate, half turns of a mean of 100 ms that stray by 50.
        const auto limping = drill::trill_of(
            curve(2.0, [](double t) { return std::fmod(t, 0.2) < 0.05 ? 200.0 : 0.0; }),
            kFrom_hz,
            other_hz);
        CHECK(limping.rate_hz == doctest::Approx(5.0).epsilon(0.03));
        CHECK(limping.uneven == doctest::Approx(0.5).epsilon(0.06));
        CHECK(drill::trill_of(curve(2.0, [](double) { return 0.0; }), kFrom_hz, other_hz).changes ==
              0);
    }
}

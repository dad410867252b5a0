#include "core/cents.h"
#include "drill/plan.h"

#include <doctest/doctest.h>

using namespace bellhand;

TEST_SUITE("drill/expected_around") {
    TEST_CASE("the note before a step, itself and two more, rests left out") {
        std::vector<drill::Asked> plan(6);
        for (std::uint32_t i = 0; i < plan.size(); ++i) {
            plan[i].step = 2 * i;
            plan[i].target_hz = 100.0 * (i + 1);
        }
        const trainer::ExpectedPitches pitches = drill::expected_around(plan, 4);
        const auto near = [&pitches](double hz) {
            return pitches.near(cents_between(hz, 1.0), 5.0);
        };
        CHECK_FALSE(near(100.0));
        CHECK(near(200.0));
        CHECK(near(300.0));
        CHECK(near(500.0));
        CHECK_FALSE(near(600.0));
        CHECK_FALSE(drill::expected_around({}, 0).near(0.0, 1e6));
    }
}

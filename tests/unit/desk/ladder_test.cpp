#include "desk/model/ladder.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

TEST_SUITE("gui/ladder") {
    TEST_CASE("rungs are the harmonic series of the crook with their nearest written notes") {
        const auto rungs = ladder(horn::Tuning{}, 2, 16);
        REQUIRE(rungs.size() == 15);
        CHECK(rungs.front().partial == 2);
        CHECK(horn::ascii_name(rungs.front().written) == "C3");
        CHECK(horn::ascii_name(rungs[5].written) == "Bb4"); // partial 7
        CHECK(horn::ascii_name(rungs[9].written) == "F#5"); // partial 11
        CHECK(horn::ascii_name(rungs[14].written) == "C6"); // partial 16
        // 1200 log2 n against equal temperament: exact ratios.
        CHECK(rungs[5].from_written_cents == doctest::Approx(-31.17).epsilon(0.001));
        CHECK(rungs[9].from_written_cents == doctest::Approx(-48.68).epsilon(0.001));
        CHECK(rungs[14].cents - rungs[13].cents == doctest::Approx(111.73).epsilon(0.001));
    }

    TEST_CASE("a sound stands between its neighbours") {
        const horn::Tuning tuning;
        const double f1_hz = horn::fundamental_hz(tuning);
        const LadderPlace place = place_on_ladder(f1_hz * 8.5, tuning);
        CHECK(place.partial_below == 8);
        CHECK(place.above_lower_cents == doctest::Approx(1200.0 * std::log2(8.5 / 8.0)));
        CHECK(place.below_upper_cents == doctest::Approx(1200.0 * std::log2(9.0 / 8.5)));
        CHECK(place_on_ladder(f1_hz * 0.5, tuning).partial_below == 0);
    }
}

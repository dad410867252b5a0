#include "hand/crook_check.h"

#include <doctest/doctest.h>

using bellhand::hand::CrookCheck;

TEST_SUITE("hand/crook_check") {
    TEST_CASE(
        "two open notes in their place prove the crook, several out of place speak against it") {
        CrookCheck check;
        CHECK(check.verdict() == CrookCheck::Verdict::unproven);
        check.add(5.0);
        check.add(-12.0);
        CHECK(check.verdict() == CrookCheck::Verdict::proven);
        check.forget();
        for (int i = 0; i < 3; ++i) {
            check.add(-80.0);
            CHECK(check.verdict() == CrookCheck::Verdict::unproven);
        }
        check.add(90.0);
        CHECK(check.verdict() == CrookCheck::Verdict::contradicted);
    }

    TEST_CASE("the newest notes count: after the right crook was chosen the doubt goes") {
        CrookCheck check;
        for (int i = 0; i < 20; ++i) {
            check.add(150.0);
        }
        CHECK(check.verdict() == CrookCheck::Verdict::contradicted);
        for (int i = 0; i < 4; ++i) {
            check.add(0.0);
        }
        CHECK(check.verdict() == CrookCheck::Verdict::proven);
    }
}

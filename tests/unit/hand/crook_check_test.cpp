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

    TEST_CASE("a proven crook outlasts the practice of stopped notes, but not a change of crook") {
        CrookCheck check;
        check.add(0.0);
        check.add(0.0);
        for (int i = 0; i < 20; ++i) {
            check.add(150.0);
        }
        CHECK(check.verdict() == CrookCheck::Verdict::proven);
        for (int i = 0; i < 20; ++i) {
            check.add(150.0);
        }
        CHECK(check.verdict() == CrookCheck::Verdict::contradicted);
        for (int i = 0; i < 9; ++i) {
            check.add(0.0); // the right crook again
        }
        CHECK(check.verdict() == CrookCheck::Verdict::proven);
    }
}

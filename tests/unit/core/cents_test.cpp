#include "core/cents.h"

#include <initializer_list>

#include <doctest/doctest.h>

using namespace bellhand;

TEST_SUITE("cents") {
    TEST_CASE("an octave is 1200 cents, a pure fifth 701.955 (ISO 80000-8: the logarithmic "
              "frequency interval)") {
        CHECK(cents_between(880.0, 440.0) == doctest::Approx(1200.0).epsilon(1e-12));
        CHECK(cents_between(440.0, 880.0) == doctest::Approx(-1200.0).epsilon(1e-12));
        CHECK(cents_between(3.0, 2.0) == doctest::Approx(701.9550008653874).epsilon(1e-12));
        CHECK(cents_between(1.0, 1.0) == 0.0);
    }

    TEST_CASE("the way back leads where the way began") {
        for (const double cents : {-4800.0, -100.0, -0.01, 0.0, 14.0, 386.3, 1200.0}) {
            CHECK(cents_between(ratio_of_cents(cents) * 261.6, 261.6) ==
                  doctest::Approx(cents).epsilon(1e-9));
        }
        CHECK(ratio_of_cents(1200.0) == 2.0);
    }
}

#include "horn/acoustics/model_hand.h"

#include <cmath>
#include <initializer_list>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand::horn;

TEST_SUITE("horn_acoustics/model_hand") {
    TEST_CASE("the model's hand has the shape of the nominal one on F") {
        const Tuning tuning{};
        const auto model = acoustics::model_hand_response(tuning, acoustics::keefe_air(25));
        REQUIRE(model.has_value());
        const HandResponse nominal = nominal_hand_response(tuning);
        for (int n = 4; n <= 13; ++n) {
            CAPTURE(n);
            for (const double closure : {0.25, 0.5, 0.75, 1.0}) {
                CAPTURE(closure);
                const double fall = response_at(*model, n, closure) - response_at(*model, n, 0.0);
                const double usual =
                    response_at(nominal, n, closure) - response_at(nominal, n, 0.0);
                // Two invented bores: the same order of falling, not the same figures.
                CHECK(fall < 0.0);
                CHECK(std::abs(fall - usual) < 0.35 * std::abs(usual) + 15.0);
            }
        }
        CHECK(model->source.find("not measured") != std::string::npos);
    }

    TEST_CASE("a crook that this body cannot carry is refused") {
        Tuning high{};
        high.crook = all_crooks().front(); // C alto
        high.a4_hz = 470.0;
        const auto model = acoustics::model_hand_response(high, acoustics::keefe_air(5));
        REQUIRE_FALSE(model.has_value());
        CHECK(model.error().message.find("higher than this body") != std::string::npos);
    }
}

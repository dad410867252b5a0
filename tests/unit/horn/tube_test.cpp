#include "horn/tube.h"

#include <cmath>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;

TEST_SUITE("horn/tube") {
    TEST_CASE("a tube is named at the pitch that is set, and otherwise at usual ones") {
        const horn::Tuning at_440;
        const double eb_430 = horn::fundamental_hz({*horn::parse_crook("Eb"), 430.0});
        const horn::TubeName name = horn::tube_name(eb_430, at_440);
        CHECK(std::string(name.tuning.crook.id) == "Eb");
        // Computed: 1200 log2(430 / 440).
        CHECK(name.off_cents == doctest::Approx(-39.8).epsilon(0.01));
        const auto others = horn::other_tube_names(eb_430, name.tuning);
        REQUIRE_FALSE(others.empty());
        CHECK(others.front().tuning.a4_hz == 430.0);
        CHECK(std::string(others.front().tuning.crook.id) == "Eb");
    }

    TEST_CASE("E flat at 440 is E at 415, within 1.3 cents") {
        const horn::Tuning eb{*horn::parse_crook("Eb"), 440.0};
        const auto others = horn::other_tube_names(horn::fundamental_hz(eb), eb);
        REQUIRE(others.size() == 1);
        CHECK(std::string(others.front().tuning.crook.id) == "E");
        CHECK(others.front().tuning.a4_hz == 415.0);
        CHECK(std::fabs(others.front().off_cents) == doctest::Approx(1.27).epsilon(0.02));
    }

    TEST_CASE("the pitch that suits a horn is a usual one where one is near") {
        CHECK(horn::suiting_pitch_hz(440.0, -42.0) == 430.0);
        CHECK(horn::suiting_pitch_hz(440.0, 11.8) == 443.0);
        CHECK(horn::suiting_pitch_hz(440.0, -20.0) == 435.0);
        CHECK(horn::suiting_pitch_hz(440.0, 900.0) == horn::kHighestA4Hz);
    }

    TEST_CASE("a sharp horn wants the slide out, a flat one in, a longer horn further") {
        const double f = horn::fundamental_hz({});
        // By hand: 347 / (2 * 43.6535) = 3.9745 m, times 1 - 2^(-12/1200) = 27.45 mm of tube, 3 % less tape, two legs.
        CHECK(horn::slide_out_mm(f, 12.0) == doctest::Approx(13.3).epsilon(0.01));
        CHECK(horn::slide_out_mm(f, -12.0) == doctest::Approx(-13.4).epsilon(0.01));
        CHECK(horn::slide_out_mm(f, 0.0) == 0.0);
        const double b_basso = horn::fundamental_hz({*horn::parse_crook("Bb-basso"), 440.0});
        CHECK(horn::slide_out_mm(b_basso, 12.0) > 1.4 * horn::slide_out_mm(f, 12.0));
    }
}

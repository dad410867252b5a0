#include "hand/horn_fit.h"

#include "horn/tuning.h"

#include <cmath>
#include <initializer_list>

#include <doctest/doctest.h>

using namespace bellhand;
using hand::HornVerdict;

namespace {

double f1_of(const char* crook, double a4_hz = 440.0) {
    return horn::fundamental_hz({*horn::parse_crook(crook), a4_hz});
}

/// A horn is set, another one plays open partials; 0.5 steps are hand notes between.
hand::HornFit
heard(double set_hz, double sounding_hz, std::initializer_list<double> partials, int times = 1) {
    hand::HornFinder finder;
    finder.set_horn(set_hz);
    for (int i = 0; i < times; ++i) {
        for (const double partial : partials) {
            finder.add({partial * sounding_hz});
        }
    }
    return finder.fit();
}

double cents(double hz, double reference_hz) {
    return 1200.0 * std::log2(hz / reference_hz);
}

} // namespace

TEST_SUITE("hand/horn_fit") {
    TEST_CASE("two open notes in their place settle the horn") {
        hand::HornFinder finder;
        finder.set_horn(f1_of("F"));
        CHECK(finder.fit().verdict == HornVerdict::unknown);
        finder.add({4.0 * f1_of("F")});
        finder.add({5.0 * f1_of("F")});
        CHECK(finder.fit().verdict == HornVerdict::fits);
        CHECK_FALSE(finder.fit().doubted());
    }

    TEST_CASE("E flat at 430 played to a horn set to F at 440 is named") {
        const auto fit = heard(f1_of("F"), f1_of("Eb", 430.0), {4, 5, 6, 8, 9, 6, 5, 8});
        REQUIRE(fit.verdict == HornVerdict::other);
        CHECK(std::fabs(cents(fit.best.f1_hz, f1_of("Eb", 430.0))) < 5.0);
        CHECK(fit.doubted());
    }

    TEST_CASE("another horn at a usual pitch is believed sooner than one that stands anywhere") {
        // A on E flat at 440; on nothing that is built, 50 cents from it.
        const auto usual = heard(f1_of("F"), f1_of("Eb", 440.0), {4, 5, 6});
        const auto odd =
            heard(f1_of("F"), f1_of("Eb", 440.0) * std::exp2(50.0 / 1200.0), {4, 5, 6});
        CHECK(usual.best.share > odd.best.share);
    }

    TEST_CASE("a horn at 443 is not another horn: the whole of it lies 12 cents high") {
        const auto fit = heard(f1_of("F"), f1_of("F", 443.0), {4, 5, 6, 8, 9, 6, 5, 8});
        REQUIRE(fit.verdict == HornVerdict::fits);
        CHECK(fit.offset_cents == doctest::Approx(11.8).epsilon(0.25));
        CHECK(fit.offset_matters);
        CHECK_FALSE(heard(f1_of("F"), f1_of("F"), {4, 5, 6, 8, 9}).offset_matters);
    }

    TEST_CASE(
        "the pitch a measured horn has anyway is no news, but its offset counts from the crook") {
        std::array<double, horn::kPartials> open_cents{};
        open_cents.fill(20.0);
        hand::HornFinder finder;
        finder.set_horn(f1_of("F"), open_cents);
        CHECK(finder.measured_cents() == doctest::Approx(20.0));
        for (const int partial : {4, 5, 6, 8, 9}) {
            finder.add({partial * f1_of("F") * std::exp2(20.0 / 1200.0)});
        }
        REQUIRE(finder.fit().verdict == HornVerdict::fits);
        CHECK(finder.fit().offset_cents == doctest::Approx(20.0).epsilon(0.2));
    }

    TEST_CASE("partials that an alto and its basso share are a question, and an odd one decides") {
        const auto fit = heard(f1_of("F"), f1_of("Bb-alto"), {2, 3, 4, 5, 6, 8, 5, 3}, 2);
        REQUIRE(fit.verdict == HornVerdict::either);
        const double lower_hz = std::min(fit.best.f1_hz, fit.rival.f1_hz);
        CHECK(std::fabs(cents(lower_hz, f1_of("Bb-basso"))) < 10.0);
        CHECK(fit.deciding_f1_hz == lower_hz);
        CHECK(fit.deciding_partial % 2 == 1);
    }

    TEST_CASE(
        "a horn that was proven outlasts hand notes and remembers them for sixteen notes only") {
        hand::HornFinder finder;
        finder.set_horn(f1_of("F"));
        for (const int partial : {4, 5, 6, 8}) {
            finder.add({partial * f1_of("F")});
        }
        for (const int semitones : {25, 27, 30, 25, 27, 30}) {
            finder.add({f1_of("F") * std::exp2(semitones / 12.0)});
        }
        CHECK(finder.fit().verdict == HornVerdict::fits);
        for (int i = 0; i < 3; ++i) { // another crook was put in and not told
            for (const int partial : {4, 5, 6, 7, 8, 9}) {
                finder.add({partial * f1_of("E", 430.0)});
            }
        }
        CHECK(finder.fit().verdict == HornVerdict::other);
        finder.set_horn(f1_of("E", 430.0));
        CHECK(finder.fit().verdict == HornVerdict::unknown);
    }

    TEST_CASE("what is no frequency is no evidence") {
        hand::HornFinder finder;
        finder.add({0.0});
        finder.add({-3.0});
        CHECK(finder.fit().verdict == HornVerdict::unknown);
    }
}

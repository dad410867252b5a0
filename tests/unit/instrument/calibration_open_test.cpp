#include "instrument/calibration/calibration.h"
#include "property/calibration_player.h"

#include <cmath>
#include <limits>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand::instrument;
using namespace bellhand::testing;

namespace {

double cents(double hz, double reference_hz) {
    return 1200 * std::log2(hz / reference_hz);
}

/// Partials exactly on n f1, one every four seconds.
std::vector<PlayedPitch> perfect(double f1_hz, const std::vector<int>& partials) {
    std::vector<PlayedPitch> notes;
    for (std::size_t i = 0; i < partials.size(); ++i) {
        notes.push_back({4.0 * static_cast<double>(i), f1_hz * partials[i], 0.5});
    }
    return notes;
}

CalibrationQuestion around(double f1_hz) {
    CalibrationQuestion question;
    question.expected_f1_hz = f1_hz;
    question.offsets = wide_offset_prior();
    return question;
}

} // namespace

TEST_SUITE("instrument/calibration_open") {
    TEST_CASE("a perfect tube gives its own fundamental back") {
        const auto found =
            calibrate_open_notes(perfect(43.654, {8, 4, 5, 6, 9, 10, 12}), around(43.0));
        REQUIRE(found.has_value());
        CHECK(std::abs(cents(found->f1_hz, 43.654)) < 0.1);
        // Seven notes, one a partial: an aim of 2.5 cents, the middle of what players have, leaves 1.15 cents to one who is
        // told it (property/horn_coverage, "told"); less would be more than can be known.
        CHECK(found->f1_sd_cents > 0.8);
        CHECK(found->f1_sd_cents < 1.5);
        for (const CalibratedPartial& partial : found->partials) {
            if (partial.notes > 0) {
                CHECK(std::abs(partial.offset_cents) < 0.2);
            }
        }
        // L_eff = c / (2 f1): 3.940 m for F at A4 = 440 with c = 344.0 m/s (computed).
        CHECK(std::abs(found->effective_length_m - 3.940) < 0.005);
    }

    TEST_CASE("the A4 that suits is the one whose crook table holds this f1") {
        // f1 = A4 2^((s - 33) / 12): F at 440 43.654, C basso at 430 31.960, B-flat basso at 415 27.480 Hz (computed).
        const auto f = bellhand::horn::parse_crook("F");
        const auto c = bellhand::horn::parse_crook("C basso");
        const auto b = bellhand::horn::parse_crook("Bb basso");
        REQUIRE(f.has_value());
        REQUIRE(c.has_value());
        REQUIRE(b.has_value());
        CHECK(std::abs(suiting_a4_hz(43.654, *f) - 440.0) < 0.01);
        CHECK(std::abs(suiting_a4_hz(31.960, *c) - 430.0) < 0.01);
        CHECK(std::abs(suiting_a4_hz(27.480, *b) - 415.0) < 0.01);
    }

    TEST_CASE("offsets that were played are found with their sign") {
        auto notes = perfect(43.654, {4, 5, 6, 8, 9, 10, 12, 7, 11, 8, 4, 6, 12, 5, 9, 10});
        const auto shift = [](PlayedPitch& note, double by) { note.f0_hz *= std::exp2(by / 1200); };
        shift(notes[7], -12.0); // partial 7
        shift(notes[8], 9.0);   // partial 11
        const auto found = calibrate_open_notes(notes, around(43.654));
        REQUIRE(found.has_value());
        CHECK(found->partials[6].offset_cents == doctest::Approx(-12.0).epsilon(0.15));
        CHECK(found->partials[10].offset_cents == doctest::Approx(9.0).epsilon(0.15));
        CHECK(found->partials[6].notes == 1);
        CHECK(found->partials[7].notes == 2);
        CHECK(found->partials[14].notes == 0);
        CHECK(found->partials[14].sd_cents > found->partials[7].sd_cents);
    }

    TEST_CASE("a wrong note is named and does not move the horn") {
        auto notes = perfect(43.654, {8, 4, 5, 6, 8, 9, 10, 12, 6, 4});
        notes[4].f0_hz *= std::exp2(-80.0 / 1200); // half stopped
        const auto found = calibrate_open_notes(notes, around(43.654));
        REQUIRE(found.has_value());
        CHECK(found->notes[4].weight < 0.05);
        CHECK(found->notes[0].weight > 0.9);
        CHECK(std::abs(cents(found->f1_hz, 43.654)) < 0.2);
    }

    TEST_CASE("a note that wandered while it was held may stand further off and still be right") {
        for (const double sd_cents : {0.5, 25.0}) {
            CAPTURE(sd_cents);
            auto notes = perfect(43.654, {8, 4, 5, 6, 9, 10, 12, 8, 4, 5, 6, 9, 10, 12});
            notes[3].f0_hz *= std::exp2(-35.0 / 1200.0);
            notes[3].sd_cents = sd_cents;
            const auto found = calibrate_open_notes(notes, around(43.654));
            REQUIRE(found.has_value());
            CHECK((found->notes[3].weight > 0.5) == (sd_cents > 1.0));
        }
    }

    TEST_CASE("without a crook the series alone tells the horn, in any order") {
        for (const double f1_hz : {27.48, 31.96, 43.654, 58.27}) {
            CAPTURE(f1_hz);
            const auto found = calibrate_open_notes(perfect(f1_hz, {12, 5, 8, 4, 9, 6, 10, 3}), {});
            REQUIRE(found.has_value());
            // The prior leans on the modelled horn, which is not perfect: a cent of pull is left.
            CHECK(std::abs(cents(found->f1_hz, f1_hz)) < 1.5);
            CHECK_FALSE(found->rival_f1_hz.has_value());
        }
    }

    TEST_CASE("a crook that is expected draws the answer towards it, never away") {
        // One partial over and over fits any horn of the series; only the crook that was named can choose. The same
        // notes are read as partial 8 of one crook or as partial 9 of the one a tone below.
        const double hz = 8 * 43.654;
        std::vector<PlayedPitch> notes;
        for (int i = 0; i < 6; ++i) {
            notes.push_back({4.0 * i, hz, 0.5});
        }
        for (const int partial : {8, 9, 7}) {
            CAPTURE(partial);
            const auto found = calibrate_open_notes(notes, around(hz / partial * 1.003));
            REQUIRE(found.has_value());
            CHECK(std::abs(cents(found->f1_hz, hz / partial)) < 15.0);
        }
    }

    TEST_CASE("without repeats the aim is not known, and the doubt is stated") {
        const auto once =
            calibrate_open_notes(perfect(43.654, {8, 4, 5, 6, 9, 10, 12}), around(43.0));
        REQUIRE(once.has_value());
        CHECK(once->repeats == 0);
        CHECK(once->partials[7].sd_cents > 1.5);
        const auto thrice = calibrate_open_notes(
            perfect(43.654, {8, 4, 5, 6, 9, 10, 12, 8, 4, 5, 6, 9, 10, 12, 8, 4, 5, 6, 9, 10, 12}),
            around(43.0));
        REQUIRE(thrice.has_value());
        CHECK(thrice->repeats == 14);
        CHECK(thrice->spread_cents < once->spread_cents);
        CHECK(thrice->partials[7].sd_cents < 0.6 * once->partials[7].sd_cents);
    }

    TEST_CASE("octaves alone leave the crook open, and that is said") {
        const auto found = calibrate_open_notes(perfect(32.70, {4, 8, 16, 4, 8, 16}), {});
        REQUIRE(found.has_value());
        CHECK(found->rival_f1_hz.has_value());
    }

    TEST_CASE("drift is not claimed from half a minute") {
        const auto found =
            calibrate_open_notes(perfect(43.654, {8, 4, 5, 6, 9, 10, 12}), around(43.654));
        REQUIRE(found.has_value());
        CHECK(found->drift_sd_cents_per_min > 1.0);
    }

    TEST_CASE("spread of the player is learnt from repeated notes") {
        std::mt19937_64 random(3);
        const TrueHorn horn = random_horn(random);
        Habits habits;
        habits.aim_sd_cents = 6.0;
        const std::vector<int> partials{8, 8, 8, 8, 4, 4, 4, 4, 6, 6, 6, 6, 10, 10, 10, 10};
        const auto found =
            calibrate_open_notes(play(horn, partials, habits, random), around(horn.f1_hz));
        REQUIRE(found.has_value());
        CHECK(found->spread_cents > 3.0);
        CHECK(found->spread_cents < 10.0);
    }

    TEST_CASE("what cannot be calibrated is said in one sentence") {
        const auto says = [](const std::vector<PlayedPitch>& notes, const char* part) {
            const auto found = calibrate_open_notes(notes, around(43.654));
            REQUIRE_FALSE(found.has_value());
            CAPTURE(found.error().message);
            CHECK(found.error().message.find(part) != std::string::npos);
        };
        says({}, "at least three");
        says(perfect(43.654, {4, 8}), "at least three");
        auto broken = perfect(43.654, {4, 6, 8});
        broken[1].f0_hz = std::numeric_limits<double>::quiet_NaN();
        says(broken, "is a number");
        broken[1].f0_hz = 9000.0;
        says(broken, "outside 20 to 2000 Hz");
        auto between = perfect(43.654, {3, 4, 5, 6, 7, 8});
        for (std::size_t i = 0; i < between.size(); ++i) {
            between[i].f0_hz += 0.5 * 43.654;
        }
        says(between, "no horn explains");
    }
}

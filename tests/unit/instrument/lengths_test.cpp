#include "instrument/lengths.h"

#include "core/cents.h"
#include "horn/tuning.h"

#include <array>
#include <cmath>
#include <cstdio>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::instrument;

namespace {

// Sources beside the checks:
//   EB 1911      Encyclopaedia Britannica, 11th ed., vol. 13, "Horn", table of crooks
//   Grove 1954   Grove's Dictionary, 5th ed., chart of tube lengths for A = 435, as quoted by hornmatters.com (2023)
//   computed     from the formula beside it, c = 344.0 m/s (20 degrees C, 50 % humidity, Cramer 1993)
constexpr double kSpeed_m_s = 344.0;
constexpr double kInch_m = 0.0254;

double f1_hz(const char* crook, double a4_hz = 440.0) {
    return horn::fundamental_hz({*horn::parse_crook(crook), a4_hz, {}});
}

double semitones_coupler_mm(const char* crook, int semitones) {
    const double from_hz = f1_hz(crook);
    return 1000.0 * added_tube_m(from_hz, from_hz * std::exp2(-semitones / 12.0), kSpeed_m_s);
}

} // namespace

TEST_SUITE("instrument/lengths") {
    TEST_CASE("acoustic length of the family (computed: c/(2 f1))") {
        CHECK(acoustic_length_m(f1_hz("F"), kSpeed_m_s) == doctest::Approx(3.940).epsilon(1e-4));
        struct Row {
            const char* crook;
            double at_440, at_430, at_415;
        };
        for (const Row& row : {Row{"C alto", 2.630, 2.691, 2.788},
                               Row{"Bb alto", 2.952, 3.020, 3.130},
                               Row{"G", 3.510, 3.592, 3.722},
                               Row{"Eb", 4.423, 4.525, 4.689},
                               Row{"D", 4.686, 4.795, 4.968},
                               Row{"C basso", 5.259, 5.382, 5.576},
                               Row{"Bb basso", 5.903, 6.041, 6.259},
                               Row{"Ab basso", 6.626, 6.780, 7.026}}) {
            CAPTURE(row.crook);
            CHECK(std::fabs(acoustic_length_m(f1_hz(row.crook), kSpeed_m_s) - row.at_440) < 6e-4);
            CHECK(std::fabs(acoustic_length_m(f1_hz(row.crook, 430), kSpeed_m_s) - row.at_430) <
                  6e-4);
            CHECK(std::fabs(acoustic_length_m(f1_hz(row.crook, 415), kSpeed_m_s) - row.at_415) <
                  6e-4);
        }
    }

    TEST_CASE("length and f1 undo each other") {
        for (double f1 = 26.0; f1 < 66.0; f1 += 1.7) {
            CHECK(f1_of_length_hz(acoustic_length_m(f1, 345.6), 345.6) == doctest::Approx(f1));
        }
    }

    TEST_CASE("semitone and whole-tone couplers in mm (computed: (c/2)(1/f1' - 1/f1))") {
        struct Row {
            const char* crook;
            double semitone_mm, tone_mm;
        };
        for (const Row& row : {Row{"C alto", 156, 322},
                               Row{"Bb alto", 176, 362},
                               Row{"A", 186, 383},
                               Row{"Ab", 197, 406},
                               Row{"G", 209, 430},
                               Row{"F#", 221, 455},
                               Row{"F", 234, 483},
                               Row{"E", 248, 511},
                               Row{"Eb", 263, 542},
                               Row{"D", 279, 574},
                               Row{"Db", 295, 608},
                               Row{"C basso", 313, 644},
                               Row{"B basso", 331, 682},
                               Row{"Bb basso", 351, 723}}) {
            CAPTURE(row.crook);
            CHECK(std::fabs(semitones_coupler_mm(row.crook, 1) - row.semitone_mm) < 0.6);
            CHECK(std::fabs(semitones_coupler_mm(row.crook, 2) - row.tone_mm) < 0.6);
        }
        CHECK(std::fabs(semitones_coupler_mm("F", 1) - 234.3) < 0.06);
    }

    TEST_CASE(
        "one coupler is a different interval on every crook (computed: 1200 log2((L + d)/L))") {
        const double coupler_m = semitones_coupler_mm("F", 1) / 1000.0;
        struct Row {
            const char* crook;
            double cents;
        };
        for (const Row& row : {Row{"Bb alto", 132},
                               Row{"G", 112},
                               Row{"F", 100},
                               Row{"Eb", 89},
                               Row{"D", 85},
                               Row{"C basso", 75.5},
                               Row{"Bb basso", 67}}) {
            CAPTURE(row.crook);
            const double length_m = acoustic_length_m(f1_hz(row.crook), kSpeed_m_s);
            CHECK(std::fabs(fall_cents(length_m, coupler_m) - row.cents) < 0.6);
        }
    }

    TEST_CASE(
        "a length taken out by the full stop (computed: 0.2208 m, c 343.4, F rises 100 cents)") {
        const auto rise_cents = [](const char* crook) {
            return fall_cents(acoustic_length_m(f1_hz(crook), 343.4) - 0.2208, 0.2208);
        };
        CHECK(std::fabs(rise_cents("F") - 100.0) < 0.1);
        CHECK(std::fabs(rise_cents("Bb alto") - 134.8) < 0.1);
        CHECK(std::fabs(rise_cents("C basso") - 74.4) < 0.1);
    }

    TEST_CASE("the wave in narrow tube is slower than in free air") {
        // Exact Zwikker-Kosten values at 26.85 degrees C (computed); the series used here is a large-tube series.
        CHECK(std::fabs(phase_velocity_factor(0.0055, 50.0, 26.85) - 0.95933) < 6e-4);
        CHECK(std::fabs(phase_velocity_factor(0.0060, 440.0, 26.85) - 0.98705) < 6e-4);
        CHECK(std::fabs(phase_velocity_factor(0.0100, 1000.0, 26.85) - 0.99481) < 6e-4);
    }

    TEST_CASE("one degree at constant 50 % humidity is 3.14 cents (Cramer 1993)") {
        const double rise =
            cents_between(speed_of_sound_m_s({20.5, 0.5}), speed_of_sound_m_s({19.5, 0.5}));
        CHECK(std::fabs(rise - 3.14) < 0.02);
    }

    TEST_CASE("the crook table of 1911 follows from one measured crook (EB 1911)") {
        // Body without crook 7 ft 4 in.
        CHECK(std::fabs(88 * kInch_m - 2.235) < 5e-4);
        CHECK(std::fabs((88 + 52.5) * kInch_m - 3.569) < 5e-4);
        struct Row {
            const char* crook;
            double inches;
        };
        constexpr std::array<Row, 10> kTable{{{"Bb alto", 16},
                                              {"A", 22.5},
                                              {"Ab", 29.5},
                                              {"G", 36.75},
                                              {"F", 52.5},
                                              {"E", 61},
                                              {"Eb", 70.25},
                                              {"D", 80},
                                              {"C basso", 101},
                                              {"Bb basso", 125}}};
        // From B flat alto's 16 in alone: add tube for every other key.
        double worst_in = 0.0;
        std::printf("crook table of 1911, inches: crook, printed, length model, residual\n");
        for (const Row& row : kTable) {
            const double model_in =
                16.0 + added_tube_m(
                           f1_hz("Bb alto"), f1_hz(row.crook), kSpeed_m_s, kHornTapeOverAcoustic) /
                           kInch_m;
            std::printf("  %-9s %7.2f %7.2f %+6.2f\n",
                        row.crook,
                        row.inches,
                        model_in,
                        model_in - row.inches);
            worst_in = std::max(worst_in, std::fabs(model_in - row.inches));
        }
        CHECK(worst_in < 0.27); // the fit's 0.25 in, and rounding of the common factor to 0.938
        // The closed form 109 * 2^(k/12) - 93, k semitones below B flat alto (computed fit).
        const auto fit_in = [](int k) { return 109.0 * std::exp2(k / 12.0) - 93.0; };
        CHECK(std::fabs(fit_in(5) - 52.5) < 0.05);
        CHECK(std::fabs(fit_in(12) - 125.0) < 1e-9);
        for (const Row& row : kTable) {
            const int below_bb_alto = -2 - horn::parse_crook(row.crook)->transposition;
            CHECK(std::fabs(fit_in(below_bb_alto) - row.inches) <= 0.25);
        }
    }

    TEST_CASE("the tube chart of 1954 follows from the length of C alto (Grove 1954, A = 435)") {
        struct Row {
            const char* crook;
            double feet, inches;
        };
        constexpr std::array<Row, 10> kChart{{{"C alto", 8, 2.125},
                                              {"Bb alto", 9, 2.5},
                                              {"A", 9, 9},
                                              {"G", 10, 11},
                                              {"F", 12, 3.5},
                                              {"E", 13, 0},
                                              {"Eb", 13, 9.25},
                                              {"D", 14, 7.25},
                                              {"C basso", 16, 4.25},
                                              {"Bb basso", 18, 5}}};
        const double first_m = (8 * 12 + 2.125) * kInch_m;
        double worst_cents = 0.0;
        std::printf("tube chart of 1954 (A = 435), metres: crook, printed, length model, residual "
                    "cents\n");
        for (const Row& row : kChart) {
            const double printed_m = (12 * row.feet + row.inches) * kInch_m;
            const double model_m = first_m + added_tube_m(f1_hz("C alto", 435),
                                                          f1_hz(row.crook, 435),
                                                          kSpeed_m_s,
                                                          kHornTapeOverAcoustic);
            const double cents = 1200.0 * std::log2(model_m / printed_m);
            std::printf("  %-9s %7.3f %7.3f %+6.1f\n", row.crook, printed_m, model_m, cents);
            worst_cents = std::max(worst_cents, std::fabs(cents));
            const double product_m_s = 2.0 * printed_m * f1_hz(row.crook, 435);
            CHECK(product_m_s > 322.2);
            CHECK(product_m_s < 323.5);
        }
        CHECK(worst_cents < 6.0);
        CHECK(2.0 * (9 * 12 + 2.5) == 18 * 12 + 5.0); // B flat basso doubles B flat alto
        CHECK(std::fabs((12 * 12 + 3.5) * kInch_m - 3.747) < 6e-4);
        CHECK(std::fabs(2.0 * 3.747 * f1_hz("F", 435) - 323.4) < 0.05);
    }
}

#include "horn/temperament.h"

#include "core/cents.h"
#include "horn/hand_chart.h"
#include "horn/tuning.h"

#include <array>
#include <cmath>
#include <string>

#include <doctest/doctest.h>

using bellhand::cents_between;
using namespace bellhand::horn;

namespace {

const Temperament& named(const char* id) {
    for (const Temperament& temperament : all_temperaments()) {
        if (std::string(temperament.id) == id) {
            return temperament;
        }
    }
    FAIL("no temperament " << id);
    return all_temperaments().front();
}

/// On C, A held: as the books print it.
Tuning in_company(const char* id, const char* crook) {
    return {*parse_crook(crook), 440.0, named(id), {0, Anchor::a, Enharmonic::sharp}};
}

/// On the crook's key, the key held: what a horn alone is judged by.
Tuning alone(const char* id, const Crook& crook) {
    return {crook, 440.0, named(id), {}};
}

void check_cents(const char* id, const std::array<double, 12>& expected) {
    CAPTURE(std::string(id));
    for (std::size_t step = 0; step < 12; ++step) {
        CAPTURE(step);
        CHECK(std::fabs(named(id).cents[step] - expected[step]) < 0.0051); // printed to 0.01
    }
}

void check_offsets(const char* id, const std::array<double, 12>& expected, double tolerance) {
    CAPTURE(std::string(id));
    for (int step = 0; step < 12; ++step) {
        CAPTURE(step);
        CHECK(std::fabs(offset_from_equal_cents(in_company(id, "C-alto"), 60 + step) -
                        expected[static_cast<std::size_t>(step)]) < tolerance);
    }
}

} // namespace

TEST_SUITE("horn/temperament") {
    TEST_CASE("cents from C as tabulated") {
        // Source: computed independently from the recipes (3/2 = 701.955, Pythagorean comma 23.460, syntonic comma
        // 21.506, schisma 1.954). Recipes of Werckmeister III and Vallotti: rollingball.com HT5; the others from memory.
        check_cents("quarter-comma",
                    {0,
                     76.05,
                     193.16,
                     310.26,
                     386.31,
                     503.42,
                     579.47,
                     696.58,
                     772.63,
                     889.74,
                     1006.84,
                     1082.89});
        check_cents("sixth-comma",
                    {0,
                     88.59,
                     196.74,
                     304.89,
                     393.48,
                     501.63,
                     590.22,
                     698.37,
                     786.96,
                     895.11,
                     1003.26,
                     1091.85});
        check_cents("sixth-comma-pythagorean",
                    {0,
                     86.31,
                     196.09,
                     305.87,
                     392.18,
                     501.96,
                     588.27,
                     698.04,
                     784.36,
                     894.13,
                     1003.91,
                     1090.22});
        check_cents("vallotti",
                    {0,
                     94.13,
                     196.09,
                     298.04,
                     392.18,
                     501.96,
                     592.18,
                     698.04,
                     796.09,
                     894.13,
                     1000.00,
                     1090.22});
        check_cents("young-1",
                    {0,
                     93.89,
                     195.85,
                     297.80,
                     391.69,
                     499.88,
                     591.94,
                     697.92,
                     795.85,
                     893.77,
                     999.76,
                     1091.81});
        check_cents("young-2",
                    {0,
                     90.22,
                     196.09,
                     294.13,
                     392.18,
                     498.04,
                     588.27,
                     698.04,
                     792.18,
                     894.13,
                     996.09,
                     1090.22});
        check_cents("kirnberger-3",
                    {0,
                     90.22,
                     193.16,
                     294.13,
                     386.31,
                     498.04,
                     590.22,
                     696.58,
                     792.18,
                     889.74,
                     996.09,
                     1088.27});
        check_cents("werckmeister-3",
                    {0,
                     90.22,
                     192.18,
                     294.13,
                     390.22,
                     498.04,
                     588.27,
                     696.09,
                     792.18,
                     888.27,
                     996.09,
                     1092.18});
        check_cents("just",
                    {0,
                     111.73,
                     203.91,
                     315.64,
                     386.31,
                     498.04,
                     590.22,
                     701.96,
                     813.69,
                     884.36,
                     1017.60,
                     1088.27});
        check_cents("equal", {0, 100, 200, 300, 400, 500, 600, 700, 800, 900, 1000, 1100});
    }

    TEST_CASE("offsets from equal temperament with A left where it is") {
        // Source: computed independently, rounded to 0.1 cent.
        check_offsets("quarter-comma",
                      {10.3, -13.7, 3.4, 20.5, -3.4, 13.7, -10.3, 6.8, -17.1, 0, 17.1, -6.8},
                      0.051);
        check_offsets(
            "vallotti", {5.9, 0, 2.0, 3.9, -2.0, 7.8, -2.0, 3.9, 2.0, 0, 5.9, -3.9}, 0.051);
        check_offsets(
            "young-1", {6.2, 0.1, 2.1, 4.0, -2.1, 6.1, -1.8, 4.2, 2.1, 0, 6.0, -2.0}, 0.051);
        check_offsets(
            "young-2", {5.9, -3.9, 2.0, 0, -2.0, 3.9, -5.9, 3.9, -2.0, 0, 2.0, -3.9}, 0.051);
        check_offsets(
            "kirnberger-3", {10.3, 0.5, 3.4, 4.4, -3.4, 8.3, 0.5, 6.8, 2.4, 0, 6.4, -1.5}, 0.051);
        check_offsets("equal", {}, 1e-9);
        // Source: list with A = 0 in message 7296 of the "mills" tuning archive (robertinventor mills_txt).
        check_offsets(
            "werckmeister-3", {11.7, 2.0, 3.9, 5.9, 2.0, 9.8, 0, 7.8, 3.9, 0, 7.8, 3.9}, 0.051);
    }

    TEST_CASE("the wolf of quarter-comma meantone lies on G sharp to E flat") {
        // Source: computed, 1200 * 7 octaves less eleven narrowed fifths.
        const auto& cents = named("quarter-comma").cents;
        CHECK(cents[3] + 1200.0 - cents[8] == doctest::Approx(737.64).epsilon(0.00001));
    }

    TEST_CASE("pure intervals go on over and under the octave") {
        // Ratios of small whole numbers: Helmholtz 1863 (from memory).
        CHECK(just_ratio(0) == 1.0);
        CHECK(just_ratio(7) == 1.5);
        CHECK(just_ratio(12) == 2.0);
        CHECK(just_ratio(16) == 2.5);
        CHECK(just_ratio(-5) == 0.75);
        CHECK(just_ratio(-12) == 0.5);
    }

    TEST_CASE("quarter-comma meantone has pure major thirds, just intonation pure fifths and "
              "thirds on C") {
        // Source: ratios 5/4 and 3/2; P. Aaron's meantone as listed in the tuning catalogue Music.Theory.Tuning.Gann.
        const double third = 1200.0 * std::log2(1.25);
        const auto& meantone = named("quarter-comma").cents;
        CHECK(meantone[4] - meantone[0] == doctest::Approx(third).epsilon(1e-10));
        CHECK(meantone[11] - meantone[7] == doctest::Approx(third).epsilon(1e-10));
        CHECK(named("just").cents[4] == doctest::Approx(third).epsilon(1e-12));
        CHECK(named("kirnberger-3").cents[4] == doctest::Approx(third).epsilon(1e-10));
    }

    TEST_CASE(
        "circulating temperaments close: the twelve fifths make seven octaves and none is a wolf") {
        for (const char* id :
             {"equal", "vallotti", "young-1", "young-2", "kirnberger-3", "werckmeister-3"}) {
            CAPTURE(std::string(id));
            double sum = 0.0;
            for (std::size_t step = 0; step < 12; ++step) {
                double fifth = named(id).cents[(step + 7) % 12] - named(id).cents[step];
                fifth += fifth < 0.0 ? 1200.0 : 0.0;
                CHECK(fifth > 695.0);
                CHECK(fifth < 702.0);
                sum += fifth;
            }
            CHECK(sum == doctest::Approx(8400.0).epsilon(1e-12));
        }
    }

    TEST_CASE("in company A sounds A4 in every temperament, and it follows the sounding note") {
        for (const Temperament& temperament : all_temperaments()) {
            CAPTURE(std::string(temperament.id));
            for (const Crook& crook : all_crooks()) {
                for (const int root : {0, 3, 10}) {
                    const Tuning tuning{
                        crook, 430.0, temperament, {root, Anchor::a, Enharmonic::sharp}};
                    CHECK(target_hz({69 - crook.transposition, 0}, tuning) ==
                          doctest::Approx(430.0).epsilon(1e-12));
                }
            }
            // Written C5 on F sounds F4 and is tempered as an F, not as a C.
            const Tuning on_f = in_company(temperament.id, "F");
            const double equal_f4 = 440.0 * std::exp2(-4.0 / 12.0);
            const double f = temperament.cents[5] - temperament.cents[9] + 400.0;
            CHECK(std::fabs(cents_between(target_hz({72, 0}, on_f), equal_f4) - f) < 1e-6);
        }
    }

    TEST_CASE("alone in just intonation the tube's own notes are in tune on every crook") {
        // The harmonic series itself: partial n is n times f1.
        for (const Crook& crook : all_crooks()) {
            const Tuning tuning = alone("just", crook);
            CHECK(key_from_equal_cents(tuning) == 0.0);
            for (const int partial : {2, 3, 4, 5, 6, 8, 10, 12}) {
                CAPTURE(std::string(crook.id));
                CAPTURE(partial);
                const double target = target_hz(nearest_written(partial), tuning);
                CHECK(std::fabs(cents_between(target, partial_hz(partial, tuning))) < 0.1);
            }
        }
    }

    TEST_CASE("with A held the key stands off equal temperament by what is known") {
        // Computed: 400 - 1200 log2(5/4) on F, 600 - 1200 log2(45/32) on E flat, 900 - 1200 log2(5/3) on C.
        const auto key = [](const char* crook) {
            Tuning tuning = alone("just", *parse_crook(crook));
            tuning.footing.anchor = Anchor::a;
            return key_from_equal_cents(tuning);
        };
        CHECK(key("F") == doctest::Approx(13.69).epsilon(0.001));
        CHECK(key("Eb") == doctest::Approx(9.78).epsilon(0.001));
        CHECK(key("C-basso") == doctest::Approx(15.64).epsilon(0.001));
        CHECK(key("A") == 0.0);
    }

    TEST_CASE("on its own root every temperament is its recipe, to 0.05 cents") {
        // Source: the recipes as tabulated above, moved to the crook's key.
        for (const Temperament& temperament : all_temperaments()) {
            for (const Crook& crook : all_crooks()) {
                const Tuning tuning = alone(temperament.id, crook);
                for (int step = 0; step < 12; ++step) {
                    const double above_key = cents_between(target_hz({60 + step, 0}, tuning),
                                                           target_hz({60, 0}, tuning));
                    CHECK(std::fabs(above_key - temperament.cents[static_cast<std::size_t>(step)]) <
                          0.05);
                }
            }
        }
    }

    TEST_CASE("a root that is chosen moves the wolf, the anchor stays where it is") {
        // Just on C: the fifth D-A is a wolf of 680.4 cents (computed, 40/27); on the key of D it is pure.
        Tuning tuning = alone("just", *parse_crook("D"));
        const auto fifth = [&tuning] {
            return cents_between(target_hz({67, 0}, tuning), target_hz({60, 0}, tuning));
        };
        CHECK(fifth() == doctest::Approx(701.955).epsilon(1e-6));
        tuning.footing.root = 0;
        CHECK(fifth() == doctest::Approx(680.449).epsilon(1e-6));
        CHECK(key_from_equal_cents(tuning) == 0.0);
        // Meantone on C has no A flat: F-C on the horn in E flat was 737.6 wide; the flat closes it.
        Tuning flats{*parse_crook("Eb"), 440.0, named("quarter-comma"), {0, Anchor::key, {}}};
        const auto last_fifth = [&flats] { // sounding A flat to E flat
            return cents_between(target_hz({72, 0}, flats), target_hz({65, 0}, flats));
        };
        CHECK(last_fifth() == doctest::Approx(737.64).epsilon(1e-5));
        flats.footing.enharmonic = Enharmonic::flat;
        CHECK(last_fifth() == doctest::Approx(696.58).epsilon(1e-5));
    }

    TEST_CASE("each target can be explained") {
        const auto words = [](const char* id, const char* crook, const char* note) {
            return target_words(*parse_note(note), alone(id, *parse_crook(crook)));
        };
        CHECK(words("just", "E", "E4") == "a pure major third above E");
        CHECK(words("just", "Eb", "C4") == "the root");
        CHECK(words("equal", "F", "E4") == "a major third above F, 13.7 cents wider than pure");
        CHECK(words("vallotti", "Bb-alto", "G4") ==
              "a fifth above B♭, 3.9 cents narrower than pure");
        CHECK(words("quarter-comma", "C-basso", "G#4") == "a pure augmented fifth above C");
        CHECK(words("just", "F", "F#4") == "a pure augmented fourth above F");
    }

    TEST_CASE("roots, anchors and enharmonics are read as they are written") {
        CHECK(*parse_root("Eb") == 3);
        CHECK(*parse_root("a flat") == 8);
        CHECK(*parse_root("C") == 0);
        CHECK_FALSE(parse_root("C4"));
        CHECK_FALSE(parse_root("H"));
        for (int step = 0; step < 12; ++step) {
            CHECK(*parse_root(step_name(step)) == step);
        }
        CHECK(*anchor_of(anchor_id(Anchor::a)) == Anchor::a);
        CHECK_FALSE(anchor_of("b"));
        CHECK(*enharmonic_of(enharmonic_id(Enharmonic::flat)) == Enharmonic::flat);
        CHECK_FALSE(enharmonic_of("natural"));
    }

    TEST_CASE("temperaments are read by id or label in any case") {
        for (const Temperament& temperament : all_temperaments()) {
            CHECK(*parse_temperament(temperament.id) == temperament);
            CHECK(*parse_temperament(temperament.label) == temperament);
        }
        CHECK(std::string(parse_temperament("Quarter Comma")->id) == "quarter-comma");
        CHECK(std::string(parse_temperament("VALLOTTI")->id) == "vallotti");
        CHECK(std::string(parse_temperament("kirnberger iii")->id) == "kirnberger-3");
        const auto wrong = parse_temperament("even");
        REQUIRE_FALSE(wrong);
        CHECK(wrong.error().kind == bellhand::ErrorKind::usage);
        CHECK(wrong.error().message.find("werckmeister-3") != std::string::npos);
    }
}

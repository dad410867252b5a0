#include "horn/hand_chart.h"

#include "core/cents.h"

#include <cmath>
#include <limits>
#include <string>

#include <doctest/doctest.h>

using bellhand::cents_between;
using namespace bellhand::horn;

namespace {

const ChartEntry& entry(const char* name) {
    const ChartEntry* found = chart_entry(*parse_note(name));
    REQUIRE_MESSAGE(found != nullptr, name);
    return *found;
}

double cents_of_ratio(double ratio) {
    return 1200.0 * std::log2(ratio);
}

void check_usual(const char* name, int partial, double shift_cents, Hand hand, Hand hand_to) {
    CAPTURE(std::string(name));
    const HandWay& way = entry(name).usual();
    CHECK(way.partial == partial);
    CHECK(way.hand == hand);
    CHECK(way.hand_to == hand_to);
    CHECK(std::fabs(way.shift_cents - shift_cents) <= 0.5); // printed in whole cents
}

void check_usual(const char* name, int partial, double shift_cents, Hand hand) {
    check_usual(name, partial, shift_cents, hand, hand);
}

Tuning tuned(const char* crook, double a4_hz, const char* temperament = "equal") {
    return {*parse_crook(crook), a4_hz, *parse_temperament(temperament)};
}

} // namespace

TEST_SUITE("horn/hand_chart") {
    TEST_CASE("every hand is found again by its id, and nothing else is a hand") {
        for (const Hand hand : kHands) {
            CHECK(hand_of(hand_id(hand)) == hand);
        }
        for (const char* none : {"", "Open", "three_quarters", "half "}) {
            CHECK_FALSE(hand_of(none).has_value());
        }
    }

    TEST_CASE("partials against equal temperament") {
        // Source: computed, 1200 * log2(n).
        const auto above = [](int partial) {
            return -shift_from_partial_cents(nearest_written(partial), partial);
        };
        CHECK(above(5) == doctest::Approx(-13.69).epsilon(0.0005));
        CHECK(above(7) == doctest::Approx(-31.17).epsilon(0.0005));
        CHECK(above(11) == doctest::Approx(-48.68).epsilon(0.0005));
        CHECK(-shift_from_partial_cents(*parse_note("F5"), 11) ==
              doctest::Approx(51.32).epsilon(0.0005));
        CHECK(above(13) == doctest::Approx(40.53).epsilon(0.0005));
        CHECK(above(14) == doctest::Approx(-31.17).epsilon(0.0005));
        CHECK(above(15) == doctest::Approx(-11.73).epsilon(0.0005));
        CHECK(above(17) == doctest::Approx(4.96).epsilon(0.001));
        CHECK(above(19) == doctest::Approx(-2.49).epsilon(0.002));
        CHECK(ascii_name(nearest_written(7)) == "Bb4");
        CHECK(ascii_name(nearest_written(11)) == "F#5");
        CHECK(ascii_name(nearest_written(13)) == "Ab5");
        CHECK(ascii_name(nearest_written(23)) == "F#6");
    }

    TEST_CASE("gaps between neighbouring partials") {
        // Source: computed, 1200 * log2((n + 1) / n).
        const Tuning tuning = tuned("F", 440);
        CHECK(cents_between(partial_hz(9, tuning), partial_hz(8, tuning)) ==
              doctest::Approx(203.91).epsilon(0.00003));
        CHECK(cents_between(partial_hz(16, tuning), partial_hz(15, tuning)) ==
              doctest::Approx(111.73).epsilon(0.00005));
    }

    TEST_CASE("hand notes that Widor prints") {
        // Source: Widor, Initiation musicale, p. 34 (signs ½ and +); shifts computed.
        check_usual("B3", 4, -100, Hand::half);
        check_usual("F#4", 6, -101.96, Hand::half);
        check_usual("A4", 7, -68.8, Hand::half);
        check_usual("F#3", 3, -102, Hand::half);
        check_usual("Eb4", 5, -86, Hand::half);
        check_usual("B4", 8, -100, Hand::half);
        check_usual("Eb5", 10, -86, Hand::half);
        CHECK(entry("F5").usual().partial == 11);
        CHECK(entry("F5").usual().shift_cents == doctest::Approx(-51.3).epsilon(0.001));
        CHECK(entry("F5").usual().hand_to == Hand::half);
        CHECK(entry("D4").usual().shift_cents == doctest::Approx(-186.3).epsilon(0.001));
        for (const char* plus : {"Ab3", "A3", "Bb3", "D4", "F4", "Ab4"}) { // printed with +
            CAPTURE(std::string(plus));
            bool stopped = false;
            for (const HandWay& way : entry(plus).ways) {
                stopped = stopped || way.hand_to == Hand::full;
            }
            CHECK(stopped);
        }
        CHECK(entry("Bb4").usual().hand == Hand::open);
    }

    TEST_CASE("hand notes as generally taught") {
        // Source: from memory (the teaching after Dauprat 1824, Domnich 1807-08, Duvernoy c. 1802-03, Gallay c. 1845).
        check_usual("G2", 2, -500, Hand::open); // an equal-tempered fourth below C3
        check_usual("Ab2", 2, -400, Hand::open, Hand::half);
        check_usual("B2", 2, -100, Hand::open, Hand::half);
        check_usual("C3", 2, 0, Hand::open);
        check_usual("C#3", 3, -602, Hand::full);
        check_usual("D3", 3, -502, Hand::three_quarters, Hand::full);
        check_usual("E3", 3, -302, Hand::three_quarters, Hand::full);
        check_usual("F3", 3, -202, Hand::three_quarters);
        check_usual("G3", 3, -2, Hand::open);
        check_usual("Ab3", 4, -400, Hand::full);
        check_usual("A3", 4, -300, Hand::three_quarters, Hand::full);
        check_usual("Bb3", 4, -200, Hand::three_quarters);
        check_usual("C4", 4, 0, Hand::open);
        check_usual("C#4", 5, -286, Hand::full);
        check_usual("D4", 5, -186, Hand::three_quarters);
        check_usual("E4", 5, 14, Hand::open);
        check_usual("F4", 6, -202, Hand::three_quarters, Hand::full);
        check_usual("G4", 6, -2, Hand::open);
        check_usual("Ab4", 7, -169, Hand::three_quarters, Hand::full);
        check_usual("Bb4", 7, 31, Hand::open);
        check_usual("C5", 8, 0, Hand::open);
        check_usual("C#5", 9, -104, Hand::half, Hand::three_quarters);
        check_usual("D5", 9, -4, Hand::open);
        check_usual("E5", 10, 14, Hand::open);
        check_usual("F#5", 12, -102, Hand::half);
        check_usual("G5", 12, -2, Hand::open);
        check_usual("Ab5", 13, -41, Hand::quarter);
        check_usual("A5", 13, 59, Hand::open);
        check_usual("Bb5", 14, 31, Hand::open);
        check_usual("B5", 15, 12, Hand::open);
        check_usual("C6", 16, 0, Hand::open);
        CHECK(entry("Bb4").usual().hand_out);
        CHECK(entry("A5").usual().hand_out);
        CHECK(entry("A5").usual().lip);
        CHECK(entry("G2").usual().lip);
        CHECK(entry("C#3").usual().poor);
        for (const char* const lipped : {"Ab2", "A2", "Bb2", "B2"}) {
            CAPTURE(lipped);
            CHECK(entry(lipped).usual().lip);
            CHECK(entry(lipped).usual().poor);
        }
    }

    TEST_CASE("C sharp 5 is reached from the ninth partial or by stopping above the eighth") {
        // Source: computed.
        const auto ways = entry("C#5").ways;
        REQUIRE(ways.size() == 2);
        CHECK(ways[0].shift_cents == doctest::Approx(-103.9).epsilon(0.0005));
        CHECK(ways[1].partial == 8);
        CHECK(ways[1].hand == Hand::full);
        CHECK(ways[1].shift_cents == doctest::Approx(100.0).epsilon(1e-9));
    }

    TEST_CASE(
        "the chart runs from factitious G2 to partial 24 without a gap, and knows the pedal C2") {
        const auto chart = hand_chart();
        REQUIRE(chart.size() == 50);
        CHECK(ascii_name(chart.front().written) == "C2");
        for (std::size_t i = 1; i < chart.size(); ++i) {
            CHECK(chart[i].written.number == 42 + static_cast<int>(i));
        }
        CHECK(ascii_name(chart.back().written) == "G6");
        CHECK(chart_entry(Note{42, 1}) == nullptr);
        CHECK(chart_entry(Note{92, 0}) == nullptr);
        CHECK(chart_entry(Note{-5000, 0}) == nullptr);
    }

    TEST_CASE(
        "every way's shift leads from its partial to its note, and every way names its source") {
        for (const ChartEntry& note : hand_chart()) {
            CAPTURE(ascii_name(note.written));
            REQUIRE_FALSE(note.ways.empty());
            for (const HandWay& way : note.ways) {
                const double partial_above_c2 = cents_of_ratio(way.partial);
                const double note_above_c2 = 100.0 * (note.written.number - 36);
                CHECK(std::fabs(partial_above_c2 + way.shift_cents - note_above_c2) < 0.5);
                CHECK(way.hand <= way.hand_to);
                CHECK(way.partial >= 1);
                CHECK(way.partial <= 24);
                CHECK(std::string(way.source).size() > 5);
                if (way.hand_out) {
                    CHECK(way.hand_to == Hand::open);
                }
                // The hand lowers; only a full stop named from the partial below, the hand drawn out and the lips raise.
                if (way.shift_cents > 20.0) {
                    CHECK((way.hand == Hand::full || way.hand_out || way.lip));
                }
            }
        }
    }

    TEST_CASE("usual ways rise with the notes: the partial never falls") {
        int partial = 0;
        for (const ChartEntry& note : hand_chart()) {
            CHECK(note.usual().partial >= partial);
            partial = note.usual().partial;
        }
        CHECK(partial == 24);
    }

    TEST_CASE("all twenty-four partials are in the chart as an open or nearly open way") {
        for (int partial = 1; partial <= 24; ++partial) {
            CAPTURE(partial);
            bool found = false;
            for (const HandWay& way : chart_entry(nearest_written(partial))->ways) {
                found = found || (way.partial == partial && way.hand <= Hand::quarter);
            }
            CHECK(found);
        }
    }

    TEST_CASE("a D flat finds the entry of C sharp") {
        CHECK(chart_entry(*parse_note("Db5")) == chart_entry(*parse_note("C#5")));
    }
}

TEST_SUITE("horn/read_pitch") {
    TEST_CASE(
        "the target reads back as its own note with no deviation, on every crook and temperament") {
        for (const Temperament& temperament : all_temperaments()) {
            for (const Crook& crook : all_crooks()) {
                const Tuning tuning{crook, 430.0, temperament};
                for (const ChartEntry& note : hand_chart()) {
                    const auto read = read_pitch(target_hz(note.written, tuning), tuning);
                    REQUIRE(read);
                    CHECK(read->written == note.written);
                    CHECK(read->partial == note.usual().partial);
                    CHECK(read->hand == note.usual().hand);
                    CHECK(std::fabs(read->deviation_cents) < 1e-9);
                }
            }
        }
    }

    TEST_CASE("a deviation is read in cents and signed") {
        const Tuning tuning = tuned("Eb", 415, "vallotti");
        for (const double cents : {-49.0, -12.25, 0.125, 31.0, 49.0}) {
            const double f0_hz = target_hz({67, 0}, tuning) * std::exp2(cents / 1200.0);
            const auto read = read_pitch(f0_hz, tuning, Note{67, 0});
            REQUIRE(read);
            CHECK(ascii_name(read->written) == "G4");
            CHECK(read->deviation_cents == doctest::Approx(cents).epsilon(1e-9));
        }
    }

    TEST_CASE("an open eleventh partial reads as F sharp, 49 cents low") {
        // Source: computed, 1200 * log2(11).
        const Tuning tuning = tuned("F", 440);
        const auto read = read_pitch(partial_hz(11, tuning), tuning);
        REQUIRE(read);
        CHECK(ascii_name(read->written) == "F#5");
        CHECK(read->deviation_cents == doctest::Approx(-48.68).epsilon(0.0002));
    }

    TEST_CASE("a note played a quarter-tone off does not flicker between two names") {
        const Tuning tuning = tuned("F", 440);
        const double g4_hz = target_hz({67, 0}, tuning);
        const auto at = [&](double cents, Note before) {
            return read_pitch(g4_hz * std::exp2(cents / 1200.0), tuning, before)->written.number;
        };
        CHECK(at(52.0, {67, 0}) == 67);
        CHECK(at(52.0, {68, -1}) == 68);
        CHECK(at(48.0, {68, -1}) == 68);
        CHECK(at(48.0, {67, 0}) == 67);
        CHECK(at(60.0, {67, 0}) == 68);
        CHECK(at(40.0, {68, -1}) == 67);
        // A note from far away does not hold.
        CHECK(at(10.0, {72, 0}) == 67);
    }

    TEST_CASE("sweeping up through the whole range, the written note never falls back") {
        const Tuning tuning = tuned("Bb-basso", 430, "quarter-comma");
        std::optional<Note> before;
        for (double cents = 0.0; cents < 4900.0; cents += 1.7) {
            const auto read =
                read_pitch(target_hz({43, 0}, tuning) * std::exp2(cents / 1200.0), tuning, before);
            if (read) {
                CHECK((!before || read->written.number >= before->number));
                before = read->written;
            }
        }
        REQUIRE(before);
        CHECK(before->number == 91);
    }

    TEST_CASE("what no horn plays reads as nothing") {
        const Tuning tuning = tuned("F", 440);
        const double c2_hz = target_hz({36, 0}, tuning);
        CHECK_FALSE(read_pitch(c2_hz * std::exp2(-110.0 / 1200.0), tuning));
        CHECK_FALSE(read_pitch(target_hz({91, 0}, tuning) * std::exp2(101.0 / 1200.0), tuning));
        CHECK(read_pitch(target_hz({91, 0}, tuning) * std::exp2(99.0 / 1200.0), tuning));
        for (const double nothing : {0.0,
                                     -100.0,
                                     1e-300,
                                     1e300,
                                     std::numeric_limits<double>::quiet_NaN(),
                                     std::numeric_limits<double>::infinity()}) {
            CHECK_FALSE(read_pitch(nothing, tuning));
        }
    }

    TEST_CASE("against an expected note the sound may lie anywhere, and the spelling is kept") {
        const Tuning tuning = tuned("D", 430);
        const auto read = read_against(target_hz({60, 0}, tuning), tuning, *parse_note("Db5"));
        REQUIRE(read);
        CHECK(ascii_name(read->written) == "Db5");
        CHECK(read->partial == 9);
        CHECK(read->deviation_cents == doctest::Approx(-1300.0).epsilon(1e-9));
        CHECK_FALSE(read_against(100.0, tuning, *parse_note("D2")));
        CHECK_FALSE(read_against(std::numeric_limits<double>::quiet_NaN(), tuning, {60, 0}));
        CHECK_FALSE(read_against(0.0, tuning, {60, 0}));
    }
}

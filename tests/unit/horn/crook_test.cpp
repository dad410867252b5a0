#include "horn/crook.h"

#include "core/cents.h"
#include "horn/note.h"
#include "horn/tuning.h"

#include <cmath>
#include <limits>
#include <string>

#include <doctest/doctest.h>

using bellhand::cents_between;
using namespace bellhand::horn;

namespace {

Tuning tuned(const char* crook, double a4_hz) {
    Tuning tuning;
    tuning.crook = *parse_crook(crook);
    tuning.a4_hz = a4_hz;
    return tuning;
}

} // namespace

TEST_SUITE("horn/crook") {
    TEST_CASE("seventeen crooks, a semitone apart, from C alto to A flat basso") {
        const auto crooks = all_crooks();
        REQUIRE(crooks.size() == 17);
        for (std::size_t i = 0; i < crooks.size(); ++i) {
            CHECK(crooks[i].transposition == -static_cast<int>(i));
            CHECK(*parse_crook(crooks[i].id) == crooks[i]);
            CHECK(*parse_crook(crooks[i].label) == crooks[i]);
            CHECK(parse_note(crooks[i].sounding_c4)->number == 60 + crooks[i].transposition);
        }
    }

    TEST_CASE("transpositions as published") {
        // Source: Encyclopaedia Britannica, 11th ed. (1911), vol. 13, "Horn", and a handout on natural brass
        // (scribd.com/document/402627594).
        CHECK(parse_crook("Bb alto")->transposition == -2);
        CHECK(parse_crook("A")->transposition == -3);
        CHECK(parse_crook("Ab")->transposition == -4);
        CHECK(parse_crook("G")->transposition == -5);
        CHECK(parse_crook("F")->transposition == -7);
        CHECK(parse_crook("E")->transposition == -8);
        CHECK(parse_crook("Eb")->transposition == -9);
        CHECK(parse_crook("D")->transposition == -10);
        CHECK(parse_crook("C basso")->transposition == -12);
        CHECK(parse_crook("Bb basso")->transposition == -14);
        // Source: Grove, Dictionary of Music and Musicians, 1st ed., vol. 1, "Horn", p. 750.
        CHECK(parse_crook("Ab basso")->transposition == -16);
    }

    TEST_CASE("a crook is read however people write it") {
        for (const char* text : {"Eb", "eb", "E♭", "e flat", "E-flat", "D#", "D♯", " Eb "}) {
            CAPTURE(std::string(text));
            REQUIRE(parse_crook(text));
            CHECK(parse_crook(text)->transposition == -9);
        }
        for (const char* text :
             {"Bb basso", "bb-basso", "B♭ Basso", "b flat basso", "Bb_basso", "A# basso"}) {
            CAPTURE(std::string(text));
            REQUIRE(parse_crook(text));
            CHECK(parse_crook(text)->transposition == -14);
        }
        CHECK(parse_crook("B basso")->transposition == -13);
        CHECK(parse_crook("bbasso")->transposition == -13);
        CHECK(parse_crook("B alto")->transposition == -1);
        CHECK(parse_crook("F#")->transposition == -6);
        CHECK(parse_crook("Gb")->transposition == -6);
        CHECK(parse_crook("C#")->transposition == -11);
        CHECK(parse_crook("D♭")->transposition == -11);
        CHECK(parse_crook("c alto")->transposition == 0);
        CHECK(parse_crook("A")->transposition == -3);
        CHECK(parse_crook("A alto")->transposition == -3);
        CHECK(parse_crook("A basso")->transposition == -15);
        CHECK(parse_crook("G# basso")->transposition == -16);
    }

    TEST_CASE("C, B and B flat are never guessed: the sentence asks which") {
        for (const char* text : {"C", "c", "B", "Bb", "B♭", "b flat", "A#", "B#", "Cb"}) {
            CAPTURE(std::string(text));
            const auto crook = parse_crook(text);
            REQUIRE_FALSE(crook);
            CHECK(crook.error().kind == bellhand::ErrorKind::usage);
            CHECK(crook.error().message.find("alto or basso") != std::string::npos);
            CHECK(crook.error().message.back() == '?');
        }
        CHECK(parse_crook("Bb").error().message.find("Bb-alto or Bb-basso") != std::string::npos);
        CHECK(parse_crook("C").error().message.find("C-alto or C-basso") != std::string::npos);
        CHECK(parse_crook("B").error().message.find("B-alto or B-basso") != std::string::npos);
    }

    TEST_CASE("what is no crook is refused with the list of crooks") {
        for (const char* text :
             {"", "H", "F alto", "G basso", "Eb-basso", "X", "F tenor", "Bb altobasso", "12"}) {
            CAPTURE(std::string(text));
            const auto crook = parse_crook(text);
            REQUIRE_FALSE(crook);
            CHECK(crook.error().kind == bellhand::ErrorKind::usage);
            CHECK(crook.error().message.find("Ab-basso") != std::string::npos);
        }
    }
}

TEST_SUITE("horn/tuning") {
    TEST_CASE("fundamentals of the crooks") {
        // Source: computed from f1 = A4 * 2^((s - 33) / 12), s = transposition in semitones (equal temperament).
        CHECK(std::fabs(fundamental_hz(tuned("F", 440)) - 43.654) < 0.00051); // printed to 0.001
        CHECK(std::fabs(fundamental_hz(tuned("Bb-alto", 440)) - 58.270) <
              0.00051); // printed to 0.001
        CHECK(std::fabs(fundamental_hz(tuned("C-basso", 430)) - 31.960) <
              0.00051); // printed to 0.001
        CHECK(std::fabs(fundamental_hz(tuned("Bb-basso", 415)) - 27.480) <
              0.00051); // printed to 0.001
        CHECK(std::fabs(fundamental_hz(tuned("C-alto", 440)) - 65.406) <
              0.00051); // printed to 0.001
        CHECK(std::fabs(fundamental_hz(tuned("Ab-basso", 415)) - 24.482) <
              0.00051);                                                        // printed to 0.001
        CHECK(std::fabs(fundamental_hz(tuned("D", 430)) - 35.874) < 0.00051);  // printed to 0.001
        CHECK(std::fabs(fundamental_hz(tuned("F#", 415)) - 43.622) < 0.00051); // printed to 0.001
    }

    TEST_CASE("written C4 on the E flat crook at 440") {
        // Source: computed from the same formula; E flat 3 of equal temperament.
        CHECK(target_hz(usual_spelling(60), tuned("Eb", 440)) ==
              doctest::Approx(155.563).epsilon(0.000005));
    }

    TEST_CASE("written C4 is the fourth partial of every crook at every pitch") {
        for (const Crook& crook : all_crooks()) {
            for (const double a4_hz : {380.0, 415.0, 430.0, 440.0, 470.0}) {
                const Tuning tuning{crook, a4_hz, {}};
                CHECK(cents_between(target_hz({60, 0}, tuning), 4 * fundamental_hz(tuning)) ==
                      doctest::Approx(0.0).epsilon(1e-9));
            }
        }
    }

    TEST_CASE("pitches of the time in cents from 440") {
        // Source: computed, 1200 * log2(A4 / 440).
        CHECK(cents_between(430, 440) == doctest::Approx(-39.8).epsilon(0.001));
        CHECK(cents_between(415, 440) == doctest::Approx(-101.3).epsilon(0.001));
        CHECK(cents_between(435, 440) == doctest::Approx(-19.8).epsilon(0.002));
        CHECK(cents_between(421.6, 440) == doctest::Approx(-73.9).epsilon(0.001));
        CHECK(cents_between(446, 440) == doctest::Approx(23.4).epsilon(0.003));
    }

    TEST_CASE("the pitch goes from 380 to 470 Hz and nothing else passes") {
        CHECK(*checked_a4(380) == 380.0);
        CHECK(*checked_a4(470) == 470.0);
        for (const double wrong : {379.99,
                                   470.01,
                                   0.0,
                                   -440.0,
                                   1e300,
                                   std::numeric_limits<double>::quiet_NaN(),
                                   std::numeric_limits<double>::infinity()}) {
            CAPTURE(wrong);
            const auto a4 = checked_a4(wrong);
            REQUIRE_FALSE(a4);
            CHECK(a4.error().kind == bellhand::ErrorKind::usage);
            CHECK(a4.error().message.find("380 to 470") != std::string::npos);
        }
    }

    TEST_CASE("a higher written note sounds higher, whatever the temperament") {
        for (const Temperament& temperament : all_temperaments()) {
            for (const Crook& crook : all_crooks()) {
                const Tuning tuning{crook, 430.0, temperament};
                for (int number = 36; number < 91; ++number) {
                    CHECK(target_hz({number + 1, 0}, tuning) > target_hz({number, 0}, tuning));
                }
            }
        }
    }
}

TEST_SUITE("horn/sounding_note") {
    TEST_CASE("what sounds is spelled by the interval of the crook") {
        // Source: common practice, no source (transposition by a named interval).
        const auto sounds = [](const char* written, const char* crook) {
            return ascii_name(sounding_note(*parse_note(written), *parse_crook(crook)));
        };
        CHECK(sounds("Bb4", "Eb") == "Db4");
        CHECK(sounds("F#4", "D") == "G#3");
        CHECK(sounds("C4", "Bb-basso") == "Bb2");
        CHECK(sounds("E4", "A") == "C#4");
        CHECK(sounds("G4", "F#") == "C#4");
        CHECK(sounds("C4", "Db") == "Db3");
        CHECK(sounds("F#5", "C-basso") == "F#4");
        CHECK(sounds("Ab4", "Eb") == "B3"); // not C flat
    }

    TEST_CASE("written and sounding are each other's inverse in pitch on every crook") {
        for (const Crook& crook : all_crooks()) {
            for (int number = 36; number <= 91; ++number) {
                const Note written = usual_spelling(number);
                const Note sounding = sounding_note(written, crook);
                CHECK(sounding.number == number + crook.transposition);
                CHECK(written_note(sounding, crook).number == number);
                CHECK(parse_note(ascii_name(sounding))->number == sounding.number);
            }
            // A crook's own C.
            CHECK(ascii_name(sounding_note({60, 0}, crook)) == crook.sounding_c4);
        }
    }
}

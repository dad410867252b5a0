#include "horn/scale.h"

#include <string>

#include <doctest/doctest.h>

using namespace bellhand::horn;

namespace {

std::string spelled(const char* key, int tonic) {
    std::string names;
    for (const Note& note : one_octave(*parse_scale(key), tonic)) {
        names += (names.empty() ? "" : " ") + ascii_name(note);
    }
    return names;
}

} // namespace

TEST_SUITE("horn/scale") {
    TEST_CASE("every letter comes once, with the accidentals of the key") {
        // Source: common practice, no source (key signatures).
        CHECK(spelled("C", 60) == "C4 D4 E4 F4 G4 A4 B4 C5");
        CHECK(spelled("G-major", 55) == "G3 A3 B3 C4 D4 E4 F#4 G4");
        CHECK(spelled("Db-major", 61) == "Db4 Eb4 F4 Gb4 Ab4 Bb4 C5 Db5");
        CHECK(spelled("g minor", 67) == "G4 A4 Bb4 C5 D5 Eb5 F5 G5");
        CHECK(spelled("G harmonic minor", 67) == "G4 A4 Bb4 C5 D5 Eb5 F#5 G5");
        CHECK(spelled("e-phrygian", 64) == "E4 F4 G4 A4 B4 C5 D5 E5");
        CHECK(spelled("F-lydian", 65) == "F4 G4 A4 B4 C5 D5 E5 F5");
        CHECK(spelled("B♭ mixolydian", 58) == "Bb3 C4 D4 Eb4 F4 G4 Ab4 Bb4");
        CHECK(spelled("d_dorian", 62) == "D4 E4 F4 G4 A4 B4 C5 D5");
        CHECK(spelled("C#-major", 61) == "C#4 D#4 E#4 F#4 G#4 A#4 B#4 C#5");
    }

    TEST_CASE("what is no key is refused with the list of modes") {
        for (const char* text : {"", "H-major", "G-magor", "major", "Gx", "G##"}) {
            CAPTURE(std::string(text));
            const auto scale = parse_scale(text);
            REQUIRE_FALSE(scale);
            CHECK(scale.error().kind == bellhand::ErrorKind::usage);
            CHECK(scale.error().message.find("mixolydian") != std::string::npos);
        }
    }

    TEST_CASE("hand notes of C major from C4: D, F, A and B need the hand") {
        // Source: Widor, Initiation musicale, p. 34 (signs of D4, F4, A4, B4; C4, E4, G4, C5 open).
        for (const ScaleCount& octave : count_scale(*parse_scale("C-major"))) {
            if (ascii_name(octave.notes.front()) == "C4") {
                CHECK(octave.open == 4);
                CHECK(octave.covered == 2);
                CHECK(octave.stopped == 2);
                CHECK(octave.lipped == 0);
            }
        }
    }

    TEST_CASE(
        "an octave of every scale has eight notes, and octaves outside the chart are left out") {
        for (const char* const id : {"major",
                                     "minor",
                                     "harmonic-minor",
                                     "melodic-minor",
                                     "dorian",
                                     "phrygian",
                                     "lydian",
                                     "mixolydian"}) {
            const Mode mode = parse_scale(std::string("C-") + id).value().mode;
            for (const char letter : {'C', 'D', 'E', 'F', 'G', 'A', 'B'}) {
                for (int sharps = -1; sharps <= 1; ++sharps) {
                    const Scale scale{letter, sharps, mode};
                    const auto octaves = count_scale(scale);
                    REQUIRE(octaves.size() >= 3);
                    for (const ScaleCount& octave : octaves) {
                        CHECK(octave.open + octave.covered + octave.stopped + octave.lipped == 8);
                        CHECK(octave.mean_evenness >= 1.0);
                        CHECK(octave.mean_evenness <= 5.0);
                        CHECK(octave.notes.front().number >= 43);
                        for (const Note& note : octave.notes) {
                            CHECK(contains(scale, note.number));
                        }
                    }
                }
            }
        }
    }

    TEST_CASE("the second octave above C5 is open all the way on a horn, the lower one is not") {
        const auto octaves = count_scale(*parse_scale("C"));
        REQUIRE(octaves.size() == 3); // C3, C4, C5; C2 to C3 has a gap
        CHECK(octaves[2].mean_evenness > octaves[1].mean_evenness);
        CHECK(octaves[1].mean_evenness > octaves[0].mean_evenness);
    }
}

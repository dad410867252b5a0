#include "horn/tuning.h"

#include "horn/hand_chart.h"

#include <string>

#include <doctest/doctest.h>

using namespace bellhand::horn;

namespace {

std::string sounds(const char* written, const char* crook) {
    return ascii_name(sounding_note(*parse_note(written), *parse_crook(crook)));
}

std::string is_written(const char* sounding, const char* crook) {
    return ascii_name(written_note(*parse_note(sounding), *parse_crook(crook)));
}

} // namespace

TEST_SUITE("horn/tuning") {
    TEST_CASE("a written note is transposed, not spelled anew from its number") {
        // Interval of transposition kept, letter by letter: common practice, no source.
        CHECK(sounds("Ab4", "F") == "Db4");
        CHECK(sounds("G#4", "F") == "C#4");
        CHECK(sounds("Bb4", "Eb") == "Db4");
        CHECK(sounds("F#4", "D") == "G#3");
        CHECK(sounds("Eb5", "Bb-basso") == "Db4");
        CHECK(sounds("A4", "E") == "C#4");
        CHECK(is_written("Db4", "F") == "Ab4");
        CHECK(is_written("C#4", "F") == "G#4");
    }

    TEST_CASE("at the ends of the line of fifths the spelling is the last that has a plain name") {
        // From G flat, six fifths below C, to A sharp, ten above.
        CHECK(sounds("Db4", "F") == "Gb3");
        CHECK(sounds("Gb4", "F") == "B3"); // C flat
        CHECK(sounds("Bb4", "Ab") == "Gb4");
        CHECK(sounds("Eb4", "Ab") == "B3"); // C flat
        CHECK(sounds("E4", "F#") == "A#3");
        CHECK(sounds("B4", "F#") == "F4"); // E sharp
        CHECK(sounds("A#4", "C-alto") == "A#4");
        CHECK(sounds("Gb4", "C-alto") == "Gb4");
        CHECK(sounds("Cb5", "C-alto") == "B4");
        CHECK(sounds("E#4", "C-alto") == "F4");
        CHECK(is_written("Gb3", "E") == "D4"); // D double flat
        CHECK(is_written("Gb3", "G") == "B3"); // C flat
        CHECK(is_written("A#3", "F") == "F4"); // E sharp
    }

    TEST_CASE("on every crook every note of the chart keeps its pitch when it is spelled") {
        for (const Crook& crook : all_crooks()) {
            for (const ChartEntry& entry : hand_chart()) {
                const Note there = sounding_note(entry.written, crook);
                CHECK(there.number == entry.written.number + crook.transposition);
                CHECK(parse_note(ascii_name(there))->number == there.number);
                CHECK(written_note(there, crook).number == entry.written.number);
            }
        }
    }
}

#include "horn/adviser.h"

#include <algorithm>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand::horn;

namespace {

std::vector<int> sounding(std::initializer_list<const char*> names) {
    std::vector<int> numbers;
    for (const char* name : names) {
        numbers.push_back(parse_note(name)->number);
    }
    return numbers;
}

const CrookAdvice& of(const std::vector<CrookAdvice>& ranked, const char* crook) {
    for (const CrookAdvice& advice : ranked) {
        if (std::string(advice.crook.id) == crook) {
            return advice;
        }
    }
    FAIL("no crook " << crook);
    return ranked.front();
}

} // namespace

TEST_SUITE("horn/adviser") {
    TEST_CASE("a major triad with octave is best on the crook of its own key") {
        // Source: common practice, no source (parts stand in the key of the piece).
        CHECK(std::string(
                  advise(sounding({"D3", "A3", "D4", "F#4", "A4", "D5"})).front().crook.id) == "D");
        CHECK(std::string(
                  advise(sounding({"Eb3", "Bb3", "Eb4", "G4", "Bb4", "Eb5"})).front().crook.id) ==
              "Eb");
        CHECK(std::string(
                  advise(sounding({"F3", "C4", "F4", "A4", "C5", "F5"})).front().crook.id) == "F");
    }

    TEST_CASE("counts are those of the written notes") {
        const auto ranked = advise(sounding({"F3", "G3", "Bb3", "E4", "F4", "F4", "C2", "B0"}));
        const CrookAdvice& on_f = of(ranked, "F"); // written C4 D4 F4 B4 C5 C5 G2 F#1
        CHECK(on_f.open == 3);
        CHECK(on_f.covered == 1);
        CHECK(on_f.stopped == 2);
        CHECK(on_f.lipped == 1);
        CHECK(on_f.unplayable == 1);
        CHECK(ascii_name(on_f.highest) == "C5");
        CHECK(on_f.mean_evenness > 1.0);
        CHECK(on_f.mean_evenness < 5.0); // all open would be even throughout
        CHECK(on_f.why.find("Of 8 notes: 3 open, 1 covered, 2 stopped, 1 lipped, 1 unplayable") !=
              std::string::npos);
    }

    TEST_CASE("high notes on a short crook lie outside its usual partials") {
        // Source: Encyclopaedia Britannica, 11th ed. (1911), vol. 13, "Horn": B flat alto to the tenth partial, F to the
        // sixteenth, B flat basso from the third.
        const auto ranked = advise(sounding({"F5"}));
        CHECK(of(ranked, "Bb-alto").outside_compass == 1); // written G5, partial 12
        CHECK(of(ranked, "F").outside_compass == 0);       // written C6, partial 16
        CHECK(usual_compass(*parse_crook("Bb-alto")).highest_partial == 10);
        CHECK(usual_compass(*parse_crook("G")).highest_partial == 12);
        CHECK(usual_compass(*parse_crook("D")).highest_partial == 16);
        CHECK(usual_compass(*parse_crook("Bb-basso")).lowest_partial == 3);
        CHECK(usual_compass(*parse_crook("Bb-basso")).printed);
        CHECK_FALSE(usual_compass(*parse_crook("A-basso")).printed);
    }

    TEST_CASE("the ranking is complete and sorted, and repetition weighs") {
        const auto ranked = advise(sounding({"G3", "B3", "D4", "G4"}));
        REQUIRE(ranked.size() == all_crooks().size());
        CHECK(std::is_sorted(ranked.begin(), ranked.end(), [](const auto& a, const auto& b) {
            return a.cost < b.cost;
        }));
        const auto once = advise(sounding({"F3", "Gb3"}));
        const auto often = advise(sounding({"F3", "Gb3", "Gb3", "Gb3"}));
        CHECK(of(often, "F").cost > of(once, "F").cost);
        CHECK(advise({}).empty());
    }

    TEST_CASE("notes no horn plays are counted, not dropped") {
        const auto ranked = advise(sounding({"C0", "C9"}));
        for (const CrookAdvice& advice : ranked) {
            CHECK(advice.unplayable == 2);
            CHECK(advice.mean_evenness == 0.0);
        }
    }

    TEST_CASE("the usual crooks for a key") {
        // Source: common practice, no source; the minor keys from memory (G minor: G and B flat alto; D minor: D and F;
        // C minor: E flat and C; E minor: E and G).
        const auto usual = [](const char* key) {
            std::string names;
            for (const Crook& crook : all_crooks()) {
                if (is_usual_for(crook, *parse_scale(key))) {
                    names += (names.empty() ? "" : " ") + std::string(crook.id);
                }
            }
            return names;
        };
        CHECK(usual("D") == "D");
        CHECK(usual("Eb") == "Eb");
        CHECK(usual("C") == "C-basso");
        CHECK(usual("Bb") == "Bb-alto Bb-basso");
        CHECK(usual("g-minor") == "Bb-alto G Bb-basso");
        CHECK(usual("d-minor") == "F D");
        CHECK(usual("c-minor") == "Eb C-basso");
        CHECK(usual("e-minor") == "G E");
    }

    TEST_CASE("the key of the piece tips the balance and is named") {
        const auto notes = sounding({"D4", "A4"});
        const auto with_key = advise(notes, *parse_scale("D-major"));
        CHECK(std::string(with_key.front().crook.id) == "D");
        CHECK(with_key.front().why.find("usual for pieces in D major") != std::string::npos);
        CHECK(of(with_key, "D").cost == doctest::Approx(of(advise(notes), "D").cost - 0.5));
        CHECK(of(with_key, "F").cost == doctest::Approx(of(advise(notes), "F").cost));
    }
}

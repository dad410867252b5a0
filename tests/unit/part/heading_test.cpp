#include "part/read/heading.h"

#include "part/part.h"
#include "support/scores.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::part;

namespace {

struct Kind {
    const char* heading;
    std::vector<std::string> crooks; ///< several: only the player can say
};

// Languages: common practice, no source; old solmisation and Dis: from memory.
const std::vector<Kind> kKinds{
    // German
    {"Horn in Es", {"Eb"}},
    {"2 Hörner in tiefem B", {"Bb-basso"}},
    {"Hörner in B", {"Bb-alto", "Bb-basso"}},
    {"Waldhorn in hoch B", {"Bb-alto"}},
    {"Horn in H", {"B-alto", "B-basso"}},
    {"Hörner in As", {"Ab", "Ab-basso"}},
    {"Es-Horn", {"Eb"}},
    {"I. Horn in Fis", {"F#"}},
    {"Horn in Des", {"Db"}},
    // Italian
    {"Corni in Mi bemolle", {"Eb"}},
    {"Corno I in Re", {"D"}},
    {"Corni 1 e 2 in Es", {"Eb"}},
    {"Corni in Sib basso", {"Bb-basso"}},
    {"Corni in B", {"Bb-alto", "Bb-basso"}},
    {"Corno in La acuto", {"A"}},
    {"Corno in Do grave", {"C-basso"}},
    {"Corno da caccia in D", {"D"}},
    // French
    {"Cor en mi bémol", {"Eb"}},
    {"Cors en ut", {"C-alto", "C-basso"}},
    {"Cor en si", {"B-alto", "B-basso"}},
    {"Cors en si bémol aigu", {"Bb-alto"}},
    {"Cor en ré", {"D"}},
    // English
    {"Horn in E flat", {"Eb"}},
    {"B♭ (alto) Horn 1", {"Bb-alto"}},
    {"E-flat Horn", {"Eb"}},
    {"D Horn 1", {"D"}},
    {"Bb Horn 2", {"Bb-alto", "Bb-basso"}},
    {"Horn in C", {"C-alto", "C-basso"}},
    {"Low B flat Horn", {"Bb-basso"}},
    {"Horn 1 (F)", {"F"}},
    {"Horn in B", {"B-alto", "Bb-alto", "B-basso", "Bb-basso"}},
    {"Horn in A", {"A", "A-basso"}},
    // old solmisation
    {"Corno in Dsolre", {"D"}},
    {"Corni in Elafa", {"Eb"}},
    {"Corno in Ffaut", {"F"}},
    {"Corni in Gsolreut", {"G"}},
    {"Corno in Alamire", {"A", "A-basso"}},
    {"Corni in Bfa", {"Bb-alto", "Bb-basso"}},
};

std::vector<std::string> ids(const std::vector<horn::Crook>& crooks) {
    std::vector<std::string> list;
    for (const horn::Crook& crook : crooks) {
        list.emplace_back(crook.id);
    }
    return list;
}

} // namespace

TEST_SUITE("part/heading") {
    TEST_CASE("headings in four languages and the old one, alone") {
        for (const Kind& kind : kKinds) {
            CAPTURE(kind.heading);
            const Heading heading = read_heading(kind.heading);
            CHECK(heading.horn);
            REQUIRE(heading.key);
            CHECK(ids(crooks_named(*heading.key)) == kind.crooks);
        }
    }

    TEST_CASE("the same headings in files: one crook is taken, several are asked about") {
        for (const Kind& kind : kKinds) {
            CAPTURE(kind.heading);
            const auto score =
                Score::open(test::score_text(kind.heading, test::bars_text("C4 G4 C5 E5")), "file");
            REQUIRE(score);
            REQUIRE(score->parts().front().horn);
            const auto part = read_part(*score, 0);
            REQUIRE(part);
            if (kind.crooks.size() == 1) {
                CHECK(part->questions.empty());
                REQUIRE(part->crooks.size() == 1);
                CHECK(part->crooks.front().crook.id == kind.crooks.front());
            } else {
                CHECK(part->crooks.empty());
                REQUIRE(part->questions.size() == 1);
                for (const std::string& crook : kind.crooks) {
                    CHECK(part->questions.front().find("--crook " + crook) != std::string::npos);
                }
            }
        }
    }

    TEST_CASE("Dis is said to mean E flat, and asked about") {
        const auto score =
            Score::open(test::score_text("Corno in Dis", test::bars_text("C4 G4")), "file");
        const auto part = read_part(*score, 0);
        REQUIRE(part);
        REQUIRE(part->questions.size() == 1);
        CHECK(part->questions.front().find("E♭") != std::string::npos);
    }

    TEST_CASE("instruments with a horn in their name that are none") {
        for (const char* const name : {"English Horn",
                                       "Cor anglais",
                                       "Corno inglese",
                                       "Englisch Horn",
                                       "Basset Horn in F",
                                       "Corno di bassetto",
                                       "Cornet in B♭",
                                       "Cornetto",
                                       "Alto Horn in E♭",
                                       "Tenor Horn",
                                       "Flügelhorn",
                                       "Englischhorn",
                                       "Bassetthorn",
                                       "Clarinet in B♭",
                                       "Trombe in D",
                                       "Violoncello"}) {
            CAPTURE(name);
            CHECK_FALSE(read_heading(name).horn);
        }
    }

    TEST_CASE("horns without a key in their name have none") {
        for (const char* const name :
             {"Horn", "Corni 1 e 2", "Horn 1", "Cor de chasse", "Hörner", "Corni a 2"}) {
            CAPTURE(name);
            CHECK(read_heading(name).horn);
            CHECK_FALSE(read_heading(name).key);
        }
    }

    TEST_CASE("words in the music") {
        struct Said {
            const char* text;
            CrookWords::Kind kind;
            const char* crook;
        };
        using enum CrookWords::Kind;
        for (const Said& said : {Said{"muta in D", change, "D"},
                                 Said{"muta in Mi♭", change, "Eb"},
                                 Said{"mutano in Es", change, "Eb"},
                                 Said{"Es muta in D", change, "D"},
                                 Said{"wechselt nach F", change, "F"},
                                 Said{"nimmt D-Horn", change, "D"},
                                 Said{"changez en ré", change, "D"},
                                 Said{"prenez le cor en fa", change, "F"},
                                 Said{"change to E flat", change, "Eb"},
                                 Said{"in E♭", in_key, "Eb"},
                                 Said{"(in D)", in_key, "D"},
                                 Said{"en ré", in_key, "D"},
                                 Said{"[orig. in E]", remark, "E"},
                                 Said{"[muta in D]", remark, "D"}}) {
            CAPTURE(said.text);
            const CrookWords words = read_crook_words(said.text);
            CHECK(words.kind == said.kind);
            CHECK(ids(crooks_named(words.key)) == std::vector<std::string>{said.crook});
        }
        for (const char* const text : {"Allegro",
                                       "in tempo",
                                       "take a breath",
                                       "change mute",
                                       "prenez la sourdine",
                                       "a 2",
                                       "in 2",
                                       "nimmt Dämpfer",
                                       "dolce",
                                       "Solo in the manner of a call"}) {
            CAPTURE(text);
            CHECK(read_crook_words(text).kind == none);
        }
    }
}

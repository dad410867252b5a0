// Six free full scores against what another reader found in them (a table made with another XML library).
#include "part/part.h"
#include "part/plan/plan.h"
#include "part/write/annotate.h"
#include "support/scores.h"

#include <algorithm>
#include <fstream>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace bellhand;
using namespace bellhand::part;
using nlohmann::json;

namespace {

struct Given {
    std::filesystem::path folder = test::shared_folder("parts");
    json table;

    Given() {
        if (folder.empty()) {
            MESSAGE("skipped: the shared scores are not here");
            return;
        }
        std::ifstream(folder / "manifest.json") >> table;
    }
};

/// The transposition that the table lists for a part.
int listed_transposition(const json& part) {
    const json& first = part["transpose"][0];
    const int octaves = first[3].is_null() ? 0 : std::stoi(first[3].get<std::string>());
    const json& chromatic = first[2].is_null() ? first[1] : first[2];
    return std::stoi(chromatic.get<std::string>()) + 12 * octaves;
}

void check_part(const Part& part, const json& listed) {
    CHECK(part.head.horn);
    CHECK(part.questions.empty());
    REQUIRE(part.crooks.size() == 1);
    CHECK(part.crooks.front().crook.transposition == listed_transposition(listed));
    CHECK(part.music.bars.size() == listed["measures"].get<std::size_t>());
    REQUIRE(part.attacks.size() == listed["sounding_attacks"].get<std::size_t>());
    // The table holds notes as printed.
    std::vector<int> printed;
    for (const Attack& attack : part.attacks) {
        printed.push_back(part.music.notes[attack.note].number);
    }
    for (std::size_t i = 0; i < 8; ++i) {
        CHECK(printed[i] ==
              horn::parse_note(listed["first8"][i].get<std::string>()).value().number);
    }
    CHECK(*std::min_element(printed.begin(), printed.end()) == listed["lowest"][0].get<int>());
    CHECK(*std::max_element(printed.begin(), printed.end()) == listed["highest"][0].get<int>());
}

} // namespace

TEST_SUITE("part/given_scores") {
    TEST_CASE(
        "crook, attacks, first notes and compass of every part, nothing asked, bass clef right") {
        const Given given;
        int parts = 0;
        for (const json& file : given.table) {
            const std::string name = file["file"].get<std::string>();
            CAPTURE(name);
            const auto score = Score::load(given.folder / name);
            REQUIRE(score);
            std::size_t horns = 0;
            for (const PartHead& head : score->parts()) {
                horns += head.horn ? 1 : 0;
            }
            CHECK(horns == file["parts"].size());
            for (const json& listed : file["parts"]) {
                const std::string id = listed["id"].get<std::string>();
                CAPTURE(id);
                const auto part = read_part(*score, part_named(*score, id).value());
                REQUIRE(part);
                check_part(*part, listed);
                // Only the file with old bass clef stands an octave low there; no part goes under C3.
                for (const Attack& attack : part->attacks) {
                    const int moved = attack.written.number - part->music.notes[attack.note].number;
                    CHECK((moved == 0 || (moved == 12 && name.rfind("g3", 0) == 0)));
                    CHECK(attack.written.number >= 48);
                }
                ++parts;
            }
        }
        CHECK((given.folder.empty() || parts == 12));
    }

    TEST_CASE("the crook that the part was composed for comes first of 17") {
        const Given given;
        for (const json& file : given.table) {
            const auto score = Score::load(given.folder / file["file"].get<std::string>());
            REQUIRE(score);
            for (const json& listed : file["parts"]) {
                const auto part =
                    read_part(*score, part_named(*score, listed["id"].get<std::string>()).value());
                REQUIRE(part);
                CAPTURE(part->head.name);
                const auto fits = compare_crooks(*part, {});
                REQUIRE(fits.size() == 17);
                CHECK(fits.front().crook == part->crooks.front().crook);
            }
        }
    }

    TEST_CASE("read, annotate, read: the same notes, the same plan") {
        const Given given;
        for (const json& file : given.table) {
            const auto score = Score::load(given.folder / file["file"].get<std::string>());
            REQUIRE(score);
            const auto part = read_part(
                *score, part_named(*score, file["parts"][0]["id"].get<std::string>()).value());
            REQUIRE(part);
            const auto plan = plan_part(*part, {});
            REQUIRE(plan);
            const auto text = annotated(*score, *part, *plan, {true});
            REQUIRE(text);
            const auto again = Score::open(*text, "annotated");
            REQUIRE(again);
            const auto second = read_part(*again, part->index);
            REQUIRE(second);
            const auto pinned = plan_part(*second, {});
            REQUIRE(pinned);
            REQUIRE(second->attacks.size() == part->attacks.size());
            CHECK(pinned->cost == plan->cost);
            for (std::size_t i = 0; i < part->attacks.size(); ++i) {
                CHECK(second->attacks[i].written == part->attacks[i].written);
                CHECK(second->attacks[i].at == part->attacks[i].at);
                CHECK(pinned->notes[i].pinned);
                CHECK(pinned->notes[i].choice->way.partial == plan->notes[i].choice->way.partial);
                CHECK(pinned->notes[i].choice->way.hand == plan->notes[i].choice->way.hand);
            }
            const bool same = annotated(*again, *second, *pinned, {true}).value() == *text;
            CHECK(same);
        }
    }
}

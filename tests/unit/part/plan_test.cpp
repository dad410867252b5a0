#include "part/plan/plan.h"

#include "horn/hand_chart.h"
#include "part/write/plan_json.h"
#include "support/scores.h"

#include <algorithm>
#include <cstdint>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace bellhand;
using namespace bellhand::part;
using test::bars_text;
using test::score_text;

namespace {

Part part_of(const std::string& heading, const std::string& notes, double tempo = 60.0) {
    ReadOptions options;
    options.quarters_per_minute = tempo;
    options.notes = Notation::written; // hand notes throughout would be asked about
    const auto score = Score::open(score_text(heading, bars_text(notes)), "file");
    REQUIRE(score);
    auto part = read_part(*score, 0, options);
    REQUIRE_MESSAGE(part, part.error().message);
    REQUIRE(part->questions.empty());
    return *part;
}

/// Numerical Recipes, Press et al. (1992), 7.1.
struct Dice {
    std::uint32_t state = 1;
    int below(int sides) {
        state = state * 1664525U + 1013904223U;
        return static_cast<int>((state >> 8U) % static_cast<std::uint32_t>(sides));
    }
};

PhraseNote random_note(Dice& dice, const ChoiceChart& chart) {
    PhraseNote note;
    // Few pitches close together, so that the same one comes again; all of the chart now and then.
    const int lowest = dice.below(4) == 0 ? 43 : 64;
    do {
        note.number = lowest + dice.below(lowest == 43 ? 48 : 8);
        note.choices = chart.choices(horn::usual_spelling(note.number), std::nullopt);
    } while (note.choices.size() == 1 && dice.below(4) > 0);
    note.since_ms = 60 + dice.below(1200);
    note.exposed = dice.below(3) == 0;
    note.slurred = dice.below(2) == 0;
    note.accent = dice.below(5) == 0;
    note.dynamic = static_cast<Dynamic>(dice.below(7));
    return note;
}

/// The best score of all combinations, tried one by one.
PlanScore best_by_trying(const std::vector<PhraseNote>& phrase, const Costs& costs) {
    std::vector<std::size_t> chosen(phrase.size(), 0);
    PlanScore best = phrase_score(phrase, chosen, costs);
    for (;;) {
        std::size_t at = 0;
        while (at < phrase.size() && ++chosen[at] == phrase[at].choices.size()) {
            chosen[at++] = 0;
        }
        if (at == phrase.size()) {
            return best;
        }
        best = std::min(best, phrase_score(phrase, chosen, costs));
    }
}

} // namespace

TEST_SUITE("part/plan") {
    TEST_CASE("the plan equals brute force on 1000 random phrases of seven notes") {
        Dice dice{20260};
        std::size_t combinations = 0;
        for (int trial = 0; trial < 1000; ++trial) {
            const horn::Tuning tuning{
                horn::all_crooks()[static_cast<std::size_t>(dice.below(17))], 440.0, {}};
            const ChoiceChart chart(tuning, horn::hand_response(tuning));
            Costs costs;
            for (const CostEntry& entry : cost_table()) {
                if (entry.value != &Costs::travel_full_ms && dice.below(3) == 0) {
                    costs.*entry.value = dice.below(40);
                }
            }
            std::vector<PhraseNote> phrase;
            std::size_t product = 1;
            for (int i = 0; i < 7; ++i) {
                phrase.push_back(random_note(dice, chart));
                product *= phrase.back().choices.size();
            }
            combinations += product;
            CHECK(phrase_score(phrase, cheapest(phrase, costs), costs) ==
                  best_by_trying(phrase, costs));
        }
        CHECK(combinations > 20'000); // there was something to choose
    }

    TEST_CASE("the chromatic scale, note by note, is the hand chart") {
        for (const char* const crook : {"F", "D", "Eb", "G"}) {
            std::string notes;
            for (const horn::ChartEntry& entry : horn::hand_chart()) {
                notes += horn::ascii_name(entry.written) + ":h -:h | -:w | ";
            }
            notes += "-:w";
            const Part part = part_of(std::string("Horn in ") + crook, notes);
            const auto plan = plan_part(part, {});
            REQUIRE(plan);
            REQUIRE(plan->notes.size() == horn::hand_chart().size());
            for (std::size_t i = 0; i < plan->notes.size(); ++i) {
                const horn::ChartEntry& entry = horn::hand_chart()[i];
                CAPTURE(crook);
                CAPTURE(horn::ascii_name(entry.written));
                const horn::HandWay& way = plan->notes[i].choice->way;
                CHECK(way.partial == entry.usual().partial);
                CHECK(way.hand >= entry.usual().hand);
                CHECK(way.hand <= entry.usual().hand_to);
                CHECK(way.hand_out == entry.usual().hand_out);
            }
        }
    }

    TEST_CASE("a note that comes again keeps its hand") {
        const Part part = part_of("Horn in F", "A3 C4 A3 C4 | A3 B3 A3 G3 | F4 G4 F4 E4", 120.0);
        const auto plan = plan_part(part, {});
        REQUIRE(plan);
        for (const std::size_t i : {2U, 4U, 6U}) {
            CHECK(plan->notes[i].choice->way.hand == plan->notes[0].choice->way.hand);
        }
        CHECK(plan->notes[8].choice->way.hand == plan->notes[10].choice->way.hand);
    }

    TEST_CASE("haste is told, and gone at half the tempo") {
        const std::string notes = "C4:e C#4:e C4:e C#4:e C4:e C#4:e C4:e C#4:e";
        const auto fast = plan_part(part_of("Horn in F", notes, 200.0), {});
        const auto slow = plan_part(part_of("Horn in F", notes, 60.0), {});
        REQUIRE(fast);
        REQUIRE(slow);
        CHECK(fast->notes[1].parts.haste > 0);
        CHECK(fast->notes[1].reason.find("150 ms") != std::string::npos);
        CHECK(slow->notes[1].parts.haste == 0);
        CHECK(fast->cost > slow->cost);
    }

    TEST_CASE("what no way reaches is named with what players do") {
        const Part part = part_of("Horn in F", "C4 F2 C4 G4");
        const auto plan = plan_part(part, {});
        REQUIRE(plan);
        REQUIRE(plan->impossible == std::vector<std::size_t>{1});
        CHECK_FALSE(plan->notes[1].choice);
        CHECK(plan->notes[1].reason.find("F2") != std::string::npos);
        CHECK(plan->notes[1].reason.find("colleague") != std::string::npos);
        CHECK(plan_rows(part, *plan, 0, 0)[1][6].empty());
    }

    TEST_CASE("only bars that are hard are called so") {
        const auto easy = plan_part(part_of("Horn in F", "C4 G4 C5 G4 | C5 E5 G5 E5"), {});
        REQUIRE(easy);
        CHECK(easy->hardest.empty());
        const Part part = part_of("Horn in F", "C4 G4 C5 G4 | F4:w");
        const auto hard = plan_part(part, {});
        REQUIRE(hard);
        REQUIRE(hard->hardest.size() == 1);
        CHECK(hard->hardest[0].bar == 1);
        CHECK(hard->hardest[0].reason.find(';') != std::string::npos); // says what is hard
        PlanSettings lenient;
        lenient.costs.hard_note = 10'000;
        CHECK(plan_part(part, lenient)->hardest.empty());
    }

    TEST_CASE("pins hold, and what cannot be is a sentence") {
        const Part part = part_of("Horn in F", "C4 A3 G3 Ab5");
        PlanSettings settings;
        settings.pins = {parse_pin("1.2=+").value(), parse_pin("1.4=p12+").value()};
        const auto plan = plan_part(part, settings);
        REQUIRE(plan);
        CHECK(plan->notes[1].choice->way.hand == horn::Hand::full);
        CHECK(plan->notes[1].pinned);
        CHECK(plan->notes[1].reason.find("pinned") != std::string::npos);
        CHECK(plan->notes[3].choice->way.partial == 12);
        for (const char* const bad : {"1.1=+", "9.1=o", "1.7=o", "1.4=p3+"}) {
            CAPTURE(bad);
            settings.pins = {parse_pin(bad).value()};
            const auto refused = plan_part(part, settings);
            REQUIRE_FALSE(refused);
            CHECK(refused.error().kind == ErrorKind::usage);
            CHECK(refused.error().message.back() == '.');
        }
        for (const char* const bad :
             {"", "1", "1.2", "1=+", ".2=+", "1.0=+", "1.x=+", "1.2=?", "1.2=p", "1.2=p99+"}) {
            CAPTURE(bad);
            CHECK_FALSE(parse_pin(bad));
        }
        CHECK(parse_pin("12a.3=three-quarters").value().hand.hand == horn::Hand::three_quarters);
        CHECK(parse_pin("1.2=1/2").value().hand.hand == horn::Hand::half);
    }

    TEST_CASE("a hand inside a range can be pinned") {
        const Part part = part_of("Horn in F", "B2 C4");
        PlanSettings settings;
        settings.pins = {parse_pin("1.1=¼").value()};
        const auto plan = plan_part(part, settings);
        REQUIRE(plan);
        CHECK(plan->notes[0].choice->way.hand == horn::Hand::quarter);
    }

    TEST_CASE("costs from a file, and every value of the table can be set") {
        std::string list;
        for (const CostEntry& entry : cost_table()) {
            list += std::string(list.empty() ? "" : ",") + "\"" + entry.name + "\":7";
            CHECK(std::string(entry.source).size() > 5);
        }
        const std::string head = R"({"format":"bellhand hand costs","version":1,"costs":{)";
        const auto costs = parse_costs(head + list + "}}", "costs");
        REQUIRE(costs);
        for (const CostEntry& entry : cost_table()) {
            CHECK((*costs).*entry.value == 7);
        }
        CHECK(sizeof(Costs) == cost_table().size() * sizeof(int));
        for (const char* const bad :
             {"\"speed\":1", "\"poor\":-1", "\"poor\":1.5", "\"poor\":\"x\"", "\"poor\":1e9"}) {
            const auto refused = parse_costs(head + bad + "}}", "costs");
            REQUIRE_FALSE(refused);
            CHECK(refused.error().message.rfind("costs", 0) == 0);
        }
    }

    TEST_CASE("JSON holds what CSV holds, and twice the same bytes") {
        const auto score = Score::load(test::kept_score("high_horn_in_d.mxl"));
        REQUIRE(score);
        const auto part = read_part(*score, 0);
        REQUIRE(part);
        const auto plan = plan_part(*part, {});
        REQUIRE(plan);
        const int last = static_cast<int>(part->music.bars.size()) - 1;
        const std::string text = plan_json(*score, *part, *plan, 0, last);
        CHECK(text == plan_json(*score, *part, plan_part(*part, {}).value(), 0, last));
        const nlohmann::json json = nlohmann::json::parse(text);
        const auto rows = plan_rows(*part, *plan, 0, last);
        REQUIRE(json["notes"].size() == rows.size());
        CHECK(json["notes"][0]["written"] == rows[0][3]);
        CHECK(json["notes"][0]["partial"] == 8);
        CHECK(json["changes"][0]["crook"] == "D");
        CHECK(plan_rows(*part, *plan, 0, 0).size() < rows.size());
    }

    TEST_CASE("the crook that a part was composed for is the easiest") {
        for (const char* const name : {"high_horn_in_d.mxl", "two_horns_b_flat_alto.mxl"}) {
            const auto score = Score::load(test::kept_score(name));
            REQUIRE(score);
            const auto part = read_part(*score, 0);
            REQUIRE(part);
            const auto fits = compare_crooks(*part, {});
            CHECK(fits.front().crook == part->crooks.front().crook);
            CHECK(fits.front().cost == plan_part(*part, {})->cost);
        }
    }
}

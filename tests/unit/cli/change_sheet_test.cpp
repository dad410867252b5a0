#include "cli/change_sheet.h"

#include "core/assets.h"

#include <algorithm>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace bellhand;
using namespace bellhand::cli;

namespace {

LoadedHorn demo_horn() {
    HornOptions options;
    options.profile = (assets_folder() / "instruments" / "demo_coupler_horn.json").string();
    return *load_horn(options);
}

struct Scene {
    LoadedHorn horn = demo_horn();
    instrument::SetList list =
        *instrument::load_set_list(assets_folder() / "setlists" / "demo_opera.json");
    instrument::Plan plan;

    Scene() { replan(); }
    void replan() {
        instrument::PlanRequest request;
        request.most_between = horn.lengths.most_pieces_between;
        plan = *instrument::plan_set_list(horn.lengths, list, horn.air, request);
    }
    [[nodiscard]] ChangeSheet sheet() const { return {horn, list, plan}; }
};

} // namespace

TEST_SUITE("app/change_sheet") {
    TEST_CASE("a change that its rest is too short for is named in words and in the table") {
        const Scene scene;
        REQUIRE(scene.plan.too_short == 1);
        const std::string summary = change_summary(scene.sheet());
        CHECK(summary.find("Finale, close in D: NOT POSSIBLE in time: about 9 s of change in 8 s "
                           "of rest.") != std::string::npos);
        CHECK(summary.find("Pack 8: short master, long master") != std::string::npos);
        CHECK(change_table(scene.sheet(), TableFormat::table).find("NOT POSSIBLE") !=
              std::string::npos);
    }

    TEST_CASE("the JSON sheet says what the plan says") {
        const Scene scene;
        const auto whole = nlohmann::json::parse(change_json(scene.sheet()));
        CHECK(whole["format"] == "bellhand-change-sheet");
        CHECK(whole["question"]["title"] == scene.list.title);
        const auto& json = whole["answer"];
        CHECK(json["in_tune"] == true);
        CHECK(json["slide_moves"] == scene.plan.slide_moves);
        CHECK(json["numbers"].size() == scene.list.numbers.size());
        CHECK(json["change_s"].get<double>() == doctest::Approx(scene.plan.change_s));
        CHECK(json["packed"].size() == scene.plan.packed.size());
        CHECK(json["numbers"][0]["rest_s"].is_null());
        int too_short = 0;
        for (const auto& number : json["numbers"]) {
            too_short += number["too_short"].get<bool>() ? 1 : 0;
        }
        CHECK(too_short == 1);
    }

    TEST_CASE("a number that cannot be built says how far the nearest is") {
        Scene scene;
        scene.list.numbers[1].key = *horn::parse_crook("C alto");
        scene.replan();
        const std::string summary = change_summary(scene.sheet());
        CHECK(summary.find("1 Chorus of reapers in C alto: cannot be built: the nearest stays") !=
              std::string::npos);
        CHECK(summary.find("cents too low") != std::string::npos);
        CHECK(summary.find("of tube too long for it. That needs a shorter crook") !=
              std::string::npos);
    }

    TEST_CASE("one page for the stand: 64 numbers fit as well as one") {
        for (const std::size_t numbers : {std::size_t{1}, instrument::kMostNumbers}) {
            Scene scene;
            const std::vector<instrument::Number> sixteen = scene.list.numbers;
            scene.list.numbers.clear();
            for (std::size_t i = 0; i < numbers; ++i) {
                scene.list.numbers.push_back(sixteen[i % sixteen.size()]);
            }
            scene.replan();
            const auto svg = change_page(scene.sheet(), chart::PageFormat::svg);
            REQUIRE(svg.has_value());
            CHECK(svg->find("<svg") != std::string::npos);
            const auto pdf = change_page(scene.sheet(), chart::PageFormat::pdf);
            REQUIRE(pdf.has_value());
            CHECK(pdf->rfind("%PDF-", 0) == 0);
            CHECK(pdf->find("/Count 1") != std::string::npos); // pages in the page tree
        }
    }

    TEST_CASE("names separated by commas or plus signs") {
        CHECK(split_names("long master, coupler 1") ==
              std::vector<std::string>{"long master", "coupler 1"});
        CHECK(split_names(" long master + bit 2+") ==
              std::vector<std::string>{"long master", "bit 2"});
        CHECK(split_names("").empty());
    }

    TEST_CASE("cents: signed for people, plain for programs, never minus zero") {
        CHECK(cents_cell(3.24, 1, TableFormat::table) == "+3.2");
        CHECK(cents_cell(3.24, 1, TableFormat::json) == "3.2");
        CHECK(cents_cell(-0.04, 1, TableFormat::table) == "0.0");
        CHECK(cents_cell(-0.04, 1, TableFormat::csv) == "0.0");
        CHECK(cents_cell(-12.6, 0, TableFormat::json) == "-13");
    }
}

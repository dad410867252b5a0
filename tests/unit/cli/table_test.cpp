#include "cli/answer.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace bellhand::cli;

namespace {

const std::vector<Column> kColumns = {{"name"}, {"cents", true}};
const std::vector<std::vector<std::string>> kRows = {
    {"B♭4", "-3.20"}, {"a \"b\", c\nd", ""}, {"", "12.00"}};

} // namespace

TEST_SUITE("app/table") {
    TEST_CASE("CSV quotes what RFC 4180 says must be quoted") {
        CHECK(format_table(kColumns, kRows, PlainFormat::csv) ==
              "name,cents\nB♭4,-3.20\n\"a \"\"b\"\", c\nd\",\n,12.00\n");
    }

    TEST_CASE("JSON tells what was asked, and numbers as numbers and empty ones as null") {
        Question question;
        question.tuning = {*bellhand::horn::parse_crook("Eb"), 430.0, {}, {}};
        question.profile = "horn.json";
        question.more = {{"bin", true}, {"nothing", {}}};
        const auto whole = nlohmann::json::parse(
            answer_table("names", question, kColumns, kRows, TableFormat::json));
        CHECK(whole["format"] == "bellhand-names");
        CHECK(whole["version"] == 1);
        CHECK(whole["question"]["crook"] == "Eb");
        CHECK(whole["question"]["a4_hz"] == 430.0);
        CHECK(whole["question"]["root"] == "Eb");
        CHECK(whole["question"]["profile"] == "horn.json");
        CHECK(whole["question"]["temperature_c"].is_null());
        CHECK(whole["question"]["bin"] == true);
        CHECK(whole["question"]["nothing"].is_null());
        const auto& json = whole["answer"];
        REQUIRE(json.size() == 3);
        CHECK(json[0]["name"] == "B♭4");
        CHECK(json[0]["cents"] == -3.2);
        CHECK(json[1]["name"] == "a \"b\", c\nd");
        CHECK(json[1]["cents"].is_null());
        CHECK(nlohmann::json::parse(
                  answer_table("names", {}, kColumns, {}, TableFormat::json))["answer"]
                  .empty());
    }

    TEST_CASE("JSON is in SI units; what people read keeps its millimetres") {
        const std::vector<Column> columns{
            {"slide_mm", true}, {"latency_ms", true}, {"gap_cents_per_mm", true}, {"name_mm"}};
        const std::vector<std::vector<std::string>> rows{{"12", "2.5", "4.00", "7"},
                                                         {"", "0", "-1", ""}};
        const auto json = nlohmann::json::parse(
            answer_table("units", {}, columns, rows, TableFormat::json))["answer"];
        CHECK(json[0]["slide_m"] == 0.012);
        CHECK(json[0]["latency_s"] == 0.0025);
        CHECK(json[0]["gap_cents_per_m"] == 4000.0);
        CHECK(json[0]["name_mm"] == "7");
        CHECK(json[1]["slide_m"].is_null());
        CHECK(json[1]["latency_s"] == 0.0);
        CHECK(answer_table("units", {}, columns, rows, TableFormat::csv).rfind("slide_mm,", 0) ==
              0);
    }

    TEST_CASE("a table is aligned by characters, not bytes") {
        CHECK(format_table(kColumns, {{"B♭4", "-3.20"}, {"C4", "12.00"}}, PlainFormat::aligned) ==
              "name  cents\nB♭4   -3.20\nC4    12.00\n");
    }
}

#include "cli/commands.h"

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
        CHECK(format_table(kColumns, kRows, TableFormat::csv) ==
              "name,cents\nB♭4,-3.20\n\"a \"\"b\"\", c\nd\",\n,12.00\n");
    }

    TEST_CASE("JSON reads back with numbers as numbers and empty numbers as null") {
        const auto json = nlohmann::json::parse(format_table(kColumns, kRows, TableFormat::json));
        REQUIRE(json.size() == 3);
        CHECK(json[0]["name"] == "B♭4");
        CHECK(json[0]["cents"] == -3.2);
        CHECK(json[1]["name"] == "a \"b\", c\nd");
        CHECK(json[1]["cents"].is_null());
        CHECK(nlohmann::json::parse(format_table(kColumns, {}, TableFormat::json)).empty());
    }

    TEST_CASE("a table is aligned by characters, not bytes") {
        CHECK(format_table(kColumns, {{"B♭4", "-3.20"}, {"C4", "12.00"}}, TableFormat::table) ==
              "name  cents\nB♭4   -3.20\nC4    12.00\n");
    }
}

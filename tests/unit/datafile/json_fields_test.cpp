#include "datafile/json_fields.h"

#include <string>

#include <doctest/doctest.h>

using namespace bellhand;
using datafile::Fields;
using datafile::FileProblem;

namespace {

/// Reads one object by `read` and gives the first thing wrong with it, empty when nothing is.
template <class Read>
std::string problem_of(const char* text, Read read) {
    const auto value = nlohmann::json::parse(text);
    FileProblem problem{"file.json", {}};
    Fields fields(value, "", problem, {"a", "b", "format", "version"});
    read(fields);
    return problem.sentence.value_or("");
}

constexpr datafile::NumberRange kLength_m{0.1, 5.0, "metres", "millimetres", 0.001};

std::string of_number(const char* text) {
    return problem_of(text,
                      [](Fields& fields) { static_cast<void>(fields.number("a", kLength_m)); });
}

} // namespace

TEST_SUITE("fields of a file") {
    TEST_CASE("numbers within their range come through, both ends included") {
        const auto value = nlohmann::json::parse(R"({"a": 0.1, "b": 5})");
        FileProblem problem{"file.json", {}};
        Fields fields(value, "", problem, {"a", "b"});
        CHECK(fields.number("a", kLength_m) == 0.1);
        CHECK(fields.number("b", kLength_m) == 5.0);
        CHECK_FALSE(fields.number("c", kLength_m));
        CHECK_FALSE(problem.found());
    }

    TEST_CASE("numbers outside are told with unit and range, and what was probably meant") {
        CHECK(of_number(R"({"a": 0.09})") ==
              "file.json: a is 0.09, but metres from 0.1 to 5 are expected.");
        CHECK(of_number(R"({"a": 1400})") ==
              "file.json: a is 1400, but metres from 0.1 to 5 are expected; 1400 millimetres would "
              "be written 1.4.");
        CHECK(of_number(R"({"a": "2"})") ==
              "file.json: a must be a number without quotes, in metres.");
    }

    TEST_CASE("whole numbers are whole and within their range") {
        const auto whole = [](const char* text) {
            return problem_of(text,
                              [](Fields& fields) { static_cast<void>(fields.whole("a", 1, 6)); });
        };
        CHECK(whole(R"({"a": 1})").empty());
        CHECK(whole(R"({"a": 6})").empty());
        CHECK(whole(R"({"a": 2.0})").empty());
        for (const char* text :
             {R"({"a": 0})", R"({"a": 7})", R"({"a": 2.5})", R"({"a": true})", R"({"a": 1e300})"}) {
            CAPTURE(text);
            CHECK(whole(text) == "file.json: a must be a whole number from 1 to 6.");
        }
    }

    TEST_CASE("truths, texts and lists are refused when they are something else") {
        const auto value = nlohmann::json::parse(R"({"a": true, "b": [1, 2]})");
        FileProblem none{"f", {}};
        Fields fields(value, "", none, {"a", "b"});
        CHECK(fields.truth("a") == true);
        REQUIRE(fields.list("b", 2) != nullptr);
        CHECK(fields.list("b", 2)->size() == 2);
        CHECK(fields.text("c").empty());
        CHECK_FALSE(none.found());

        CHECK(problem_of(R"({"a": 1})", [](Fields& f) { static_cast<void>(f.truth("a")); }) ==
              "file.json: a must be true or false without quotes.");
        CHECK(problem_of(R"({"a": 1})", [](Fields& f) { static_cast<void>(f.text("a")); }) ==
              "file.json: a must be text in quotes.");
        CHECK(problem_of(R"({"a": "x\u001b[2J"})", [](Fields& f) {
                  static_cast<void>(f.text("a"));
              }) == "file.json: a contains control characters; write it in one plain line.");
        CHECK(problem_of(R"({"a": {}})", [](Fields& f) { static_cast<void>(f.list("a", 2)); }) ==
              "file.json: a must be a list in square brackets.");
        CHECK(problem_of(R"({"a": [1, 2, 3]})", [](Fields& f) {
                  static_cast<void>(f.list("a", 2));
              }) == "file.json: a has 3 entries; at most 2 are read.");
    }

    TEST_CASE("a misspelt key is named, with those that exist") {
        const std::string sentence = problem_of(R"({"aa": 1})", [](Fields&) {});
        CHECK(sentence == "file.json: the file has a key \"aa\" that nothing here is called; "
                          "correct it to one of a, b, format, version.");
        CHECK(problem_of("[1]", [](Fields&) {}) ==
              "file.json: the file must be an object in braces with named fields.");
    }

    TEST_CASE("only the first problem counts, and after it nothing is read") {
        const auto value = nlohmann::json::parse(R"({"a": "x", "b": 3})");
        FileProblem problem{"file.json", {}};
        Fields fields(value, "piece 2", problem, {"a", "b"});
        CHECK_FALSE(fields.truth("a"));
        CHECK_FALSE(fields.whole("b", 1, 2));
        CHECK_FALSE(fields.has("b"));
        CHECK(problem.sentence == "file.json: piece 2, a must be true or false without quotes.");
    }

    TEST_CASE("what is needed is asked for with its reason") {
        CHECK(problem_of("{}", [](Fields& f) { f.require("a", "it names the horn"); }) ==
              "file.json: the file lacks \"a\": it names the horn.");
        CHECK(problem_of(R"({"a": 1})", [](Fields& f) { f.require("a", "x"); }).empty());
    }

    TEST_CASE("the head of a file: its format, and no version newer than this program") {
        const auto head = [](const char* text) {
            return problem_of(text, [](Fields& f) { datafile::check_head(f, "horn", 2); });
        };
        CHECK(head(R"({"format": "horn", "version": 1})").empty());
        CHECK(head(R"({"format": "horn", "version": 2})").empty());
        CHECK(head(R"({"format": "horn", "version": 3})") ==
              "file.json: version is 3, newer than this program reads (2); update the program.");
        CHECK(head(R"({"format": "tune", "version": 1})") ==
              "file.json: format is not \"horn\"; this looks like another kind of file.");
        CHECK(head(R"({"version": 1})").find("lacks \"format\"") != std::string::npos);
        CHECK(head(R"({"format": "horn"})").find("lacks \"version\"") != std::string::npos);
        CHECK(head(R"({"format": "horn", "version": 0})").find("whole number from 1") !=
              std::string::npos);
    }

    TEST_CASE("numbers as people write them") {
        CHECK(datafile::plain_number(1.4) == "1.4");
        CHECK(datafile::plain_number(0.35) == "0.35");
        CHECK(datafile::plain_number(1e6) == "1e+06");
    }
}

#include "datafile/json_text.h"

#include <string>

#include <doctest/doctest.h>

using namespace bellhand;
using datafile::JsonLimits;
using datafile::parse_guarded_json;

namespace {

std::string refusal(std::string_view text, const JsonLimits& limits = {}) {
    const auto parsed = parse_guarded_json(text, "file.json", limits);
    return parsed ? "accepted" : parsed.error().message;
}

bool says(const std::string& sentence, const char* words) {
    return sentence.find(words) != std::string::npos;
}

std::string nested(std::size_t depth) {
    return std::string(depth, '[') + std::string(depth, ']');
}

} // namespace

TEST_SUITE("guarded JSON") {
    TEST_CASE("every kind of value comes out as it was written") {
        const auto parsed = parse_guarded_json(
            R"({"a": [1, -2, 1.5e3, true, false, null], "b": {"c": "é"}, "big": 18446744073709551615})",
            "x");
        REQUIRE(parsed);
        CHECK((*parsed)["a"] == nlohmann::json::parse("[1,-2,1500.0,true,false,null]"));
        CHECK((*parsed)["b"]["c"] == "é");
        CHECK((*parsed)["big"].get<std::uint64_t>() == 18446744073709551615U);
        CHECK(parse_guarded_json("7", "x").value() == 7);
    }

    TEST_CASE("depth, items and lengths are taken up to the limit and refused one beyond") {
        const JsonLimits limits{.deepest = 3, .longest_string = 4, .most_items = 2};
        CHECK(refusal(nested(3), limits) == "accepted");
        CHECK(says(refusal(nested(4), limits), "more than 3 lists inside each other"));
        CHECK(refusal("[1,2]", limits) == "accepted");
        CHECK(says(refusal("[1,2,3]", limits), "more than 2 items"));
        CHECK(refusal(R"({"a":1,"b":2})", limits) == "accepted");
        CHECK(says(refusal(R"({"a":1,"b":2,"c":3})", limits), "more than 2 items"));
        CHECK(refusal(R"(["abcd"])", limits) == "accepted");
        CHECK(says(refusal(R"(["abcde"])", limits), "longer than 4 bytes"));
        CHECK(refusal(R"({"abcd":1})", limits) == "accepted");
        CHECK(says(refusal(R"({"abcde":1})", limits), "a key longer than 4 bytes"));
        CHECK(refusal("[[1,2],[1,2]]", limits) == "accepted"); // counted list by list
    }

    TEST_CASE("a deep text costs no stack: a hundred thousand brackets are refused, not followed") {
        CHECK(says(refusal(std::string(100'000, '[')), "more than 12 lists"));
    }

    TEST_CASE("a key twice in one object is refused, in two objects it is fine") {
        CHECK(says(refusal(R"({"a": 1, "a": 2})"), "the key \"a\" twice"));
        CHECK(refusal(R"([{"a": 1}, {"a": 2}])") == "accepted");
        CHECK(refusal(R"({"a": {"a": 1}})") == "accepted");
    }

    TEST_CASE("numbers beyond what can be stored are refused") {
        CHECK(says(refusal("[1e999]"), "a number beyond"));
        CHECK(says(refusal("[-1e999]"), "a number beyond"));
        CHECK(refusal("[1e308]") == "accepted");
    }

    TEST_CASE("what is not JSON is refused with line and column") {
        CHECK(says(refusal("{\n  \"a\": 1,\n  b\n}"), "file.json, line 3, column 3"));
        for (const char* text :
             {"", "{", "[1,]", "{\"a\"}", "nul", "[NaN]", "'a'", "[1] 2", "{\"a\":1}//x"}) {
            CAPTURE(text);
            CHECK(says(refusal(text), "something that is not JSON"));
        }
    }

    TEST_CASE("a refusal of ours has its place too") {
        CHECK(says(refusal("[\n[\n\"abcde\"]]", {.longest_string = 4}), "line 3, column 7"));
    }

    TEST_CASE("broken UTF-8 is refused") {
        for (const char* text :
             {"[\"\xC3\"]", "[\"\xFF\"]", "[\"\xC0\xAF\"]", "[\"\xED\xA0\x80\"]"}) {
            CHECK(says(refusal(text), "not JSON"));
        }
    }

    TEST_CASE("a line for the terminal keeps letters and loses what could drive the terminal") {
        using datafile::plain_line;
        CHECK(plain_line("Es-Bogen ♭ é 𝄞") == "Es-Bogen ♭ é 𝄞");
        CHECK(plain_line("a\tb\nc\x1B[31m") == "a?b?c?[31m");
        CHECK(plain_line("\x7F") == "?");
        CHECK(plain_line("\xC2\x9B") == "?"); // C1 control sequence introducer
        CHECK(plain_line("\xC2\xA0") == "\xC2\xA0");
        CHECK(plain_line("\xC3") == "?");      // cut off
        CHECK(plain_line("\xC3x") == "?x");    // no continuation
        CHECK(plain_line("\xC1\xBF") == "??"); // overlong
        CHECK(plain_line("\xF5\x80\x80\x80") == "????");
        CHECK(plain_line("\xE0\x96\x91") == "???");      // overlong
        CHECK(plain_line("\xED\xA0\x80") == "???");      // half of a surrogate pair
        CHECK(plain_line("\xF0\x8F\xBF\xBF") == "????"); // overlong
        CHECK(plain_line("\xF4\x90\x80\x80") == "????"); // beyond the last
        CHECK(plain_line("\xF4\x8F\xBF\xBD") != "????");
        CHECK(datafile::is_utf8("H\xC3\xB6rner"));
        CHECK_FALSE(datafile::is_utf8("H\xF6rner"));
        CHECK(plain_line("\xE2\x99") == "??");
        CHECK(plain_line("") == "");
    }
}

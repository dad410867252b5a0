#include "instrument/planner/set_list.h"

#include <string>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::instrument;

namespace {

const std::string kGood = R"({
  "format": "bellhand set list", "version": 1, "title": "test", "a4_hz": 430,
  "numbers": [{"name": "first", "key": "Eb"}, {"key": "C basso", "rest_before_s": 30, "a4_hz": 415}]
})";

std::string with(const std::string& from, const std::string& to) {
    std::string text = kGood;
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

void refuses(const std::string& text, std::initializer_list<const char*> words) {
    const auto list = parse_set_list(text, "opera.json");
    REQUIRE_FALSE(list.has_value());
    INFO(list.error().message);
    CHECK(list.error().message.rfind("opera.json", 0) == 0);
    for (const char* word : words) {
        CHECK_MESSAGE(list.error().message.find(word) != std::string::npos, word);
    }
}

} // namespace

TEST_SUITE("instrument/set_list") {
    TEST_CASE("a good list is read as it stands") {
        const auto list = parse_set_list(kGood, "opera.json");
        REQUIRE(list.has_value());
        REQUIRE(list->numbers.size() == 2);
        CHECK(list->numbers[0].key.transposition == -9);
        CHECK_FALSE(list->numbers[0].rest_before_s.has_value());
        CHECK(list->numbers[1].name == "2");
        CHECK(list->numbers[1].key.transposition == -12);
        CHECK(list->numbers[1].a4_hz == doctest::Approx(415));
    }

    TEST_CASE("bad lists end in one sentence with the place") {
        refuses(with("bellhand set list", "bellhand horn profile"), {"another kind of file"});
        refuses(with("\"key\": \"Eb\"", "\"kei\": \"Eb\""), {"number 1", "kei", "key"});
        refuses(with(", \"key\": \"Eb\"", ""), {"number 1", "lacks \"key\""});
        refuses(with("Eb", "Bb"), {"number 1", "Bb-alto", "Bb-basso"});
        refuses(with("\"C basso\"", "\"C\""), {"number 2", "C-alto", "C-basso"});
        refuses(with("_s\": 30", "_s\": -30"), {"number 2", "rest_before_s", "-30"});
        refuses(with("430", "43"), {"a4_hz", "380"});
        refuses(with("[{", "[[{"), {"line 4"});
        std::string many = R"({"key": "F"})";
        for (int i = 0; i < 70; ++i) {
            many += R"(, {"key": "F"})";
        }
        refuses(R"({"format": "bellhand set list", "version": 1, "numbers": [)" + many + "]}",
                {"numbers", "71", "64"});
        refuses(R"({"format": "bellhand set list", "version": 1, "numbers": []})", {"empty"});
        refuses(std::string(300'000, ' '), {"too large"});
    }
}

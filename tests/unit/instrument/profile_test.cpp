#include "instrument/profile.h"

#include "core/files.h"
#include "support/temporary_folder.h"

#include <filesystem>
#include <fstream>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::instrument;

namespace {

/// A small good profile; tests replace one place in it.
const std::string kGood = R"({
  "format": "bellhand horn profile",
  "version": 1,
  "name": "test horn",
  "body": {"length_m": 2.2},
  "tuning_slide": {"longest_pull_m": 0.05},
  "terminal_crooks": [{"name": "F crook", "key": "F", "length_m": 1.4}],
  "master_crooks": [{"name": "master", "pitches": [{"partial": 4, "hz": 233.0, "temperature_c": 22}]}],
  "couplers": [{"name": "tone", "lowers": {"on": "F", "cents": 200}, "mass_kg": 0.1, "reach_m": 0.06}],
  "bits": [{"name": "bit", "length_m": 0.02}]
})";

std::string with(const std::string& from, const std::string& to) {
    std::string text = kGood;
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

/// Refused, in one line, naming the file and every one of the given words.
void refuses(const std::string& text, std::initializer_list<const char*> words) {
    const auto profile = parse_profile(text, "student.json");
    REQUIRE_FALSE(profile.has_value());
    const std::string& sentence = profile.error().message;
    INFO(sentence);
    CHECK(sentence.rfind("student.json", 0) == 0);
    CHECK(sentence.find('\n') == std::string::npos);
    CHECK(sentence.back() == '.');
    CHECK(sentence.size() < 700);
    for (const char* word : words) {
        CHECK_MESSAGE(sentence.find(word) != std::string::npos, word);
    }
}

} // namespace

TEST_SUITE("instrument/profile") {
    TEST_CASE("a good profile is read as it stands") {
        const auto profile = parse_profile(kGood, "student.json");
        REQUIRE_MESSAGE(profile.has_value(), (profile ? "" : profile.error().message));
        CHECK(profile->name == "test horn");
        REQUIRE(profile->crooks.size() == 2);
        CHECK(profile->crooks[0].kind == PieceKind::terminal_crook);
        CHECK_FALSE(profile->crooks[0].takes_couplers);
        CHECK(profile->crooks[0].key->transposition == -7);
        CHECK(profile->crooks[1].takes_couplers);
        CHECK(profile->crooks[1].pitches.at(0).temperature_c == doctest::Approx(22.0));
        CHECK(profile->couplers.at(0).lowers->cents == doctest::Approx(200.0));
        CHECK(profile->slide.legs == 2);
    }

    TEST_CASE("what is written is read back the same, calibration included") {
        auto profile = *parse_profile(kGood, "student.json");
        profile.note = "ünusual \"quotes\"";
        profile.mouthpiece.name = "deep cup";
        profile.mouthpiece.throat_diameter_m = 0.0045;
        profile.crooks[0].takes_couplers = true;
        Calibration calibration;
        calibration.tube_factor = 0.97;
        AssemblyCalibration assembly;
        assembly.pieces = {"master", "tone"};
        assembly.f1_hz = 57.25;
        assembly.partials = {{7, -3.25, 1.5, 4}};
        assembly.full_stops = {{131.0, std::nullopt, 8}};
        assembly.hand_points = {{8, 0.5, -95.0}};
        calibration.assemblies.push_back(assembly);
        calibration.room_colour = {{250.0, -1.5}};
        calibration.own_open_notes = {
            {174.6, -25.5, 20000.0, {-4.0, -9.5, std::nullopt, -31.0}, 1.75, -8.5, std::nullopt}};
        profile.calibration = calibration;
        const std::string text = profile_text(profile);
        const auto again = parse_profile(text, "again.json");
        REQUIRE_MESSAGE(again.has_value(), (again ? "" : again.error().message));
        CHECK(profile_text(*again) == text);
        CHECK(again->calibration->assemblies.at(0).partials.at(0).cents == doctest::Approx(-3.25));
        CHECK(again->calibration->assemblies.at(0).full_stops.at(0).partial == 8);
        CHECK(again->calibration->own_open_notes.at(0).group_db[3] == -31.0);
        CHECK_FALSE(again->calibration->own_open_notes.at(0).group_db[2].has_value());
        CHECK(again->crooks[0].takes_couplers);
    }

    TEST_CASE("missing fields are named with what to write") {
        refuses("{}", {"format", "bellhand horn profile"});
        refuses(with("\"version\": 1,", ""), {"version"});
        refuses(with("\"body\": {\"length_m\": 2.2},", ""), {"body"});
        refuses(with("{\"length_m\": 2.2}", "{}"), {"body", "length_m"});
        refuses(with("{\"name\": \"bit\", ", "{"), {"bits, piece 1", "name"});
        refuses(with(", \"length_m\": 0.02}", "}"), {"bit", "length"});
        refuses(with("\"partial\": 4, ", ""), {"master", "measurement 1", "partial"});
        refuses(
            R"({"format": "bellhand horn profile", "version": 1, "name": "x", "body": {"length_m": 2}})",
            {"no crook"});
    }

    TEST_CASE("negative, zero and absurd lengths are refused") {
        refuses(with("1.4", "-1.4"), {"F crook", "length_m", "-1.4"});
        refuses(with("0.02", "0"), {"bit", "length_m"});
        refuses(with("\"mass_kg\": 0.1", "\"mass_kg\": -0.1"), {"tone", "mass_kg"});
        refuses(with("0.05", "-0.05"), {"longest_pull_m"});
        refuses(with("22}", "200}"), {"temperature_c", "Celsius"});
        refuses(with("233.0", "3"), {"measurement 1", "hz"});
        refuses(with("233.0", "2330"), {"partial 4", "fundamental"});
    }

    TEST_CASE("millimetres and grams taken for metres and kilograms are suspected by name") {
        refuses(with("1.4", "1400"), {"F crook", "1400", "metres", "1400 millimetres", "1.4"});
        refuses(with("0.02", "20"), {"bit", "metres", "20 millimetres would be written 0.02"});
        refuses(with("2.2}", "2200}"), {"body", "millimetres", "2.2"});
        refuses(with("\"mass_kg\": 0.1", "\"mass_kg\": 100"), {"kilograms", "100 grams", "0.1"});
        refuses(with("\"body\"", "\"air\": {\"relative_humidity\": 50}, \"body\""),
                {"air", "relative_humidity", "50 percent would be written 0.5"});
    }

    TEST_CASE("numbers must be numbers: quotes, null and overflow are refused") {
        refuses(with("1.4", "\"1.4\""), {"length_m", "number without quotes"});
        refuses(with("1.4", "null"), {"length_m", "number"});
        refuses(with("1.4", "1e999"), {"line 7", "beyond"});
        refuses(with("1.4", "NaN"), {"line 7", "not JSON"});
        refuses(with("\"partial\": 4", "\"partial\": 4.5"), {"partial", "whole number"});
        refuses(with("\"partial\": 4", "\"partial\": 1e300"), {"partial", "whole number"});
    }

    TEST_CASE(
        "a key that nothing is called is a silent loss, so it is refused with what there is") {
        refuses(with("\"reach_m\"", "\"raech_m\""), {"tone", "raech_m", "reach_m"});
        refuses(with("\"couplers\"", "\"copplers\""), {"copplers", "couplers"});
    }

    TEST_CASE("names: twice the same, unknown, with terminal codes") {
        refuses(with("\"name\": \"bit\"", "\"name\": \"tone\""), {"two pieces", "tone"});
        refuses(with("\"hz\": 233.0", "\"hz\": 233.0, \"with\": [\"toen\"]"), {"master", "toen"});
        refuses(with("\"hz\": 233.0", "\"hz\": 233.0, \"with\": [\"F crook\"]"), {"two crooks"});
        refuses(with("\"hz\": 233.0", "\"hz\": 233.0, \"with\": [\"tone\", \"tone\"]"), {"twice"});
        refuses(with("\"name\": \"bit\"", "\"name\": \"b\\u001b[2Jit\""),
                {"bits, piece 1", "control"});
        refuses(with("\"reach_m\"", "\"r\\u001b[2J\\neach_m\""), {"tone", "r?[2J?each_m"});
        refuses(with("\"hz\": 233.0", "\"hz\": 233.0, \"with\": [\"a\\u009bb\"]"), {"a?b"});
        refuses(with("\"version\": 1,", "\"a\\nb\": 1, \"a\\nb\": 2,"), {"a?b", "twice"});
        refuses(with("\"name\": \"bit\"", "\"name\": \"\""), {"bits, piece 1", "letters"});
        refuses(with("\"length_m\": 0.02", "\"pitches\": [{\"partial\": 4, \"hz\": 170}]"),
                {"bit", "names no crook"});
    }

    TEST_CASE("an ambiguous key asks which one is meant") {
        refuses(with("\"key\": \"F\"", "\"key\": \"C\""), {"F crook", "key", "C-alto", "C-basso"});
        refuses(with("\"key\": \"F\"", "\"key\": \"Bb\""), {"Bb-alto", "Bb-basso"});
        refuses(with("\"key\": \"F\"", "\"key\": \"H\""), {"F crook", "key"});
    }

    TEST_CASE("another format or a newer version is not guessed at") {
        refuses(with("bellhand horn profile", "something else"), {"another kind of file"});
        refuses(with("\"version\": 1", "\"version\": 2"), {"newer", "update"});
    }

    TEST_CASE("broken, doubled and bombed JSON each end in one sentence with the place") {
        refuses("", {"line 1", "not JSON"});
        refuses("nonsense", {"line 1", "not JSON"});
        refuses(kGood.substr(0, 100), {"line 5", "not JSON"});
        refuses(kGood + "}", {"line 11", "not JSON"});
        refuses(with("\"version\": 1,", "\"version\": 1, \"version\": 1,"), {"line 3", "twice"});
        refuses(with("test horn", "\xff\xfe"), {"line 4", "not JSON"});
        refuses(with("\"test horn\"", std::string(400'000, '[')), {"line 4", "inside each other"});
        std::string objects;
        for (int i = 0; i < 60'000; ++i) {
            objects += "{\"a\":";
        }
        refuses(objects, {"line 1", "inside each other"});
        refuses(with("test horn", std::string(500'000, 'x')), {"line 4", "text longer"});
        std::string many = "[1";
        for (int i = 0; i < 100'000; ++i) {
            many += ",1";
        }
        refuses(with("\"test horn\"", many + "]"), {"line 4", "more than 512"});
        refuses("[1]", {"object"});
    }

    TEST_CASE("too many pieces are refused before anybody plans with them") {
        std::string bits = R"({"name": "bit", "length_m": 0.02})";
        for (int i = 0; i < 30; ++i) {
            bits += R"(, {"name": "b)" + std::to_string(i) + R"(", "length_m": 0.02})";
        }
        refuses(with(R"({"name": "bit", "length_m": 0.02})", bits), {"bits", "31", "16"});
    }

    TEST_CASE("a file of 100 MB is refused by its size, unread") {
        const test::TemporaryFolder folder;
        const auto path = folder.path() / "huge.json";
        std::ofstream(path) << kGood;
        std::filesystem::resize_file(path, 100'000'000); // sparse
        const auto profile = load_profile(path);
        REQUIRE_FALSE(profile.has_value());
        CHECK(profile.error().message.find("too large (100000000 bytes)") != std::string::npos);
    }

    TEST_CASE("a missing file and a folder are refused") {
        CHECK_FALSE(load_profile("/nowhere/profile.json").has_value());
        CHECK_FALSE(load_profile(std::filesystem::temp_directory_path()).has_value());
    }

    TEST_CASE("a device is refused") {
        const auto device = load_profile("/dev/zero");
        REQUIRE_FALSE(device.has_value());
        CHECK(device.error().message.find("not an ordinary file") != std::string::npos);
    }

    TEST_CASE("saving replaces the file in one step and leaves nothing else behind") {
        const test::TemporaryFolder folder;
        const auto path = folder.path() / "mine.json";
        auto profile = *parse_profile(kGood, "student.json");
        REQUIRE(save_profile(profile, path).has_value());
        profile.name = "renamed";
        REQUIRE(save_profile(profile, path).has_value());
        CHECK(load_profile(path)->name == "renamed");
        int files = 0;
        for ([[maybe_unused]] const auto& entry :
             std::filesystem::directory_iterator(folder.path())) {
            ++files;
        }
        CHECK(files == 1);
        CHECK_FALSE(save_profile(profile, folder.path() / "missing" / "mine.json").has_value());
    }
}

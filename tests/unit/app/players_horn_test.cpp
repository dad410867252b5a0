#include "app/players_horn.h"

#include "core/assets.h"
#include "core/files.h"

#include <filesystem>

#include <doctest/doctest.h>

#include <unistd.h>

using namespace bellhand;
namespace fs = std::filesystem;

namespace {

/// A copy of the horn that comes with the program, in a folder that goes away again.
struct OwnFile {
    fs::path folder = fs::temp_directory_path() / ("bellhand_horn_" + std::to_string(getpid()));
    fs::path path = folder / "horn.json";
    OwnFile() {
        fs::create_directories(folder);
        fs::copy_file(assets_folder() / "instruments" / "demo_coupler_horn.json",
                      path,
                      fs::copy_options::overwrite_existing);
    }
    ~OwnFile() { fs::remove_all(folder); }
    OwnFile(const OwnFile&) = delete;
    OwnFile& operator=(const OwnFile&) = delete;
};

std::vector<hand::Colour> taught_notes(std::size_t count) {
    std::vector<hand::Colour> notes(count);
    for (std::size_t i = 0; i < count; ++i) {
        notes[i].known = true;
        notes[i].f0_hz = 200.0 + static_cast<double>(i);
        notes[i].level_dba = -27.5;
    }
    return notes;
}

instrument::MeasuredClosing closing_of_partial_6() {
    instrument::MeasuredClosing closing;
    closing.partial = 6;
    closing.rise_cents = 99.0;
    closing.fall_cents = -216.0;
    for (int i = 0; i <= 20; ++i) {
        closing.curve.push_back({0.05 * i, -10.8 * i});
    }
    return closing;
}

} // namespace

TEST_SUITE("app/players horn") {
    TEST_CASE(
        "open notes that taught something are in the profile the next time, the newest of them") {
        const OwnFile file;
        auto horn = app::PlayersHorn::open(file.path, true);
        REQUIRE(horn);
        CHECK(horn->hand_for({}).open_notes.empty());
        REQUIRE(horn->keep(taught_notes(40)));
        REQUIRE(horn->keep(taught_notes(30)));
        CHECK(horn->open_notes() == 64);

        const auto again = app::PlayersHorn::open(file.path, true);
        REQUIRE(again);
        const auto notes = again->hand_for({}).open_notes;
        REQUIRE(notes.size() == 64);
        CHECK(notes.front().f0_hz == 206.0);
        CHECK(notes.back().f0_hz == 229.0);
        CHECK(notes.back().level_dba == -27.5);
    }

    TEST_CASE("forgetting reaches the file, and what else is in it stays") {
        const OwnFile file;
        auto horn = app::PlayersHorn::open(file.path, true);
        REQUIRE(horn);
        const auto before = instrument::load_profile(file.path);
        REQUIRE(horn->keep(taught_notes(10)));
        REQUIRE(horn->forget());
        CHECK(app::PlayersHorn::open(file.path, true)->open_notes() == 0);
        const auto after = instrument::load_profile(file.path);
        REQUIRE(after);
        CHECK(after->crooks.size() == before->crooks.size());
        CHECK(after->name == before->name);
    }

    TEST_CASE("a horn that came with the program is never written to") {
        const OwnFile file;
        const auto text = read_small_file(file.path, 1'000'000);
        auto horn = app::PlayersHorn::open(file.path, false);
        REQUIRE(horn);
        REQUIRE(horn->keep(taught_notes(10)));
        CHECK(horn->open_notes() == 10); // remembered until the program ends
        CHECK_FALSE(horn->add_closing(closing_of_partial_6(), {}));
        CHECK(*read_small_file(file.path, 1'000'000) == *text);
    }

    TEST_CASE("a file that has gone is told; memory has what was learnt all the same") {
        const OwnFile file;
        auto own = app::PlayersHorn::open(file.path, true);
        REQUIRE(own);
        fs::remove(file.path);
        CHECK_FALSE(own->keep(taught_notes(10)));
        CHECK(own->open_notes() == 10);
    }

    TEST_CASE(
        "a slow closing goes into the calibration near the tuning, and is heard by from then on") {
        const OwnFile file;
        auto horn = app::PlayersHorn::open(file.path, true);
        REQUIRE(horn);
        const horn::Tuning tuning;
        const auto refused = horn->add_closing(closing_of_partial_6(), tuning);
        REQUIRE_FALSE(refused);
        CHECK(refused.error().message.find("bellhand calibrate") != std::string::npos);

        auto profile = instrument::load_profile(file.path);
        REQUIRE(profile);
        instrument::AssemblyCalibration assembly;
        assembly.pieces = {profile->crooks.front().name};
        assembly.f1_hz = horn::fundamental_hz(tuning);
        assembly.partials = {{6, 2.0, 1.0, 3}};
        profile->calibration.emplace();
        profile->calibration->assemblies.push_back(assembly);
        REQUIRE(instrument::save_profile(*profile, file.path));
        horn = app::PlayersHorn::open(file.path, true);
        REQUIRE(horn);
        REQUIRE(horn->add_closing(closing_of_partial_6(), tuning));
        const auto own = app::PlayersHorn::open(file.path, true)->hand_for(tuning).own;
        REQUIRE(own);
        CHECK(own->response.fall_cents[5][2] == doctest::Approx(-108.0));
        CHECK(own->response.open_cents[5] == doctest::Approx(2.0));
    }
}

#include "app/settings.h"
#include "support/temporary_folder.h"

#include <filesystem>
#include <fstream>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::app;

TEST_SUITE("app/settings of the window") {
    TEST_CASE(
        "they come back as they were saved, and a file from before they existed is still read") {
        const test::TemporaryFolder folder;
        const auto path = folder / "settings.json";
        Settings settings;
        settings.window = {true, 1.5, 2.5};
        REQUIRE(save_settings(path, settings).has_value());
        const auto back = load_settings(path);
        REQUIRE(back.has_value());
        CHECK(back->window == settings.window);

        std::ofstream(path)
            << R"({"crook":"D","a4_hz":430,"temperament":"equal","device":"","channel":1})";
        const auto older = load_settings(path);
        REQUIRE(older.has_value());
        CHECK(older->tuning.a4_hz == doctest::Approx(430.0));
        CHECK(older->window == WindowSettings{});

        std::ofstream(path)
            << R"({"crook":"D","a4_hz":430,"temperament":"equal","device":"","channel":1,)"
            << R"("window":{"dark":true,"type_scale":40,"lesson_hold_s":-3}})";
        const auto wild = load_settings(path);
        REQUIRE(wild.has_value());
        CHECK(wild->window.type_scale == doctest::Approx(3.0));
        CHECK(wild->window.lesson_hold_s == doctest::Approx(0.5));
    }
}

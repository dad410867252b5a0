#include "gui/fonts.h"

#include "support/temporary_folder.h"

#include <cstddef>
#include <filesystem>
#include <fstream>

#include <doctest/doctest.h>

using namespace bellhand::gui;

TEST_SUITE("gui/fonts") {
    TEST_CASE("without a font that has accidentals it is said which package brings one") {
        const bellhand::test::TemporaryFolder folder;
        const auto found = find_fonts({folder.path(), "/nowhere"});
        REQUIRE_FALSE(found.has_value());
        CHECK(found.error().message.find("fonts-dejavu-core") != std::string::npos);
    }

    TEST_CASE("faces that are missing are replaced, those that are there are taken") {
        const bellhand::test::TemporaryFolder folder;
        std::filesystem::create_directories(folder / "below");
        std::ofstream(folder / "below" / "DejaVuSans.ttf") << "x";
        std::ofstream(folder / "Inter-Regular.otf") << "x";
        const auto found = find_fonts({folder.path()});
        REQUIRE(found.has_value());
        CHECK(found->accidentals == folder / "below" / "DejaVuSans.ttf");
        CHECK(found->face[static_cast<std::size_t>(Face::text)] == folder / "Inter-Regular.otf");
        CHECK(found->face[static_cast<std::size_t>(Face::music)] == found->accidentals);
    }

    TEST_CASE("what is read from two metres keeps its share of the window, whatever the em") {
        for (const float height : {600.0F, 800.0F, 1080.0F, 2160.0F}) {
            const TypeScale scale{height / 46.0F, height};
            CHECK(scale.note_cap_px() >= height / 6.0F);
            CHECK(scale.large_note_cap_px() >= height / 3.0F);
        }
    }
}

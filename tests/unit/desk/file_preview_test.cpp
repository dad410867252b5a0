// What is said of a file before it is opened.
#include "desk/model/file_preview.h"

#include "audio/file.h"
#include "core/assets.h"
#include "homework/package.h"
#include "support/set_work.h"
#include "support/temporary_folder.h"

#include <fstream>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

FilePreview of(const std::filesystem::path& file) {
    return preview_of({FileRow::Kind::file, file, file.filename().string(), ""});
}

bool says(const FilePreview& preview, const std::string& words) {
    for (const std::string& line : preview.lines) {
        if (line.find(words) != std::string::npos) {
            return true;
        }
    }
    return false;
}

} // namespace

TEST_SUITE("desk/file_preview") {
    TEST_CASE("each kind of file is told by what is in it") {
        const FilePreview horn = of(assets_folder() / "instruments" / "demo_coupler_horn.json");
        CHECK(horn.title == "Demo coupler horn");
        CHECK(says(horn, "horn, "));
        CHECK(says(horn, "2 crooks, 7 couplers, 3 tuning bits"));

        const FilePreview set_list = of(assets_folder() / "setlists" / "demo_opera.json");
        CHECK(says(set_list, "set list, "));
        CHECK(says(set_list, "16 numbers at A = "));

        const FilePreview music = of(assets_folder() / "parts" / "the_ferryman.musicxml");
        CHECK(says(music, "music, "));
        CHECK(says(music, "part"));

        test::TemporaryFolder folder;
        const std::vector<float> samples(96000, 0.1F);
        REQUIRE(audio::write_file(folder / "tone.wav", samples, 48000.0));
        const FilePreview sound = of(folder / "tone.wav");
        CHECK(sound.title == "tone.wav");
        CHECK(says(sound, "0:02, 48 kHz, 1 channel"));

        homework::Homework work = test::set_work(2);
        work.title = "The low D";
        work.teacher = "A teacher";
        work.due_on = "2026-04-01";
        REQUIRE(homework::Package(work).save(folder / "week.hornwork"));
        const FilePreview set = of(folder / "week.hornwork");
        CHECK(set.title == "The low D");
        CHECK(says(set, "from A teacher"));
        CHECK(says(set, "due 2026-04-01"));

        const FilePreview there =
            preview_of({FileRow::Kind::folder, folder / "", "folder/", "folder"});
        CHECK(says(there, "tone.wav, week.hornwork"));
    }

    TEST_CASE("what cannot be read says why, and a large file is not read") {
        test::TemporaryFolder folder;
        std::ofstream(folder / "broken.json") << "{\"format\": \"bellhand set list\"";
        const FilePreview broken = of(folder / "broken.json");
        CHECK(broken.title == "broken.json");
        CHECK(broken.lines.size() == 2);
        CHECK(says(of(folder / "gone.wav"), "gone.wav"));

        std::ofstream(folder / "large.musicxml")
            << "<?xml version=\"1.0\"?><score-partwise>" << std::string(1'200'000, ' ');
        const FilePreview large = of(folder / "large.musicxml");
        CHECK(large.lines.size() == 1);
        CHECK(says(large, "music, 1.2 MB, changed 20"));
    }
}

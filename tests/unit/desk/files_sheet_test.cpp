// Choosing a file: recent ones, folders, typing, and whole paths.
#include "desk/desk.h"
#include "support/fake_ear.h"
#include "support/keys.h"
#include "support/temporary_folder.h"

#include <filesystem>
#include <fstream>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;
using test::key;
using test::letter;

namespace {

namespace fs = std::filesystem;

struct Place {
    test::TemporaryFolder temporary;
    fs::path folder = temporary / "bellhand files test";
    test::FakeEar ear;
    DeskStart start;

    Place() {
        fs::create_directories(folder / "takes");
        for (const char* name : {"takes/long tone.wav",
                                 "takes/long scale.wav",
                                 "notes.txt",
                                 "week.hornwork",
                                 "Air.flac"}) {
            std::ofstream(folder / name) << "x";
        }
        start.documents = folder;
        start.recent_files = folder / "list" / "recent.txt";
    }
};

void type(Desk& desk, const std::string& words) {
    for (const char character : words) {
        desk.press(letter(character));
    }
}

std::vector<std::string> rows(const Desk& desk) {
    std::vector<std::string> words;
    for (const FileRow& row : desk.sheets().files.browser().rows()) {
        words.push_back(row.words);
    }
    return words;
}

using Words = std::vector<std::string>;

} // namespace

TEST_SUITE("desk/files") {
    TEST_CASE("folders come before files, of files only those that can be opened, whatever their "
              "capitals") {
        Place place;
        Desk desk(place.ear.ear(), place.start);
        desk.press(test::with_control('o'));
        CHECK(desk.sheet() == Sheet::files);
        CHECK(rows(desk) == Words{"..", "takes/", "Air.flac", "week.hornwork"});
        type(desk, "ai");
        CHECK(rows(desk) == Words{"Air.flac"});
        desk.press(key(Key::enter));
        CHECK(desk.sheet() == Sheet::none);
        CHECK(place.ear.shared->choices.back().file == place.folder / "Air.flac");
    }

    TEST_CASE("Enter goes into a folder, Backspace takes a letter back and then leads up, typing "
              "finds any word") {
        Place place;
        Desk desk(place.ear.ear(), place.start);
        desk.press(test::with_control('o'));
        desk.press(key(Key::down));
        desk.press(key(Key::enter));
        CHECK(rows(desk) == Words{"..", "long scale.wav", "long tone.wav"});
        type(desk, "to");
        CHECK(rows(desk) == Words{"long tone.wav"});
        desk.press(key(Key::backspace));
        desk.press(key(Key::backspace));
        CHECK(rows(desk).size() == 3);
        desk.press(key(Key::backspace));
        CHECK(desk.sheets().files.browser().folder() == place.folder);
    }

    TEST_CASE("a path can be typed as a whole, and Tab completes what is certain") {
        Place place;
        Desk desk(place.ear.ear(), place.start);
        type(desk, "i" + (place.folder / "ta").string());
        CHECK(desk.sheet() == Sheet::files);
        desk.press(key(Key::tab));
        CHECK(desk.sheets().files.browser().folder() == place.folder / "takes");
        desk.press(key(Key::tab));
        CHECK(desk.sheets().files.browser().typed() == "long ");
        type(desk, "s");
        desk.press(key(Key::tab));
        CHECK(desk.sheets().files.browser().typed() == "long scale.wav");
        desk.press(key(Key::enter));
        CHECK(place.ear.shared->choices.back().file == place.folder / "takes" / "long scale.wav");
    }

    TEST_CASE("what was opened stands first the next time, also after the program ended, as long "
              "as it is there") {
        Place place;
        {
            Desk desk(place.ear.ear(), place.start);
            desk.take_file(place.folder / "takes" / "long tone.wav");
            desk.take_file(place.folder / "Air.flac");
            desk.take_file(place.folder / "not there.wav");
        }
        Desk desk(place.ear.ear(), place.start);
        desk.press(test::with_control('o'));
        CHECK(rows(desk).front() == "Air.flac");
        CHECK(rows(desk)[1] == "long tone.wav");
        fs::remove(place.folder / "Air.flac");
        desk.press(key(Key::escape));
        desk.press(test::with_control('o'));
        CHECK(rows(desk).front() == "long tone.wav");
        desk.press(key(Key::enter));
        CHECK(place.ear.shared->choices.back().file == place.folder / "takes" / "long tone.wav");
    }

    TEST_CASE("a typed folder that is not there is said, and what was typed stays") {
        Place place;
        Desk desk(place.ear.ear(), place.start);
        desk.press(test::with_control('o'));
        type(desk, "nowhere/");
        CHECK(desk.sheets().files.browser().problem() == "There is no folder nowhere here.");
        CHECK(desk.sheets().files.browser().typed() == "nowhere/");
        type(desk, "air.wav");
        CHECK(desk.sheets().files.browser().typed() == "nowhere/air.wav");
        CHECK(desk.sheets().files.browser().problem() == "There is no folder nowhere here.");
        const std::size_t sessions = place.ear.shared->choices.size();
        desk.press(key(Key::tab));
        desk.press(key(Key::enter)); // nothing is tried with it
        CHECK(desk.sheet() == Sheet::files);
        CHECK(place.ear.shared->choices.size() == sessions);
        for (int i = 0; i < 8; ++i) {
            desk.press(key(Key::backspace));
        }
        CHECK(desk.sheets().files.browser().typed() == "nowhere");
        CHECK(desk.sheets().files.browser().problem().empty());
    }
}

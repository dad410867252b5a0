#include "desk/pages/part_page.h"

#include "support/desk_states.h"
#include "support/keys.h"

#include <filesystem>
#include <fstream>
#include <sstream>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;
using test::key;
using test::own_part;
using test::with_control;

namespace {

struct Opened : test::Room {
    explicit Opened(const std::string& name) : file(own_part(name)) {
        desk->take_file(file);
        settle();
    }
    [[nodiscard]] const PartPage& page() const { return desk->pages().part; }
    std::filesystem::path file;
};

std::string all_of(const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream out;
    out << in.rdbuf();
    return out.str();
}

} // namespace

TEST_SUITE("desk/part page") {
    TEST_CASE("a part that is dropped is shown, planned, on its page") {
        Opened room("the_ferryman");
        CHECK(room.desk->screen() == Screen::part);
        REQUIRE(room.page().stage() == PartPage::Stage::reading);
        CHECK(room.page().part()->attacks.size() == 76);
        CHECK(room.page().plan().notes.size() == 76);
        CHECK(room.page().printed().score.events.size() > 76);
        CHECK_FALSE(room.page().reason().empty());
        CHECK(room.page().summary().find("76 notes") == 0);
    }

    TEST_CASE("two players are asked about, and the answer is one key") {
        Opened room("two_at_the_gate");
        REQUIRE(room.page().stage() == PartPage::Stage::question);
        CHECK(room.page().rows().size() == 2);
        CHECK(room.page().asked().find("--") == std::string::npos); // options are for the terminal
        room.type("2");
        REQUIRE(room.page().stage() == PartPage::Stage::reading);
        CHECK(room.page().part()->player == 2);
        room.type("r1");
        CHECK(room.page().part()->player == 1);
    }

    TEST_CASE("another hand is pinned, the plan keeps it, and gives it back") {
        Opened room("the_ferryman");
        // The first note that can be played in more than one way.
        std::size_t hand_note = 0;
        auto before = room.page().plan().notes[hand_note].choice->way;
        do {
            REQUIRE(++hand_note < room.page().plan().notes.size());
            before = room.page().plan().notes[hand_note].choice->way;
            room.desk->pages().part.choose(hand_note);
            room.press(key(Key::tab));
        } while (!room.page().plan().notes[hand_note].pinned);
        const auto after = room.page().plan().notes[hand_note];
        CHECK(
            (after.choice->way.hand != before.hand || after.choice->way.partial != before.partial));
        CHECK(room.page().note_words().find("pinned") != std::string::npos);
        room.type("x");
        CHECK_FALSE(room.page().plan().notes[hand_note].pinned);
        CHECK(room.page().plan().notes[hand_note].choice->way.hand == before.hand);
    }

    TEST_CASE("saved with signs it reads back as pins; printed it is a PDF") {
        Opened room("evening_round");
        room.type("s");
        CHECK(room.page().problem().empty());
        const auto saved = room.file.parent_path() / "evening_round with hand signs.musicxml";
        REQUIRE(std::filesystem::exists(saved));
        CHECK(room.page().said().find(saved.string()) != std::string::npos);
        room.press(with_control('p'));
        const auto printed = room.file.parent_path() / "evening_round, Horn in E.pdf";
        REQUIRE(std::filesystem::exists(printed));
        CHECK(all_of(printed).substr(0, 5) == "%PDF-");
        room.desk->take_file(saved);
        CHECK(room.page().plan().notes.front().pinned);
        std::filesystem::remove(saved);
        std::filesystem::remove(printed);
    }

    TEST_CASE("arrows walk notes and bars, End the hard bars") {
        Opened room("the_ferryman");
        CHECK(room.page().cursor() == 0);
        room.press(key(Key::down));
        CHECK(room.page().part()->attacks[room.page().cursor()].at.bar == 1);
        room.press(key(Key::up));
        CHECK(room.page().cursor() == 0);
        room.press(key(Key::left));
        CHECK(room.page().cursor() == 0);
        room.press(key(Key::end));
        CHECK(room.page().part()->attacks[room.page().cursor()].at.bar ==
              room.page().plan().hardest.front().bar);
        for (int i = 0; i < 300; ++i) {
            room.press(key(Key::right));
        }
        CHECK(room.page().cursor() == 75);
    }

    TEST_CASE("a bar is played from, on the crook that stands there") {
        Opened room("the_ferryman");
        room.press(key(Key::down)).press(key(Key::enter));
        REQUIRE(room.desk->screen() == Screen::run);
        const drill::Exercise& exercise = room.desk->pages().run.view().exercise;
        REQUIRE_FALSE(exercise.steps.empty());
        CHECK(exercise.steps.front().written == room.page().part()->attacks[2].written);
    }

    TEST_CASE("every crook is compared, the written one is easiest") {
        Opened room("two_at_the_gate");
        room.type("1c");
        CHECK(room.page().stage() == PartPage::Stage::crooks);
        CHECK(room.page().rows().size() == 17);
        room.press(key(Key::escape));
        CHECK(room.page().stage() == PartPage::Stage::reading);
    }

    TEST_CASE("what is no music is one sentence") {
        const auto file = std::filesystem::temp_directory_path() / "bellhand_no_music.musicxml";
        std::ofstream(file) << "<score-partwise><part-list/></score-partwise>";
        test::Room room;
        room.desk->pages().part.take_file(file);
        CHECK(room.desk->pages().part.stage() == PartPage::Stage::empty);
        CHECK_FALSE(room.desk->pages().part.problem().empty());
        std::filesystem::remove(file);
    }

    TEST_CASE("questions of the reader become rows") {
        const part::ReadOptions said;
        const PartQuestion octave =
            part_question("The heading leaves open whether the crook is C alto or C basso: answer "
                          "--crook C-alto or --crook C-basso.",
                          said);
        REQUIRE(octave.answers.size() == 2);
        CHECK(octave.words == "The heading leaves open whether the crook is C alto or C basso");
        CHECK(std::string(octave.answers[1].options.crooks.front().crook.label) == "C basso");
        const PartQuestion bar = part_question("Words leave it open: answer --crook 151=Eb.", said);
        REQUIRE(bar.answers.size() == 1);
        CHECK(bar.answers[0].options.crooks.front().bar == "151");
        CHECK(part_question("Nothing says it: answer with --crook, such as --crook Eb.", said)
                  .answers.size() == 17);
        CHECK(part_question("It may: answer --bass-clef old or --bass-clef new.", said)
                  .answers.size() == 2);
        CHECK(part_question("Read so: answer --notes sounding, or --notes written.", said)
                  .answers.size() == 2);
    }
}

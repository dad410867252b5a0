// From today's plan through a run to the log, by keys alone.
#include "desk/desk.h"
#include "drill/exercise_file.h"
#include "support/fake_ear.h"
#include "support/fake_shelf.h"
#include "support/sounding_note.h"
#include "support/temporary_folder.h"

#include <fstream>
#include <string_view>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

struct Room {
    test::FakeEar ear;
    std::shared_ptr<test::FakeShelf> shelf = std::make_shared<test::FakeShelf>();
    std::unique_ptr<Desk> desk;
    double wall_s = 0.0;

    Room() {
        const auto exercise = test::exercise_of("two notes", {"C4", "G4"});
        shelf->next_plan.blocks = {test::block_of(exercise, 60.0), test::block_of(exercise, 60.0)};
        logbook::SessionRecord session;
        session.id = 1;
        session.started_at = "2026-03-01T10:11:12Z";
        shelf->log.push_back(session);
        DeskStart start;
        start.input.kind = InputChoice::Kind::demo;
        start.shelf = shelf;
        desk = std::make_unique<Desk>(ear.ear(), start);
    }

    void press(char character) {
        Press press;
        press.character = static_cast<char32_t>(character);
        desk->press(press);
        desk->update(wall_s);
    }
    void press(Key key) {
        Press press;
        press.key = key;
        desk->press(press);
        desk->update(wall_s);
    }

    /// A second of a note, and what the analysis says of it.
    void play(const char* name, double cents, std::uint32_t index) {
        test::play_asked(
            *ear.shared->sessions.back(), index, horn::parse_note(name).value(), cents, 1.0);
        wall_s += 1.15;
        desk->update(wall_s);
    }
};

} // namespace

TEST_SUITE("gui/run flow") {
    TEST_CASE("J judges more kindly, what is played freely and runs alike") {
        Room room;
        CHECK(room.desk->session().tolerance_factor() == 1.0);
        room.press('j');
        room.press('j');
        CHECK(room.desk->session().tolerance_factor() == 1.5);
        CHECK(room.ear.shared->sessions.back()->tolerance_factor == 1.5);
        room.press('5');
        room.press(' ');
        REQUIRE(room.desk->screen() == Screen::run);
        room.play("C4", 7.0, 0); // 5 cents pass as usual, 7.5 now
        room.play("G4", 9.0, 1);
        const auto& verdicts = room.desk->pages().run.view().verdicts;
        REQUIRE(verdicts.size() >= 1);
        REQUIRE(verdicts[0]);
        CHECK(verdicts[0]->words.empty());
        CHECK(verdicts[0]->tolerance_cents == doctest::Approx(7.5));
        room.press(Key::escape);
        for (int i = 0; i < 4; ++i) {
            room.press('j');
        }
        CHECK(room.desk->session().tolerance_factor() == 1.0); // one round
    }

    TEST_CASE("today, play, rest, the next block, back to today, the log, delete and undo") {
        Room room;
        Desk& desk = *room.desk;
        room.press('5');
        CHECK(desk.screen() == Screen::today);
        const std::size_t sessions = room.ear.shared->sessions.size();
        room.press(' ');
        CHECK(desk.screen() == Screen::run);
        CHECK(room.ear.shared->sessions.size() == sessions + 1); // a session of its own
        CHECK(desk.pages().run.view().stage == RunStage::waiting);

        room.play("C4", 1.0, 0);
        CHECK(desk.pages().run.view().begun);
        room.play("G4", -15.0, 1);
        room.play("C4", 0.0, 2);
        const RunView& run = desk.pages().run.view();
        REQUIRE(run.verdicts.size() == 2);
        CHECK(run.verdicts[0].has_value());

        room.press(Key::page_down);
        CHECK(run.stage == RunStage::rest);
        CHECK(run.next_title == "two notes");
        CHECK(run.summaries.size() == 1);
        CHECK(desk.pages().today.done(0));
        room.press(Key::page_down);
        CHECK(run.stage == RunStage::waiting);
        CHECK(run.block == 1);
        room.press(' ');
        CHECK(run.stage == RunStage::paused);
        room.press(' ');
        CHECK(run.stage == RunStage::waiting);

        // Keys of other screens are asleep while both hands are on the horn.
        room.press('c');
        CHECK(desk.sheet() == Sheet::none);
        room.press('8');
        CHECK(desk.screen() == Screen::run);

        room.press(Key::escape);
        CHECK(desk.screen() == Screen::today);
        CHECK(desk.session().run() == nullptr);
        CHECK(desk.pages().today.done(0));
        CHECK_FALSE(room.ear.shared->sessions.back()->records.empty()); // the log was told

        room.press(std::to_string(static_cast<int>(Screen::log) + 1)[0]);
        CHECK(desk.screen() == Screen::log);
        CHECK(desk.pages().log.sessions().size() == 1);
        room.press('x');
        CHECK(desk.pages().log.sessions().empty());
        room.press('u');
        CHECK(desk.pages().log.sessions().size() == 1);
    }

    TEST_CASE("a run that cannot begin says why and leaves the plan on the screen") {
        Room room;
        room.shelf->next_plan.blocks.front().exercise.steps.clear();
        room.press('5');
        room.press(' ');
        CHECK(room.desk->screen() == Screen::today);
        CHECK_FALSE(room.desk->session().problem().empty());
    }

    TEST_CASE("an exercise is chosen from the list and played by itself") {
        Room room;
        room.shelf->all = {test::exercise_of("first", {"C4"}), test::exercise_of("second", {"G4"})};
        room.press('5');
        room.press('e');
        CHECK(room.desk->sheet() == Sheet::exercises);
        room.press(Key::down);
        room.press(Key::enter);
        CHECK(room.desk->screen() == Screen::run);
        CHECK(room.desk->pages().run.view().exercise.title == "second");
        room.press(Key::escape);
        CHECK(room.desk->screen() == Screen::today);
        CHECK_FALSE(room.desk->pages().today.done(0));
    }

    TEST_CASE(
        "a file of exercises dropped on the window stands first in the list; others go where they "
        "went") {
        Room room;
        const test::TemporaryFolder folder;
        const std::filesystem::path file = folder / "bellhand_dropped_exercises.json";
        drill::ExerciseFile dropped;
        dropped.exercises = {test::exercise_of("dropped", {"G4", "C5"})};
        std::ofstream(file) << drill::exercises_text(dropped);
        room.shelf->all = {test::exercise_of("built-in", {"C4"})};
        room.desk->take_file(file);
        CHECK(room.desk->sheet() == Sheet::exercises);
        REQUIRE(room.desk->sheets().exercises.listed().size() == 2);
        CHECK(room.desk->sheets().exercises.listed()[0].exercise.id == "dropped");
        std::ofstream(file) << "{}"; // no profile either, but that is for the bench to say
        room.desk->take_file(file);
        CHECK(room.desk->screen() == Screen::bench);
    }

    TEST_CASE("homework is listened to at its own pitch, and the player's comes back after it") {
        Room room;
        skill::PlannedBlock& set = room.shelf->next_plan.blocks.front();
        set.homework = "week-one";
        set.a4_hz = 430.0;
        set.temperament = horn::parse_temperament("vallotti").value();
        set.crook = *horn::parse_crook("Eb");
        const horn::Tuning usual = room.desk->session().tuning();
        room.press('5');
        room.press(' ');
        room.play("C4", 1.0, 0);
        CHECK(room.desk->session().tuning() == skill::tuning_of(set, usual));
        CHECK(room.ear.shared->sessions.back()->tuning == skill::tuning_of(set, usual));
        // Closed now, the window remembers the player's pitch and not the homework's.
        CHECK(room.desk->session().usual_tuning().a4_hz == usual.a4_hz);
        CHECK(room.desk->session().usual_tuning().crook == set.crook);
        room.press(Key::escape);
        CHECK(room.desk->session().tuning().a4_hz == usual.a4_hz);
        CHECK(room.desk->session().tuning().temperament == usual.temperament);
        CHECK(room.desk->session().tuning().crook == set.crook);
        CHECK(room.desk->session().said() ==
              "Back at your own pitch and temperament, A = 440. The horn stays on the E♭ crook of "
              "the exercise: C changes it.");
        CHECK(room.ear.shared->sessions.back()->tuning == room.desk->session().tuning());
    }

    TEST_CASE("the session ends with the run's last records in the log") {
        Room room;
        room.press('5');
        room.press(' ');
        room.play("C4", 1.0, 0);
        const auto state = room.ear.shared->sessions.back();
        room.desk.reset();
        CHECK(state->stopped);
        CHECK_FALSE(state->records.empty());
    }
}

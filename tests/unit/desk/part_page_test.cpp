#include "desk/pages/part_page.h"

#include "support/desk_states.h"
#include "support/keys.h"
#include "support/temporary_folder.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;
using test::key;
using test::own_part;
using test::with_control;

namespace {

constexpr double kFerrymanTempo = 96.0; // as its file says

struct Opened : test::Room {
    explicit Opened(const std::string& name) : file(own_part(name)) {
        desk->take_file(file);
        settle();
    }
    [[nodiscard]] const PartPage& page() const { return desk->pages().part; }

    /// Silence up to here.
    void wait(double until_s) {
        test::FakeState& state = *ear.shared->sessions.back();
        for (; now_s < until_s; now_s = std::min(until_s, now_s + 0.1)) {
            state.elapsed_s = now_s;
            desk->update(now_s);
        }
        state.elapsed_s = now_s = until_s;
        desk->update(now_s);
    }
    /// A note as it is asked on the crook that the window listens with.
    void play(horn::Note written, double start_s, double length_s, std::uint32_t index) {
        trainer::PlayedNote note;
        note.index = index;
        note.written = written;
        note.target_hz = note.f0_hz = horn::target_hz(written, desk->session().tuning());
        note.start_s = start_s + 0.01;
        note.duration_s = 0.9 * length_s;
        note.level_dbfs = -20.0;
        note.finished = true;
        ear.shared->sessions.back()->ended.push_back(note);
        wait(start_s + length_s);
    }
    double now_s = 0.0;
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

    TEST_CASE("a bar is played from, and all that comes after it on every crook") {
        Opened room("the_ferryman");
        room.press(key(Key::down)).press(key(Key::down)).press(key(Key::enter));
        REQUIRE(room.desk->screen() == Screen::run);
        const RunView& view = room.desk->pages().run.view();
        REQUIRE(view.part);
        CHECK(view.exercise.steps.size() == view.part->attack_of.front().size());
        CHECK(view.exercise.steps[view.next].in_part->number == "3");
        CHECK(run_marks(view).place == room.page().cursor());
        CHECK(run_marks(view).bar == view.part->printed.score.events[room.page().cursor()].bar);
        std::set<int> crooks;
        for (const drill::Step& step : view.exercise.steps) {
            crooks.insert(step.in_part->crook);
        }
        CHECK(crooks.size() == 3);
    }

    TEST_CASE("a part is followed on its page from the first bar to the last, over three crooks") {
        Opened room("the_ferryman");
        room.press(key(Key::enter));
        REQUIRE(room.desk->screen() == Screen::run);
        const RunView& view = room.desk->pages().run.view();
        const drill::Exercise exercise = view.exercise;
        const std::vector<std::size_t> attack_of = view.part->attack_of.front();
        double at_s = 1.0;
        double bar_rest = 0.0;
        std::uint32_t index = 0;
        std::set<std::string> crooks;
        std::set<int> bars;
        int counted = 0;
        for (std::size_t i = 0; i < exercise.steps.size(); ++i) {
            const drill::Step& step = exercise.steps[i];
            const double length_s = step.quarters * 60.0 / step.in_part->quarters_per_minute;
            if (!step.written) {
                room.wait(at_s += length_s);
                counted += view.rest_bars > 1 && !view.place.empty() ? 1 : 0;
                bar_rest += length_s;
                continue;
            }
            // What is asked stands on the crook that the window listens with.
            CHECK(room.desk->session().tuning().crook == drill::crook_at(step.in_part->crook));
            crooks.insert(room.desk->session().tuning().crook.id);
            const RunMarks marks = run_marks(view);
            CHECK(marks.place == attack_of[i]);
            bars.insert(marks.bar);
            room.play(*step.written, at_s, length_s, index++);
            at_s += length_s;
        }
        CHECK(crooks == std::set<std::string>{"F", "D", "Eb"});
        CHECK(bars.size() > 20);
        CHECK(counted > 3); // rests of several bars
        CHECK(bar_rest > 10.0);
        room.wait(at_s + 6.0);
        CHECK(view.stage == RunStage::done);
        REQUIRE(view.summaries.size() == 1);
        CHECK(view.summaries.front().judged == 76);
        CHECK(view.summaries.front().good == 76);
        room.press(key(Key::enter));
        CHECK(room.desk->screen() == Screen::part);
    }

    TEST_CASE("bars go round and round, slower") {
        Opened room("the_ferryman");
        room.press(key(Key::down)).type("[").press(key(Key::down)).type("]");
        REQUIRE(room.page().loop());
        CHECK(room.page().loop()->first == 1);
        CHECK(room.page().loop()->last == 2);
        room.type(",,");
        CHECK(room.page().speed() == 80);
        CHECK(room.desk->keys().front().words ==
              "play bars 2 to 3 round and round at 80 % of the tempo");
        room.press(key(Key::enter));
        const RunView& view = room.desk->pages().run.view();
        CHECK(view.passes > 1);
        for (const drill::Step& step : view.exercise.steps) {
            CHECK((step.in_part->number == "2" || step.in_part->number == "3"));
        }
        CHECK(view.exercise.quarters_per_minute == doctest::Approx(0.8 * kFerrymanTempo));
        room.press(key(Key::escape));
        room.press(key(Key::up)).type("[");
        CHECK_FALSE(room.page().loop());
    }

    TEST_CASE("the bars that went worst are drilled, or none is known") {
        Opened room("the_ferryman");
        room.type("!");
        CHECK(room.desk->screen() == Screen::part);
        CHECK(room.page().problem().find("no worst bars") != std::string::npos);
        room.shelf->bars = {{3, {3, 8, 5}}, {4, {4, 8, 1}}, {20, {20, 4, 3}}};
        room.type("!");
        REQUIRE(room.desk->screen() == Screen::run);
        const RunView& view = room.desk->pages().run.view();
        CHECK(view.blocks == 2);
        CHECK(view.why == "Bar 4: 5 of 8 notes went wrong.");
        CHECK(view.exercise.steps[view.next].in_part->number == "3"); // to come in from
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
        const test::TemporaryFolder folder;
        const auto file = folder / "bellhand_no_music.musicxml";
        std::ofstream(file) << "<score-partwise><part-list/></score-partwise>";
        test::Room room;
        room.desk->pages().part.take_file(file);
        CHECK(room.desk->pages().part.stage() == PartPage::Stage::empty);
        CHECK_FALSE(room.desk->pages().part.problem().empty());
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

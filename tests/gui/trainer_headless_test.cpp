// The trainer's pages drawn without a window, full, empty and in trouble, at every size of type.
#include "support/fake_ear.h"
#include "support/fake_shelf.h"
#include "support/stage.h"

#include <array>
#include <string_view>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

/// Long names, many rows, every kind of step: what fills a page.
std::shared_ptr<test::FakeShelf> full_shelf() {
    auto shelf = std::make_shared<test::FakeShelf>();
    drill::Exercise exercise = test::exercise_of(
        "An exercise with a title that is longer than any row of the list is wide, and then some",
        {"C4", "E3", "C2", "G4", "F#4", "Ab4", "C6", "E6", "G6", "C5", "Bb4", "F4", "D5", "A5"});
    exercise.quarters_per_minute = 60.0;
    exercise.purpose = "Fills the page with everything that can stand on it, one under the other.";
    exercise.steps[0].hairpin = drill::Hairpin::growing_and_fading;
    exercise.steps[0].dynamic = drill::Dynamic::ff;
    exercise.steps[1].hand_first = true;
    exercise.steps[2].manner = drill::Manner::slow_closing;
    exercise.steps[3].slurred = true;
    exercise.steps[4].quarters = 0.25;
    exercise.steps[5].quarters = 3.0;
    exercise.steps[6].quarters = 0.0;
    for (int i = 0; i < 30; ++i) {
        shelf->next_plan.blocks.push_back(test::block_of(exercise, 200.0));
        shelf->all.push_back(exercise);
        logbook::SessionRecord session;
        session.id = i + 1;
        session.started_at = "2026-03-01T10:11:12Z";
        session.crook = "Bb-basso";
        session.notes = 123456;
        shelf->log.push_back(session);
        SessionContents& contents = shelf->contents[session.id];
        for (int k = 0; k < 20; ++k) {
            logbook::BlockRecord block;
            block.title = exercise.title;
            block.steps = 1000;
            contents.blocks.push_back(block);
            logbook::TakeRecord take;
            take.id = k;
            take.session = session.id;
            take.why = exercise.title;
            take.bytes = 123456789;
            contents.takes.push_back(take);
            logbook::CommentRecord comment;
            comment.text = exercise.purpose + " " + exercise.purpose;
            contents.comments.push_back(comment);
            logbook::NoteRecord note;
            note.note.start_s = k;
            note.note.deviation_cents = 10.0 * k - 100.0;
            contents.notes.push_back(note);
        }
        progress::TrendPoint point;
        point.label = "25 Nov 2026";
        point.figures = {10, -50.0 + 4.0 * i, 20.0, 0.5};
        shelf->past.trend.push_back(point);
        logbook::DaySums day;
        day.playing_s = 100.0 * i;
        day.rest_s = 90.0 * i;
        shelf->past.time.days.push_back(day);
    }
    progress::CrookMap map;
    map.crook = "F";
    map.label = "B♭ basso";
    for (const horn::ChartEntry& entry : horn::hand_chart()) {
        map.notes.push_back({entry.written, entry.usual().hand, {99999, -80.0, 60.0, 0.3}});
    }
    shelf->past.maps = {map, map};
    progress::Transition transition;
    transition.crook = "F";
    shelf->past.hardest.assign(20, transition);
    return shelf;
}

DeskStart start_with(std::shared_ptr<test::FakeShelf> shelf) {
    DeskStart start;
    start.input.kind = InputChoice::Kind::demo;
    start.shelf = std::move(shelf);
    return start;
}

void press(Desk& desk, Key key) {
    Press pressed;
    pressed.key = key;
    desk.press(pressed);
}

void type(Desk& desk, std::string_view characters) {
    for (const char character : characters) {
        Press pressed;
        pressed.character = static_cast<char32_t>(character);
        desk.press(pressed);
    }
}

} // namespace

TEST_SUITE("gui/trainer without a window") {
    TEST_CASE("full pages stay inside every window at every size of type") {
        for (const auto& [width, height] : {std::array{1280.0F, 800.0F},
                                            std::array{1920.0F, 1080.0F},
                                            std::array{640.0F, 480.0F},
                                            std::array{480.0F, 900.0F}}) {
            for (const double scale : {0.75, 1.0, 1.5, 3.0}) {
                CAPTURE(width);
                CAPTURE(height);
                CAPTURE(scale);
                test::FakeEar ear;
                test::Stage stage(width, height, scale);
                Desk desk(ear.ear(), start_with(full_shelf()));
                const auto drawn = [&](const char* what) {
                    CAPTURE(what);
                    CHECK(stage.frame(desk) > 40);
                    CHECK(stage.stray_corners() == 0);
                };
                desk.show(Screen::progress);
                drawn("progress");
                desk.show(Screen::log);
                drawn("log");
                press(desk, Key::enter);
                drawn("takes");
                type(desk, "w");
                type(desk, "a comment");
                drawn("comment");
                press(desk, Key::escape);
                desk.show(Screen::today);
                drawn("today");
                press(desk, Key::end);
                drawn("the last block");
                press(desk, Key::home);
                type(desk, " ");
                REQUIRE(desk.screen() == Screen::run);
                drawn("waiting");
                press(desk, Key::page_down);
                drawn("the next block");
                type(desk, " ");
                drawn("paused");
                press(desk, Key::escape);
                CHECK(desk.screen() == Screen::today);
            }
        }
    }

    TEST_CASE("empty pages and pages in trouble say so inside the window") {
        for (const bool trouble : {false, true}) {
            CAPTURE(trouble);
            test::FakeEar ear;
            auto shelf = std::make_shared<test::FakeShelf>();
            shelf->refuses =
                trouble ? "The log is locked by another program: close it, then try again." : "";
            test::Stage stage(1280.0F, 800.0F);
            Desk desk(ear.ear(), start_with(shelf));
            for (const Screen screen : {Screen::today, Screen::progress, Screen::log}) {
                CAPTURE(name_of(screen));
                desk.show(screen);
                CHECK(stage.frame(desk) > 40);
                CHECK(stage.stray_corners() == 0);
            }
        }
    }

    TEST_CASE("a click on a block of the plan chooses it") {
        test::FakeEar ear;
        test::Stage stage(1280.0F, 800.0F);
        Desk desk(ear.ear(), start_with(full_shelf()));
        desk.show(Screen::today);
        stage.click(desk, 300.0F, 420.0F);
        CHECK(desk.pages().today.chosen() > 0);
    }
}

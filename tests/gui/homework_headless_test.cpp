// The homework screen drawn without a window, full, empty and in trouble, at every size of type.
#include "support/fake_ear.h"
#include "support/fake_shelf.h"
#include "support/set_work.h"
#include "support/stage.h"

#include <array>
#include <string_view>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

constexpr const char* kLong =
    "Words of a length that no list is wide enough for, as they come when "
    "somebody writes down all that came to mind in a lesson";

homework::Homework full_homework() {
    homework::Homework homework = test::set_work(12);
    homework.title = homework.teacher = homework.student = homework.words = kLong;
    for (homework::Task& task : homework.tasks) {
        task.exercise.title = task.words = kLong;
        task.first_step = 4;
        task.last_step = 7;
        task.quarters_per_minute = 72.5;
        task.tolerance_factor = 0.5;
        task.repetitions = 50;
        task.times = 50;
    }
    return homework;
}

homework::Return full_return() {
    homework::Return back;
    back.words = kLong;
    back.returned_at = "2026-03-05T10:00:00Z";
    for (std::uint32_t i = 0; i < 12; ++i) {
        homework::Attempt attempt;
        attempt.task = i;
        attempt.crook = "Bb-basso";
        attempt.done_at = "2026-03-04T10:00:00Z";
        for (std::uint32_t step = 0; step < 200; ++step) {
            attempt.steps.push_back(test::judged(
                step % 4,
                {drill::Fault::wrong_note, drill::Fault::wrong_hand, drill::Fault::attack_flat}));
            attempt.steps.back().held_cents = -110.0;
        }
        back.attempts.push_back(attempt);
    }
    homework::Take take;
    take.attempt = 0;
    take.duration_s = 3599.0;
    take.why = kLong;
    back.takes = {take, take};
    back.takes[1].attempt.reset();
    return back;
}

std::shared_ptr<test::FakeShelf> full_shelf() {
    auto shelf = std::make_shared<test::FakeShelf>();
    for (int i = 0; i < 20; ++i) {
        shelf->all.push_back(full_homework().tasks.front().exercise);
        homework::Given given;
        given.homework = full_homework();
        given.homework.id += std::to_string(i);
        given.done.assign(given.homework.tasks.size(), i);
        shelf->work.to_do.push_back(given);
        homework::WorkTake take;
        take.take.id = i;
        take.take.why = kLong;
        take.take.duration_s = 3599.0;
        take.usual = i % 2 == 0;
        shelf->work.work_takes["week-one0"].push_back(take);
        homework::Filed filed;
        filed.file = "/set/" + std::to_string(i) + ".hornwork";
        filed.homework = full_homework();
        filed.problem = i == 19 ? kLong : "";
        if (i == 0) {
            filed.homework.returned = full_return();
            for (int k = 0; k < 30; ++k) {
                homework::Comment comment;
                comment.text = kLong;
                comment.take = 0;
                comment.at_s = 3.0;
                filed.homework.comments.push_back(comment);
            }
        }
        shelf->work.files.push_back(filed);
    }
    return shelf;
}

Desk& press(Desk& desk, Key key) {
    Press pressed;
    pressed.key = key;
    desk.press(pressed);
    return desk;
}

Desk& type(Desk& desk, std::string_view characters) {
    for (const char character : characters) {
        Press pressed;
        pressed.character = static_cast<char32_t>(character);
        desk.press(pressed);
    }
    return desk;
}

} // namespace

TEST_SUITE("gui/homework without a window") {
    TEST_CASE("a full page stays inside every window at every size of type") {
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
                DeskStart start;
                start.shelf = full_shelf();
                Desk desk(ear.ear(), start);
                desk.show(Screen::homework);
                const auto drawn = [&](const char* what) {
                    CAPTURE(what);
                    CHECK(stage.frame(desk) > 40);
                    CHECK(stage.stray_corners() == 0);
                };
                drawn("to be done");
                press(desk, Key::enter);
                press(desk, Key::end);
                drawn("takes");
                press(desk, Key::escape);
                type(type(desk, "w"), kLong);
                drawn("writing");
                press(desk, Key::enter);
                type(desk, "s");
                drawn("given back");
                press(desk, Key::end);
                drawn("unreadable");
                press(desk, Key::up);
                drawn("set");
                press(desk, Key::enter);
                REQUIRE(desk.pages().homework.inner() == HomeworkPage::Inner::compose);
                drawn("composing");
                press(desk, Key::enter);
                drawn("writing a field");
                press(desk, Key::escape);
                press(desk, Key::end);
                drawn("a task");
                press(press(desk, Key::enter), Key::end);
                drawn("how it is played");
                type(desk, "e");
                drawn("choosing an exercise");
                type(desk, "nothing holds these words");
                drawn("nothing found");
                press(press(desk, Key::escape), Key::escape);
                CHECK(desk.pages().homework.inner() == HomeworkPage::Inner::list);
                press(desk, Key::home);
                for (int row = 0; row < 20; ++row) {
                    press(desk, Key::down);
                }
                press(desk, Key::enter);
                REQUIRE(desk.pages().homework.inner() == HomeworkPage::Inner::review);
                drawn("what came back");
                press(desk, Key::enter);
                drawn("its comments");
                press(press(desk, Key::escape), Key::down);
                drawn("an attempt");
                press(press(desk, Key::enter), Key::end);
                type(desk, "p");
                drawn("a note that sounds");
                type(type(desk, "w"), kLong);
                drawn("writing on a note");
                press(press(press(desk, Key::escape), Key::escape), Key::end);
                drawn("a take");
            }
        }
    }

    TEST_CASE("an empty page and one in trouble say so inside the window") {
        for (const bool trouble : {false, true}) {
            CAPTURE(trouble);
            test::FakeEar ear;
            DeskStart start;
            auto shelf = std::make_shared<test::FakeShelf>();
            shelf->work.refuses = trouble ? "The log is locked by another program." : "";
            start.shelf = shelf;
            Desk desk(ear.ear(), start);
            desk.show(Screen::homework);
            test::Stage stage(1280.0F, 800.0F);
            CHECK(stage.frame(desk) > 40);
            CHECK(stage.stray_corners() == 0);
        }
    }

    TEST_CASE("a click on a homework chooses it, one on a take goes to the takes") {
        test::FakeEar ear;
        DeskStart start;
        start.shelf = full_shelf();
        Desk desk(ear.ear(), start);
        desk.show(Screen::homework);
        test::Stage stage(1280.0F, 800.0F);
        HomeworkPage& page = desk.pages().homework;
        stage.click(desk, 900.0F, 560.0F);
        CHECK(page.work().on_takes());
        press(desk, Key::escape);
        stage.click(desk, 200.0F, 270.0F);
        CHECK(page.chosen() > 0);
    }
}

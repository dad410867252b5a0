#include "homework/teacher.h"

#include "support/set_work.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::homework;

namespace {

std::vector<std::string> titles(const Homework& homework) {
    std::vector<std::string> titles;
    for (const Task& task : homework.tasks) {
        titles.push_back(task.exercise.title);
    }
    return titles;
}

Attempt attempt_of(std::uint32_t task, int right, int wrong) {
    Attempt attempt;
    attempt.task = task;
    for (int i = 0; i < right + wrong; ++i) {
        attempt.steps.push_back(test::judged(static_cast<std::uint32_t>(i),
                                             i < wrong ? std::vector{drill::Fault::flat}
                                                       : std::vector<drill::Fault>{}));
    }
    return attempt;
}

} // namespace

TEST_SUITE("homework/teacher") {
    TEST_CASE("figures of an attempt count what was as asked, and how far off the notes were") {
        Attempt attempt = attempt_of(0, 3, 2);
        const double off[] = {-4.0, 1.0, 12.0, -2.0, 3.0};
        for (std::size_t i = 0; i < 5; ++i) {
            attempt.steps[i].held_cents = off[i];
        }
        AttemptFigures figures = figures_of(attempt);
        CHECK(figures.steps == 5);
        CHECK(figures.good == 3);
        CHECK(figures.median_off_cents == 3.0);
        attempt.steps[3].known_within_cents = 18.0; // so far nobody knows where it lay
        CHECK(figures_of(attempt).median_off_cents == 4.0);
        attempt.steps[3].known_within_cents = 0.0;
        attempt.steps[2].played = false; // its cents mean nothing then
        figures = figures_of(attempt);
        CHECK(figures.good == 2);
        CHECK(figures.median_off_cents == 3.0);
        attempt.steps[0].extra = attempt.steps[4].extra = true;
        CHECK(figures_of(attempt).median_off_cents == 2.0);
        CHECK_FALSE(figures_of(Attempt{}).median_off_cents);
    }

    TEST_CASE("bars lead to their steps and the steps back to their bars") {
        Task task;
        task.exercise = test::four_bars();
        CHECK_FALSE(bars_of(task));
        for (int first = 1; first <= 4; ++first) {
            for (int last = first; last <= 4; ++last) {
                const auto steps = steps_of_bars(task.exercise, first, last);
                REQUIRE(steps);
                task.first_step = steps->first;
                task.last_step = steps->second;
                CHECK(bars_of(task) == std::pair(first, last));
            }
        }
        task.first_step = 1; // inside the first bar
        task.last_step.reset();
        CHECK_FALSE(bars_of(task));
        task.first_step = 4;
        CHECK(bars_of(task) == std::pair(2, 4));
        task.last_step = 13; // inside the last
        CHECK_FALSE(bars_of(task));
        task.exercise.steps[15].quarters = 5.0; // the last note reaches over a fifth bar
        task.last_step.reset();
        CHECK(bars_in(task.exercise) == 5);
        CHECK(bars_of(task) == std::pair(2, 5));
        CHECK(steps_of_bars(task.exercise, 2, 5).value() == std::pair(4U, 15U));
        CHECK_FALSE(steps_of_bars(task.exercise, 5, 5)); // no note begins there
        task.exercise.steps[3].quarters = 0.0;           // as long as one likes
        task.last_step = 15;
        CHECK_FALSE(bars_of(task));
    }

    TEST_CASE("every change of a draft is undone and done again, back to the beginning") {
        Draft draft(test::set_work(2));
        Task third;
        third.exercise = test::four_bars();
        third.exercise.title = "third";
        REQUIRE(draft.add_task(third));
        REQUIRE(draft.move_task(2, 0));
        REQUIRE(draft.remove_task(1));
        Homework slowly = draft.now();
        slowly.tasks[0].words = "slowly";
        draft.change(slowly);
        CHECK(titles(draft.now()) == std::vector<std::string>{"third", "Four bars 2"});
        CHECK(draft.now().tasks[0].words == "slowly");
        CHECK_FALSE(draft.redo());

        REQUIRE(draft.undo());
        CHECK(draft.now().tasks[0].words.empty());
        REQUIRE(draft.undo());
        CHECK(titles(draft.now()) ==
              std::vector<std::string>{"third", "Four bars 1", "Four bars 2"});
        REQUIRE(draft.undo());
        REQUIRE(draft.undo());
        CHECK(titles(draft.now()) == std::vector<std::string>{"Four bars 1", "Four bars 2"});
        CHECK_FALSE(draft.undo());

        for (int i = 0; i < 4; ++i) {
            REQUIRE(draft.redo());
        }
        CHECK(draft.now().tasks[0].words == "slowly");
        REQUIRE(draft.undo());
        REQUIRE(draft.remove_task(0)); // another way from here: what was undone is gone
        CHECK_FALSE(draft.redo());
    }

    TEST_CASE("a draft refuses tasks that are not there and more than fit, and stays as it was") {
        Draft draft(test::set_work(static_cast<int>(kMostTasks)));
        CHECK_FALSE(draft.add_task({}));
        CHECK_FALSE(draft.remove_task(kMostTasks));
        CHECK_FALSE(draft.move_task(0, kMostTasks));
        CHECK_FALSE(draft.move_task(kMostTasks, 0));
        CHECK_FALSE(draft.undo());
        CHECK(draft.now().tasks.size() == kMostTasks);
    }

    TEST_CASE("a very long history forgets its beginning, never its end") {
        Draft draft(test::set_work());
        for (int i = 0; i < 500; ++i) {
            Homework next = draft.now();
            next.title = std::to_string(i);
            draft.change(next);
        }
        CHECK(draft.now().title == "499");
        int back = 0;
        while (draft.undo()) {
            ++back;
        }
        CHECK(back == 199);
        CHECK(draft.now().title == "300");
    }

    TEST_CASE("bars become steps, both ends included, pick-up notes and rests counted") {
        drill::Exercise exercise = test::four_bars();
        CHECK(steps_of_bars(exercise, 1, 1).value() == std::pair{0U, 3U});
        CHECK(steps_of_bars(exercise, 2, 3).value() == std::pair{4U, 11U});
        CHECK(steps_of_bars(exercise, 4, 4).value() == std::pair{12U, 15U});
        exercise.metre.beats = 8;
        CHECK(steps_of_bars(exercise, 2, 2).value() == std::pair{8U, 15U});
        exercise.steps[0].quarters = 4.0; // 19 quarters in all: the last bar is not full
        CHECK(steps_of_bars(exercise, 3, 3).value() == std::pair{13U, 15U});
    }

    TEST_CASE("bars that are not there, and exercises without bars, are refused in a sentence") {
        drill::Exercise exercise = test::four_bars();
        for (const auto& [first, last] : {std::pair{0, 1}, {3, 2}, {4, 5}, {5, 5}}) {
            const auto steps = steps_of_bars(exercise, first, last);
            REQUIRE_FALSE(steps);
            CHECK(steps.error().message.find("the bars 1 to 4") != std::string::npos);
        }
        exercise.steps[0].quarters = 0.0;
        CHECK(steps_of_bars(exercise, 1, 1).error().message.find("no bars") != std::string::npos);
    }

    TEST_CASE("what went wrong is told with the place in the take that holds it") {
        Homework homework = test::set_work();
        homework.returned.emplace();
        Attempt attempt = attempt_of(0, 4, 0);
        attempt.steps[1].faults = {drill::Fault::sharp};
        attempt.steps[2].played = false;
        attempt.steps[2].faults = {drill::Fault::missed};
        attempt.steps[3].extra = true;
        homework.returned->attempts = {attempt};
        Take take;
        take.attempt = 0;
        take.starts_s = -1.0;
        take.duration_s = 3.5; // ends before the fourth note
        homework.returned->takes = {take};
        const auto wrong = what_went_wrong(homework);
        REQUIRE(wrong.size() == 3);
        CHECK(wrong[0].take == std::size_t{0});
        CHECK(wrong[0].in_take_s == doctest::Approx(2.0));
        CHECK_FALSE(wrong[1].take); // what was not played is nowhere
        CHECK_FALSE(wrong[2].take);
    }

    TEST_CASE(
        "the next homework asks for what went wrong in the newest attempt, or was not played") {
        Homework homework = test::set_work(4);
        homework.returned.emplace();
        homework.comments.push_back({});
        // Task 1 went well, task 2 got better, task 3 got worse, task 4 was never played.
        homework.returned->attempts = {attempt_of(0, 20, 2),
                                       attempt_of(1, 5, 5),
                                       attempt_of(2, 20, 0),
                                       attempt_of(1, 19, 1),
                                       attempt_of(2, 8, 2)};
        const Homework next = next_after(homework);
        CHECK(titles(next) == std::vector<std::string>{"Four bars 3", "Four bars 4"});
        CHECK(next.follows == "week-one");
        CHECK(next.id.empty());
        CHECK(next.due_on.empty());
        CHECK_FALSE(next.returned);
        CHECK(next.comments.empty());
        CHECK(next.a4_hz == 430.0);
        CHECK(next.temperament == "vallotti");
    }

    TEST_CASE("when all went well the next homework is the whole again, to be changed") {
        Homework homework = test::set_work(2);
        homework.returned.emplace();
        homework.returned->attempts = {attempt_of(0, 10, 1), attempt_of(1, 10, 0)};
        CHECK(next_after(homework).tasks.size() == 2);
    }

    TEST_CASE("comments need words, and a place that is there") {
        Homework homework = test::set_work();
        homework.returned.emplace();
        homework.returned->takes.resize(1);
        homework.returned->takes[0].duration_s = 5.0;
        Comment comment;
        CHECK_FALSE(add_comment(homework, comment));
        comment.text = "Support this.";
        comment.take = 0;
        comment.at_s = 5.1;
        CHECK_FALSE(add_comment(homework, comment));
        comment.at_s = 5.0;
        CHECK(add_comment(homework, comment));
        comment.take = 1;
        CHECK_FALSE(add_comment(homework, comment));
        comment.take.reset();
        comment.task = 1;
        CHECK_FALSE(add_comment(homework, comment));
        comment.task = 0;
        while (homework.comments.size() < kMostComments) {
            REQUIRE(add_comment(homework, comment));
        }
        CHECK_FALSE(add_comment(homework, comment));
    }

    TEST_CASE("the same draft has the same id, another one another") {
        Homework homework = test::set_work();
        homework.title = "Stopped Notes, & \xC3\xA9t\xC3\xBC"
                         "des!";
        const std::string id = make_id(homework);
        CHECK(make_id(homework) == id);
        CHECK(id.rfind("stopped-notes-", 0) == 0);
        CHECK(id.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-") == std::string::npos);
        homework.a4_hz = 440.0;
        CHECK(make_id(homework) != id);
    }
}

#include "homework/homework.h"

#include "homework/counting.h"
#include "homework/teacher.h"
#include "support/set_work.h"
#include "trainer/tolerance.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::homework;

TEST_SUITE("homework/homework") {
    TEST_CASE("a task is its stretch with its own tempo, repetitions, crook and tolerances") {
        Task task;
        task.exercise = test::four_bars();
        task.exercise.steps[4].slurred = true;
        task.exercise.each_crook = true;
        task.first_step = 4;
        task.last_step = 7;
        task.crook = *horn::parse_crook("Eb");
        task.quarters_per_minute = 90.0;
        task.repetitions = 3;
        task.tolerance_factor = 2.0;
        task.exercise.steps[5].tolerance_cents = 7.0;
        const drill::Exercise exercise = exercise_of(task);
        REQUIRE(exercise.steps.size() == 4);
        CHECK(exercise.steps[0].written == horn::parse_note("D4").value());
        CHECK_FALSE(exercise.steps[0].slurred);
        CHECK(exercise.crooks == std::vector{horn::parse_crook("Eb")->transposition});
        CHECK_FALSE(exercise.each_crook); // on the one that the teacher chose
        CHECK(exercise.quarters_per_minute == 90.0);
        CHECK(exercise.repetitions == 3);
        CHECK_FALSE(exercise.steps[0].tolerance_cents.has_value()); // the student's own, times two
        CHECK(exercise.steps[1].tolerance_cents == 14.0);
    }

    TEST_CASE("a task is played at the homework's pitch, on its own crook or the student's") {
        const Homework homework = test::set_work();
        Task task = homework.tasks[0];
        const horn::Crook d = *horn::parse_crook("D");
        CHECK(tuning_of(homework, task, d).crook == d);
        task.crook = *horn::parse_crook("G");
        const horn::Tuning tuning = tuning_of(homework, task, d);
        CHECK(tuning.crook == *task.crook);
        CHECK(tuning.a4_hz == 430.0);
        CHECK(tuning.temperament == horn::parse_temperament("vallotti").value());
    }

    TEST_CASE("files of the first version keep their meaning, and say it") {
        std::string text = homework_text(test::set_work());
        CHECK(parse_homework(text, "file")->tasks[0].time_is == TimeIs::once_through);
        CHECK(times_words(parse_homework(text, "file")->tasks[0]) == "once through");
        text.replace(text.find("\"version\": 2"), 12, "\"version\": 1");
        const auto old = parse_homework(text, "file");
        REQUIRE(old);
        CHECK(old->tasks[0].time_is == TimeIs::block);
        CHECK(times_words(old->tasks[0]).find("older files") != std::string::npos);
        // Written again it is a file of now that means the same.
        const auto again = parse_homework(homework_text(*old), "file");
        REQUIRE(again);
        CHECK(again->tasks[0].time_is == TimeIs::block);
    }

    TEST_CASE("words may have paragraphs; what would write elsewhere on a terminal is refused") {
        Homework homework = test::set_work();
        homework.words = "First listen.\nThen play.\n\nThen rest.";
        CHECK(parse_homework(homework_text(homework), "file")->words == homework.words);
        for (const char* const bad : {"\x1b[2J",
                                      "\xC2\x9B"
                                      "31m",
                                      "a\xE2\x80\xAE"
                                      "b",
                                      "a\xE2\x81\xA6"
                                      "b",
                                      "\a"}) {
            homework.words = bad;
            CHECK_FALSE(parse_homework(homework_text(homework), "file"));
            homework.words.clear();
            homework.title = bad;
            CHECK_FALSE(parse_homework(homework_text(homework), "file"));
            homework.title = "Week one";
        }
        homework.title = "Two\nlines";
        CHECK_FALSE(parse_homework(homework_text(homework), "file"));
        homework.title = "Week one";
        Comment comment;
        comment.text = "Listen.\r\n\x1b[31mNow\xE2\x80\xAE.";
        CHECK_FALSE(add_comment(homework, comment));
        comment.text = "Listen.\r\n\r\nAgain?";
        REQUIRE(add_comment(homework, comment));
        CHECK(homework.comments[0].text == "Listen.\n\nAgain?");
        CHECK(parse_homework(homework_text(homework), "file"));
    }

    TEST_CASE("a homework that can be given has no problems; each thing wrong has its sentence") {
        CHECK(problems(test::set_work(3)).empty());
        struct Case {
            const char* words;
            void (*spoil)(Homework&);
        };
        const Case kCases[] = {
            {"no title", [](Homework& h) { h.title.clear(); }},
            {"asks for nothing", [](Homework& h) { h.tasks.clear(); }},
            {"more than the 40", [](Homework& h) { h.tasks.resize(41, h.tasks[0]); }},
            {"is not a date", [](Homework& h) { h.due_on = "2026-02-29"; }},
            {"before it is written", [](Homework& h) { h.due_on = "2026-02-28"; }},
            {"steps that the exercise does not have",
             [](Homework& h) { h.tasks[0].last_step = 16; }},
            {"steps that the exercise does not have",
             [](Homework& h) {
                 h.tasks[0].first_step = 5;
                 h.tasks[0].last_step = 4;
             }},
            {"cannot be played on",
             [](Homework& h) {
                 h.tasks[0].exercise.steps[0].written = *horn::parse_note("G6");
                 h.tasks[0].crook = *horn::parse_crook("Bb-alto");
             }},
            {"cannot be run",
             [](Homework& h) {
                 for (drill::Step& step : h.tasks[0].exercise.steps) {
                     step.written.reset();
                 }
             }},
        };
        for (const Case& one : kCases) {
            Homework homework = test::set_work();
            one.spoil(homework);
            const auto found = problems(homework);
            CAPTURE(one.words);
            REQUIRE(found.size() == 1);
            CAPTURE(found[0]);
            CHECK(found[0].find(one.words) != std::string::npos);
            CHECK(found[0].back() == '.');
        }
    }

    TEST_CASE("what is written is read again, the same bytes") {
        Homework homework = test::set_work(2);
        homework.tasks[1].first_step = 4;
        homework.tasks[1].last_step = 7;
        homework.tasks[1].crook = *horn::parse_crook("Eb");
        homework.tasks[1].times = 3;
        homework.returned.emplace();
        Attempt attempt;
        attempt.task = 1;
        attempt.done_at = "2026-03-02T10:11:12Z";
        attempt.crook = "Eb";
        attempt.temperament = "vallotti";
        attempt.finished = true;
        attempt.steps = {test::judged(0),
                         test::judged(1, {drill::Fault::flat, drill::Fault::late})};
        attempt.steps[1].timing_s = 0.12;
        attempt.steps[1].heard = *horn::parse_note("D4");
        homework.returned->attempts = {attempt};
        Take take;
        take.attempt = 0;
        take.duration_s = 3.0;
        homework.returned->takes = {take};
        Comment comment;
        comment.take = 0;
        comment.at_s = 1.5;
        comment.note = *horn::parse_note("C4");
        comment.text = "Listen.";
        homework.comments = {comment};
        const std::string text = homework_text(homework);
        const auto again = parse_homework(text, "file");
        REQUIRE(again);
        CHECK(homework_text(*again) == text);
        CHECK(again->returned->attempts[0].steps[1].faults ==
              std::vector{drill::Fault::flat, drill::Fault::late});
    }
}

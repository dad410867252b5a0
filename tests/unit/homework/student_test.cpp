#include "homework/student.h"

#include "homework/counting.h"
#include "logbook/logbook.h"
#include "support/set_work.h"
#include "support/temporary_folder.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::homework;

namespace {

constexpr const char* kOpened = "2026-03-01T08:00:00Z";

struct Student {
    test::TemporaryFolder folder;
    std::unique_ptr<logbook::Logbook> book = logbook::Logbook::open(folder / "log.sqlite").value();

    void open(const Homework& homework) { REQUIRE(take_in(Package(homework), kOpened, *book)); }
    /// One block of a task, in a session of its own.
    void
    play(const std::string& homework, int task, bool finished, const char* day = "2026-03-02") {
        logbook::SessionRecord session;
        session.started_at = std::string(day) + "T10:00:00Z";
        const auto id = book->begin_session(session).value();
        logbook::BlockRecord block;
        block.homework = homework;
        block.homework_part = task;
        block.finished = finished;
        block.crook = "F";
        block.a4_hz = 430.0;
        block.temperament = "vallotti";
        REQUIRE(book->put_block(id, block));
        logbook::JudgedStep step;
        step.asked = *horn::parse_note("C4");
        step.judgement.faults = {drill::Fault::missed};
        REQUIRE(book->put_step(id, 0, step));
    }
    /// All 16 notes so many times in one block, then `more` of the next time; whole or broken off is the same.
    void play_through(const std::string& homework, int task, int times, std::uint32_t more = 0) {
        logbook::SessionRecord session;
        session.started_at = "2026-03-02T11:00:00Z";
        const auto id = book->begin_session(session).value();
        logbook::BlockRecord block;
        block.homework = homework;
        block.homework_part = task;
        block.duration_s = 16.0 * times + more;
        REQUIRE(book->put_block(id, block));
        const auto all = static_cast<std::uint32_t>(16 * times) + more;
        for (std::uint32_t i = 0; i < all; ++i) {
            logbook::JudgedStep step;
            step.number = i;
            step.asked = *horn::parse_note("C4");
            step.judgement.step = i % 16;
            step.judgement.pass = i / 16;
            step.judgement.played = true;
            step.judgement.note.index = i;
            if (i % 5 == 0) {
                step.judgement.faults = {drill::Fault::flat};
            }
            REQUIRE(book->put_step(id, 0, step));
        }
    }
    [[nodiscard]] std::vector<skill::SetWork> left(const char* today = "2026-03-02") const {
        return still_to_do(today, *book).value();
    }
};

} // namespace

TEST_SUITE("homework/student") {
    TEST_CASE("what was opened is asked for, with all that the teacher wished") {
        Student student;
        Homework homework = test::set_work(2);
        homework.tasks[0].crook = *horn::parse_crook("Eb");
        homework.tasks[0].repetitions = 3;
        homework.tasks[0].tolerance_factor = 0.5;
        homework.tasks[0].times = 2;
        homework.tasks[1].first_step = 4;
        homework.tasks[1].last_step = 7;
        student.open(homework);
        const auto left = student.left("2026-03-05");
        REQUIRE(left.size() == 2);
        CHECK(left[0].homework == "week-one");
        CHECK(left[0].crook == *horn::parse_crook("Eb"));
        CHECK(left[0].a4_hz == 430.0);
        CHECK(left[0].temperament == horn::parse_temperament("vallotti").value());
        CHECK(left[0].repetitions == 3);
        CHECK(left[0].tolerance_factor == 0.5);
        CHECK(left[1].tolerance_factor == 1.0);
        CHECK(left[0].times_left == 2);
        CHECK(left[0].due_on == "2026-03-08");
        CHECK(left[0].days_left == 3.0);
        CHECK(left[1].task == 1);
        CHECK(left[1].exercise.steps.size() == 4);
        CHECK_FALSE(left[1].crook);
        CHECK_FALSE(left[1].repetitions);
        CHECK(student.left("2026-03-10")[0].days_left == -2.0);
    }

    TEST_CASE("of an older file a task is done when so many blocks were finished, broken-off ones "
              "apart") {
        Student student;
        Homework homework = test::set_work(2);
        homework.tasks[0].times = 2;
        homework.tasks[0].time_is = homework.tasks[1].time_is = TimeIs::block;
        student.open(homework);
        student.play("week-one", 0, false);
        student.play("another", 0, true);
        student.play(
            "week-one", 0, true, "2026-02-28"); // before it was opened: of another log's past
        CHECK(student.left()[0].times_left == 2);
        student.play("week-one", 0, true);
        CHECK(student.left()[0].times_left == 1);
        student.play("week-one", 0, true);
        student.play("week-one", 0, true);
        const auto left = student.left();
        REQUIRE(left.size() == 1);
        CHECK(left[0].task == 1);
    }

    TEST_CASE("a time is once through all notes, however many blocks it took") {
        Student student;
        Homework homework = test::set_work();
        homework.tasks[0].times = 4;
        student.open(homework);
        CHECK(student.left()[0].progress == "0 of 4 times played");
        student.play_through("week-one", 0, 2, 7); // broken off in the third time
        CHECK(student.left()[0].times_left == 2);
        CHECK(student.left()[0].progress == "2 of 4 times played");
        student.play_through("week-one", 0, 0, 9); // the other half of it is no whole
        CHECK(student.left()[0].times_left == 2);
        student.play_through("week-one", 0, 1);
        CHECK(student.left()[0].times_left == 1);
        ReturnWishes wishes;
        wishes.returned_at = "2026-03-03T10:00:00Z";
        const auto back = returned("week-one", wishes, student.folder / "log-takes", *student.book);
        REQUIRE(back);
        // The teacher reads what the student reads.
        const std::vector<int> done = times_done(back->homework());
        CHECK(done_words(homework.tasks[0], done[0]) == student.left()[0].progress);
        CHECK(times_done(Package::parse(back->bytes().value(), "file")->homework()) == done);
    }

    TEST_CASE("a time of minutes is so many minutes of playing") {
        Student student;
        Homework homework = test::set_work();
        homework.tasks[0].times = 2;
        homework.tasks[0].time_is = TimeIs::minutes;
        homework.tasks[0].minutes = 1.0;
        student.open(homework);
        student.play_through("week-one", 0, 3); // 48 s
        CHECK(student.left()[0].times_left == 2);
        CHECK(student.left()[0].minutes == 1.0);
        student.play_through("week-one", 0, 1);
        CHECK(student.left()[0].times_left == 1);
    }

    TEST_CASE("of ten notes one may be missing, of nine none") {
        drill::Exercise exercise = test::four_bars();
        for (const std::size_t notes : {16U, 10U, 9U}) {
            exercise.steps.resize(notes, exercise.steps[0]);
            for (const std::uint32_t missing : {0U, 1U, 2U}) {
                std::vector<CountedStep> steps;
                for (std::uint32_t i = missing; i < notes; ++i) {
                    steps.push_back({0, 0, i, true});
                }
                const bool counts = missing == 0 || (missing == 1 && notes >= 10);
                CHECK(complete_passes(exercise, steps) == (counts ? 1 : 0));
            }
        }
    }

    TEST_CASE("on several crooks a time is complete when it was played on each") {
        drill::Exercise exercise = test::four_bars();
        exercise.each_crook = true;
        exercise.crooks = {-7, -9};
        std::vector<CountedStep> steps;
        for (std::uint32_t i = 0; i < 16; ++i) {
            steps.push_back({0, 0, i, true});
        }
        CHECK(complete_passes(exercise, steps) == 0);
        for (std::uint32_t i = 0; i < 16; ++i) {
            steps.push_back({1, 0, i, true});
        }
        CHECK(complete_passes(exercise, steps) == 1);
    }

    TEST_CASE("a session in the bin does not count, and counts again when it is taken out") {
        Student student;
        student.open(test::set_work());
        student.play_through("week-one", 0, 1);
        CHECK(student.left().empty());
        REQUIRE(student.book->delete_session(1));
        CHECK(student.left().size() == 1);
        REQUIRE(student.book->restore_session(1));
        CHECK(student.left().empty());
    }

    TEST_CASE("what was returned is asked for no more") {
        Student student;
        student.open(test::set_work(2));
        student.play("week-one", 1, false);
        ReturnWishes wishes;
        wishes.returned_at = "2026-03-03T10:00:00Z";
        wishes.words = "The D is hard.";
        const auto back = returned("week-one", wishes, student.folder / "log-takes", *student.book);
        REQUIRE(back);
        const Return& figures = *back->homework().returned;
        REQUIRE(figures.attempts.size() == 1);
        CHECK(figures.attempts[0].task == 1);
        CHECK_FALSE(figures.attempts[0].finished);
        CHECK(figures.attempts[0].a4_hz == 430.0);
        REQUIRE(figures.attempts[0].steps.size() == 1);
        CHECK(figures.attempts[0].steps[0].faults == std::vector{drill::Fault::missed});
        CHECK(figures.words == "The D is hard.");
        CHECK(student.left().size() == 2); // the file is not written yet
        REQUIRE(mark_returned("week-one", wishes.returned_at, *student.book));
        CHECK(student.left().empty());
    }

    TEST_CASE("the same file twice changes nothing; another one of the same id is refused") {
        Student student;
        Homework homework = test::set_work();
        student.open(homework);
        CHECK(take_in(Package(homework), "2026-03-04T08:00:00Z", *student.book)->known);
        CHECK(student.book->homework().value()[0].received_at == kOpened);
        homework.words = "something else";
        const auto refused = take_in(Package(homework), kOpened, *student.book);
        REQUIRE_FALSE(refused);
        CHECK(refused.error().message.find("week-one") != std::string::npos);
        CHECK(from_log("week-one", *student.book)->words.empty());
        CHECK_FALSE(from_log("week-two", *student.book));
    }

    TEST_CASE("nothing played, nothing to return") {
        Student student;
        student.open(test::set_work());
        CHECK_FALSE(returned("week-one", {}, student.folder / "log-takes", *student.book));
        CHECK_FALSE(returned("unknown", {}, student.folder / "log-takes", *student.book));
        CHECK_FALSE(mark_returned("unknown", kOpened, *student.book));
    }
}

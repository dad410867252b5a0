#include "desk/store/homework_shelf.h"

#include "core/calendar.h"
#include "core/files.h"
#include "logbook/logbook.h"
#include "support/set_work.h"
#include "support/temporary_folder.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

namespace fs = std::filesystem;

/// A student with a log, and a homework file that lies somewhere else.
struct Student {
    test::TemporaryFolder folder;
    fs::path log = folder / "log.sqlite";
    fs::path file = folder / "mail.hornwork";
    std::unique_ptr<HomeworkShelf> shelf = real_homework_shelf(log);

    Student() { REQUIRE(homework::Package(test::set_work(2)).save(file)); }
    void play(int task) const {
        const auto book = logbook::Logbook::open(log).value();
        logbook::SessionRecord session;
        session.started_at = calendar::now_utc();
        const auto id = book->begin_session(session).value();
        logbook::BlockRecord block;
        block.homework = "week-one";
        block.homework_part = task;
        block.finished = true;
        block.crook = "F";
        block.a4_hz = 430.0;
        block.temperament = "vallotti";
        REQUIRE(book->put_block(id, block));
        for (std::uint32_t i = 0; i < 16; ++i) { // all notes of a task of test::set_work, once
            logbook::JudgedStep step;
            step.number = i;
            step.asked = *horn::parse_note("C4");
            step.judgement.step = i;
            step.judgement.played = true;
            step.judgement.note.index = i;
            REQUIRE(book->put_step(id, 0, step));
        }
    }
};

} // namespace

TEST_SUITE("gui/homework shelf") {
    TEST_CASE("a file goes from the teacher to the student, back, and back again with comments") {
        const Student student;
        const auto opened = student.shelf->take_file(student.file);
        REQUIRE(opened);
        CHECK(opened->as == OpenedHomework::As::given);
        CHECK_FALSE(opened->known);
        CHECK(student.shelf->take_file(student.file)->known);
        auto given = student.shelf->given().value();
        REQUIRE(given.size() == 1);
        CHECK(given[0].done == std::vector<int>{0, 0});
        const horn::Crook usual = *horn::parse_crook("D");
        auto blocks = student.shelf->work(given[0], usual);
        REQUIRE(blocks.size() == 2);
        CHECK(blocks[0].homework == "week-one");
        CHECK(blocks[0].crook == usual);
        CHECK(blocks[0].play_s > 0.0);
        CHECK(blocks[0].rest_s == blocks[0].play_s);
        CHECK(student.shelf->give_back("week-one", "", {}).error().message.find("Nothing of") == 0);

        student.play(1);
        given = student.shelf->given().value();
        CHECK(given[0].done == std::vector<int>{0, 1});
        CHECK(student.shelf->work(given[0], usual).size() == 1);
        CHECK(student.shelf->takes("week-one")->empty());
        const auto back = student.shelf->give_back("week-one", "Done.", {});
        REQUIRE(back);
        CHECK(student.shelf->given().value()[0].returned_at.size() == 20);
        CHECK(student.shelf->work(student.shelf->given().value()[0], usual).empty());

        // The teacher's machine has a log of its own.
        const test::TemporaryFolder elsewhere;
        const auto teacher = real_homework_shelf(elsewhere / "log.sqlite");
        const auto came = teacher->take_file(*back);
        REQUIRE(came);
        CHECK(came->as == OpenedHomework::As::returned);
        REQUIRE(teacher->filed().size() == 1);
        CHECK(teacher->filed()[0].file == came->file);
        CHECK(teacher->filed()[0].homework.returned->words == "Done.");
        homework::Comment comment;
        comment.text = "Good.";
        comment.task = 1;
        REQUIRE(teacher->put_comments(came->file, {comment}));
        CHECK(teacher->filed()[0].homework.comments.at(0).text == "Good.");

        const auto answered = student.shelf->take_file(came->file);
        REQUIRE(answered);
        CHECK(answered->as == OpenedHomework::As::answered);
    }

    TEST_CASE("words to the teacher are kept in the log until they go back") {
        const Student student;
        REQUIRE(student.shelf->take_file(student.file));
        CHECK(student.shelf->words("week-one")->empty());
        REQUIRE(student.shelf->keep_words("week-one", "Bar 3 is hard."));
        const auto later = real_homework_shelf(student.log);
        CHECK(later->words("week-one").value() == "Bar 3 is hard.");
        CHECK(later->words("week-two")->empty());
    }

    TEST_CASE("what was removed is restored whole") {
        const Student student;
        REQUIRE(student.shelf->take_file(student.file));
        const auto record = student.shelf->remove_given("week-one");
        REQUIRE(record);
        CHECK(student.shelf->given()->empty());
        REQUIRE(student.shelf->restore_given(*record));
        CHECK(student.shelf->given()->at(0).homework.tasks.size() == 2);

        const auto set = student.shelf->set(test::set_work(1));
        REQUIRE(set);
        REQUIRE(student.shelf->remove_file(*set));
        CHECK(student.shelf->filed().empty());
        REQUIRE(student.shelf->restore_file(*set));
        CHECK(student.shelf->filed().at(0).file == *set);
    }

    TEST_CASE("the player's profile goes back with the results, and a broken one is said") {
        const Student student;
        REQUIRE(student.shelf->take_file(student.file));
        student.play(0);
        const char* const root = std::getenv("BELLHAND_ROOT");
        const fs::path profile =
            fs::path(root != nullptr ? root : ".") / "assets/instruments/demo_coupler_horn.json";
        student.shelf->use_profile(profile);
        const auto back = student.shelf->give_back("week-one", "", {});
        REQUIRE(back);
        CHECK(homework::Package::load(*back)->homework().returned->profile);
        student.shelf->use_profile(student.folder / "no.json");
        const auto refused = student.shelf->give_back("week-one", "", {});
        REQUIRE_FALSE(refused);
        CHECK(refused.error().message.find("no.json") != std::string::npos);
    }

    TEST_CASE("a file that is no homework is refused, and nothing is left of it") {
        const Student student;
        REQUIRE(write_file_in_one_step(student.file, "PK but no archive"));
        const auto opened = student.shelf->take_file(student.file);
        REQUIRE_FALSE(opened);
        CHECK(opened.error().message.find("mail.hornwork") != std::string::npos);
        CHECK(student.shelf->given()->empty());
        CHECK(student.shelf->filed().empty());
    }

    TEST_CASE(
        "without a log nothing can be kept, and every question says so or answers with nothing") {
        const Student student;
        const auto shelf = real_homework_shelf(std::nullopt);
        CHECK(shelf->take_file(student.file).error().message.find("--log") != std::string::npos);
        CHECK(shelf->given()->empty());
        CHECK(shelf->filed().empty());
        CHECK_FALSE(shelf->draft()->has_value());
        CHECK_FALSE(shelf->set(test::set_work()));
        CHECK_FALSE(shelf->keep_draft(test::set_work()));
    }
}

#include "desk/pages/review_page.h"

#include "desk/model/verdict.h"
#include "support/fake_homework_shelf.h"
#include "support/keys.h"
#include "support/set_work.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

/// Two attempts of one task, the second one with a take that begins a second before it, and a take of something else.
struct OnDesk {
    test::FakeHomeworkShelf shelf;
    ReviewPage page{shelf};

    OnDesk() {
        homework::Filed filed;
        filed.file = "/set/back.hornwork";
        filed.homework = test::set_work(1);
        homework::Return& back = filed.homework.returned.emplace();
        for (int attempt = 0; attempt < 2; ++attempt) {
            homework::Attempt one;
            for (std::uint32_t step = 0; step < 6; ++step) {
                one.steps.push_back(test::judged(step,
                                                 step % 3 == 2 ? std::vector{drill::Fault::flat}
                                                               : std::vector<drill::Fault>{}));
            }
            back.attempts.push_back(one);
        }
        homework::Take take;
        take.attempt = 1;
        take.starts_s = -1.0;
        take.duration_s = 5.5; // the last step lies behind its end
        back.takes.push_back(take);
        take.attempt.reset();
        take.starts_s = 0.0;
        back.takes.push_back(take);
        homework::Comment student;
        student.who = homework::Who::student;
        student.text = "I was tired.";
        filed.homework.comments.push_back(student);
        shelf.files.push_back(filed);
        page.open(filed);
    }
    OnDesk& press(Key key) {
        Press press;
        press.key = key;
        page.press(press);
        page.refresh();
        return *this;
    }
    OnDesk& type(const char* words) {
        for (const char* c = words; *c != '\0'; ++c) {
            Press press;
            press.character = static_cast<char32_t>(*c);
            page.press(press);
            page.refresh();
        }
        return *this;
    }
    [[nodiscard]] const homework::Comment& newest() const { return page.now().comments.back(); }
};

} // namespace

TEST_SUITE("gui/review page") {
    TEST_CASE("the whole, each attempt and each other take have a row") {
        OnDesk desk;
        REQUIRE(desk.page.rows().size() == 4);
        CHECK(desk.page.attempt() == nullptr);
        desk.press(Key::down);
        CHECK(desk.page.attempt() == &desk.page.back().attempts[0]);
        CHECK(desk.page.steps() == std::vector<std::size_t>{2, 5});
        desk.type("f");
        CHECK(desk.page.steps().size() == 6);
        desk.press(Key::end);
        CHECK(desk.page.rows()[3].kind == ReviewPage::Row::Kind::take);
        CHECK(desk.page.steps().empty());
    }

    TEST_CASE("what went wrong is heard from a second before it, at half speed from where it is, "
              "and jumped in") {
        OnDesk desk;
        desk.page.choose(2);
        desk.press(Key::enter).type("p");
        CHECK(desk.shelf.heard_take == 0U);
        CHECK(desk.shelf.heard_from_s == 2.0); // step 2 lies at 2 s, in the take at 3
        CHECK(desk.shelf.status.speed == 1.0);
        desk.shelf.status.at_s = 2.75;
        desk.page.refresh();
        desk.type("h");
        CHECK(desk.shelf.heard_from_s == 2.75);
        CHECK(desk.shelf.status.speed == 0.5);
        desk.press(Key::right);
        CHECK(desk.shelf.heard_from_s == 4.75);
        desk.press(Key::right);
        CHECK(desk.shelf.heard_from_s == 5.5); // its end
        desk.type("p");
        CHECK_FALSE(desk.shelf.status.sounding);
        desk.press(Key::left); // back, now that nothing sounds
        CHECK(desk.page.focus() == ReviewPage::Focus::rows);
        CHECK_FALSE(desk.page.take_left());
    }

    TEST_CASE("what no take holds is not offered to be played") {
        OnDesk desk;
        desk.page.choose(1); // the attempt without a take
        desk.press(Key::enter).type("p");
        CHECK_FALSE(desk.shelf.heard_take);
        CHECK(line_for(desk.page.keys(), test::letter('p')) == nullptr);
        desk.page.choose(2);
        desk.press(Key::enter).press(Key::end).type("p");
        CHECK_FALSE(desk.shelf.heard_take); // behind the end of the take
    }

    TEST_CASE("a comment goes to the chosen place and into the file at once") {
        OnDesk desk;
        desk.page.choose(2);
        desk.press(Key::enter).type("w");
        CHECK(desk.page.writing());
        desk.type("Support it: n, c, x.").press(Key::enter);
        CHECK_FALSE(desk.page.writing());
        CHECK(desk.newest().text == "Support it: n, c, x.");
        CHECK(desk.newest().take == 0U);
        CHECK(desk.newest().at_s == 3.0);
        CHECK(desk.newest().note == desk.page.attempt()->steps[2].asked);
        CHECK(desk.newest().written_at == "2026-03-02T10:00:00Z");
        CHECK(desk.shelf.files[0].homework.comments.size() == 2);
        CHECK(desk.page.comments_here() == std::vector<std::size_t>{1});
        CHECK(desk.page.about_words(desk.newest()) == "on C4, take 1 at 0:03");
        desk.press(Key::end);
        CHECK(desk.page.comments_here().empty());

        desk.page.choose(1);
        desk.type("wOn the task.").press(Key::enter);
        CHECK(desk.newest().task == 0U);
        CHECK_FALSE(desk.newest().take);
        desk.page.choose(0);
        desk.type("wOn the whole.").press(Key::enter);
        CHECK_FALSE(desk.newest().task);
        CHECK(desk.page.comments_here().size() == 4);
    }

    TEST_CASE("while it sounds, a comment goes to where it is heard") {
        OnDesk desk;
        desk.page.choose(2);
        desk.type("p");
        desk.shelf.status.at_s = 4.25;
        desk.page.refresh();
        desk.type("wHere.").press(Key::enter);
        CHECK(desk.newest().take == 0U);
        CHECK(desk.newest().at_s == 4.25);
    }

    TEST_CASE("comments are rewritten, removed and brought back; the student's words stay") {
        OnDesk desk;
        desk.type("wFirst.").press(Key::enter);
        desk.press(Key::enter);
        REQUIRE(desk.page.focus() == ReviewPage::Focus::comments);
        desk.type("x"); // the student's
        CHECK(desk.page.now().comments.size() == 2);
        desk.press(Key::down).press(Key::enter).type(" And more.").press(Key::enter);
        CHECK(desk.newest().text == "First. And more.");
        desk.type("x");
        CHECK(desk.page.now().comments.size() == 1);
        CHECK(desk.shelf.files[0].homework.comments.size() == 1);
        desk.type("u");
        CHECK(desk.newest().text == "First. And more.");
        desk.type("u");
        CHECK(desk.newest().text == "First.");
        desk.type("u");
        CHECK(desk.page.now().comments.size() == 1);
        desk.type("u"); // nothing is left to take back
        CHECK(desk.shelf.files[0].homework.comments.size() == 1);
    }

    TEST_CASE("words that the file does not take stay written, and the sentence says why") {
        OnDesk desk;
        desk.shelf.refuses = "The disk is full.";
        desk.type("wNot lost.").press(Key::enter);
        CHECK(desk.page.writing());
        CHECK(desk.page.entry()->text() == "Not lost.");
        CHECK(desk.page.problem() == "The disk is full.");
        CHECK(desk.page.now().comments.size() == 1);
        desk.shelf.refuses.clear();
        desk.press(Key::enter);
        CHECK(desk.newest().text == "Not lost.");
        CHECK(desk.page.problem().empty());
    }

    TEST_CASE("what follows, the path to send back, and the way out") {
        OnDesk desk;
        desk.type("n");
        const auto next = desk.page.take_next();
        REQUIRE(next);
        CHECK(next->follows == "week-one");
        CHECK_FALSE(next->returned);
        desk.page.press(test::with_control('c'));
        CHECK(desk.page.take_wishes().clipboard == "/set/back.hornwork");
        desk.press(Key::escape);
        CHECK(desk.page.take_left());
    }

    TEST_CASE("an attempt without a fault has nothing to go into until all notes are shown") {
        OnDesk desk;
        homework::Filed filed = desk.shelf.files[0];
        for (homework::StepResult& step : filed.homework.returned->attempts[0].steps) {
            step.faults.clear();
        }
        desk.page.open(filed);
        desk.press(Key::down).press(Key::enter);
        CHECK(desk.page.focus() == ReviewPage::Focus::rows);
        desk.type("f").press(Key::enter);
        CHECK(desk.page.focus() == ReviewPage::Focus::steps);
        desk.type("f");
        CHECK(desk.page.focus() == ReviewPage::Focus::rows);
    }
}

TEST_SUITE("gui/verdict of what came back") {
    TEST_CASE("shape and words tell what happened without a partial or a hand") {
        homework::StepResult step = test::judged(0);
        CHECK(verdict_of(step).words.empty());
        step.heard = *horn::parse_note("E4");
        step.faults = {drill::Fault::wrong_partial};
        CHECK(verdict_of(step).shape == Verdict::Shape::diamond);
        CHECK(verdict_of(step).words.front() == "E4 sounded");
        step.faults = {drill::Fault::wrong_hand, drill::Fault::late};
        CHECK(verdict_of(step).words == std::vector<std::string>{"another hand", "late"});
        step.faults.clear();
        step.extra = true;
        CHECK(verdict_of(step).words.front() == "a note too many");
        step.extra = false;
        step.played = false;
        step.faults = {drill::Fault::missed};
        CHECK(verdict_of(step).shape == Verdict::Shape::hollow);
    }
}

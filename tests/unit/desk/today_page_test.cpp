#include "desk/pages/today_page.h"

#include "support/fake_ear.h"
#include "support/fake_shelf.h"
#include "support/keys.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;
using test::key;

TEST_SUITE("gui/today page") {
    TEST_CASE("how strictly it is judged is said in cents of each way of closing") {
        CHECK(strictness_words(1.0) ==
              "judged as usual: open 5, partly closed 10, stopped 15 cents either way");
        CHECK(strictness_words(0.5).find("strictly than usual: open 2.5, partly") !=
              std::string::npos);
        CHECK(strictness_words(2.0).find("kindly than usual: open 10,") != std::string::npos);
    }

    TEST_CASE(
        "the plan is asked for once, and anew for other minutes, another crook, or when all of "
        "it is done") {
        test::FakeShelf shelf;
        test::FakeEar ear;
        Session session(ear.ear(), {});
        TodayPage page(shelf, session);
        shelf.next_plan.blocks = {test::block_of(test::exercise_of("a", {"C4"}), 60.0)};
        page.enter();
        page.enter();
        CHECK(shelf.plans == 1);
        page.mark_done(0);
        page.enter();
        CHECK(shelf.plans == 2);
        CHECK(page.press(key(Key::right)));
        CHECK(shelf.asked_minutes == doctest::Approx(25.0));
        for (int i = 0; i < 60; ++i) {
            (void)page.press(key(Key::left));
        }
        CHECK(shelf.asked_minutes == doctest::Approx(TodayPage::kLeast_minutes));
        page.forget();
        const int before = shelf.plans;
        page.enter();
        CHECK(shelf.plans == before + 1);
    }

    TEST_CASE("a plan that cannot be made leaves its sentence; nothing can be begun") {
        test::FakeShelf shelf;
        shelf.refuses = "The log cannot be read.";
        test::FakeEar ear;
        Session session(ear.ear(), {});
        TodayPage page(shelf, session);
        page.enter();
        CHECK(page.problem() == "The log cannot be read.");
        Press space;
        space.character = U' ';
        CHECK_FALSE(page.press(space)); // it is the window's then
        CHECK_FALSE(page.take_wishes().run);
    }

    TEST_CASE(
        "space begins at the chosen block, told once; a block that is done hands the choice on") {
        test::FakeShelf shelf;
        const auto exercise = test::exercise_of("a", {"C4", "E4"});
        shelf.next_plan.blocks = {test::block_of(exercise, 60.0), test::block_of(exercise, 60.0)};
        test::FakeEar ear;
        Session session(ear.ear(), {});
        TodayPage page(shelf, session);
        page.enter();
        CHECK(page.press(key(Key::down)));
        CHECK(page.press(key(Key::down)));
        CHECK(page.chosen() == 1);
        CHECK(page.press(key(Key::home)));
        Press space;
        space.character = U' ';
        CHECK(page.press(space));
        CHECK(page.take_wishes().run);
        CHECK_FALSE(page.take_wishes().run);
        page.mark_done(0);
        CHECK(page.done(0));
        CHECK(page.chosen() == 1);
    }

    TEST_CASE("spans of time are said as people say them") {
        CHECK(span_words(45.0) == "45 s");
        CHECK(span_words(180.0) == "3 min");
        CHECK(span_words(210.0) == "3½ min");
    }
}

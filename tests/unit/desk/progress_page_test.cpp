#include "desk/pages/progress_page.h"

#include "support/fake_shelf.h"
#include "support/keys.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;
using test::key;

namespace {

test::FakeShelf shelf_of_two_crooks() {
    test::FakeShelf shelf;
    for (const char* crook : {"F", "Eb"}) {
        progress::CrookMap map;
        map.crook = crook;
        map.label = crook;
        shelf.past.maps.push_back(map);
        progress::Transition transition;
        transition.crook = crook;
        shelf.past.hardest.push_back(transition);
    }
    return shelf;
}

} // namespace

TEST_SUITE("gui/progress page") {
    TEST_CASE("S saves the chosen time as a page, Ctrl C copies its path, trouble is said") {
        test::FakeShelf shelf = shelf_of_two_crooks();
        ProgressPage page(shelf);
        const Press s = test::letter('s');
        const Press copy = test::with_control('c');
        CHECK_FALSE(page.press(s)); // nothing was played
        page.enter();
        CHECK_FALSE(page.press(copy)); // nothing was written
        CHECK(page.press(key(Key::down)));
        CHECK(page.press(s));
        CHECK(page.said().find("/reports/all") != std::string::npos);
        CHECK(page.press(copy));
        CHECK(page.take_wishes().clipboard == "/reports/all");
        CHECK_FALSE(page.take_wishes().clipboard);
        shelf.refuses = "The disk is full.";
        CHECK(page.press(s));
        CHECK(page.problem() == "The disk is full.");
    }

    TEST_CASE("left and right go from crook to crook, and trend and transitions with them") {
        test::FakeShelf shelf = shelf_of_two_crooks();
        ProgressPage page(shelf);
        page.enter();
        REQUIRE(page.map() != nullptr);
        CHECK(page.map()->crook == "F");
        CHECK(page.press(key(Key::right)));
        CHECK(page.press(key(Key::right))); // the last one stays
        CHECK(page.map()->crook == "Eb");
        CHECK(shelf.asked_crook == "Eb");
        REQUIRE(page.hardest().size() == 1);
        CHECK(page.hardest()[0].crook == "Eb");
    }

    TEST_CASE("up and down look at a day, a week, all; the crook stays chosen") {
        test::FakeShelf shelf = shelf_of_two_crooks();
        ProgressPage page(shelf);
        page.enter();
        (void)page.press(key(Key::right));
        CHECK(page.range() == progress::Range::week);
        CHECK(page.press(key(Key::down)));
        CHECK(page.data().range == progress::Range::all);
        CHECK(page.map()->crook == "Eb");
        for (int i = 0; i < 4; ++i) {
            CHECK(page.press(key(Key::up)));
        }
        CHECK(page.range() == progress::Range::day);
    }

    TEST_CASE("nothing played, or a log that cannot be read, is no page but a sentence") {
        test::FakeShelf shelf;
        ProgressPage page(shelf);
        page.enter();
        CHECK(page.map() == nullptr);
        CHECK(page.hardest().empty());
        CHECK_FALSE(page.press(key(Key::right))); // there is no other crook
        shelf.refuses = "The log is damaged.";
        page.enter();
        CHECK(page.problem() == "The log is damaged.");
    }
}

#include "desk/pages/log_page.h"

#include "support/fake_shelf.h"
#include "support/keys.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;
using test::key;
using test::letter;

namespace {

test::FakeShelf shelf_of_three() {
    test::FakeShelf shelf;
    for (std::int64_t id = 3; id > 0; --id) {
        logbook::SessionRecord session;
        session.id = id;
        session.started_at = "2026-03-0" + std::to_string(id) + "T10:11:12Z";
        shelf.log.push_back(session);
        for (std::int64_t take = 0; take < 2; ++take) {
            logbook::TakeRecord record;
            record.id = 10 * id + take;
            record.session = id;
            shelf.contents[id].takes.push_back(record);
        }
    }
    return shelf;
}

} // namespace

TEST_SUITE("gui/log page") {
    TEST_CASE("the space for takes is written in megabytes, and what will have to go is said") {
        test::FakeShelf shelf = shelf_of_three();
        LogPage page(shelf);
        page.enter();
        CHECK(page.room().used_bytes == 312'000'000);
        CHECK(page.press(letter('z')));
        CHECK(page.room_entry()->text() == "2000");
        for (int i = 0; i < 4; ++i) {
            page.press(key(Key::backspace));
        }
        page.press(letter('x')); // a letter now, no command
        CHECK(page.press(key(Key::enter)));
        CHECK(page.problem().find("is not a size") != std::string::npos);
        CHECK(page.sessions().size() == 3);
        page.press(key(Key::backspace));
        for (const char digit : {'3', '0', '0'}) {
            page.press(letter(digit));
        }
        shelf.refuses = "The log is locked.";
        page.press(key(Key::enter));
        CHECK(page.problem() == "The log is locked.");
        CHECK(page.room_entry());
        shelf.refuses.clear();
        page.press(key(Key::enter));
        CHECK_FALSE(page.room_entry());
        CHECK(page.room().budget_bytes == 300'000'000);
        CHECK(page.said() == "The oldest will go.");
        CHECK(page.press(letter('z')));
        page.press(key(Key::escape));
        CHECK(page.room().budget_bytes == 300'000'000);
    }

    TEST_CASE("a deleted session is gone from the list and comes back with U, chosen again") {
        test::FakeShelf shelf = shelf_of_three();
        LogPage page(shelf);
        page.enter();
        CHECK(page.press(key(Key::down)));
        CHECK(page.press(letter('x')));
        CHECK(page.sessions().size() == 2);
        CHECK(shelf.bin.size() == 1);
        CHECK_FALSE(page.undo_words().empty());
        CHECK(page.press(letter('u')));
        CHECK(page.sessions().size() == 3);
        CHECK(shelf.bin.empty());
        CHECK(page.undo_words().empty());
        CHECK(page.sessions()[static_cast<std::size_t>(page.chosen())].id == 2);
    }

    TEST_CASE(
        "a deleted take is out of sight at once and gone for good only when the page is left") {
        test::FakeShelf shelf = shelf_of_three();
        LogPage page(shelf);
        page.enter();
        CHECK(page.press(key(Key::enter)));
        CHECK(page.focus() == LogPage::Focus::takes);
        CHECK(page.press(letter('x')));
        CHECK(page.contents().takes.size() == 1);
        CHECK(shelf.removed_takes.empty());
        CHECK(page.press(letter('u')));
        CHECK(page.contents().takes.size() == 2);
        page.leave();
        CHECK(shelf.removed_takes.empty());
        page.enter();
        CHECK(page.press(letter('x')));
        page.leave();
        CHECK(shelf.removed_takes == std::vector<std::int64_t>{30});
    }

    TEST_CASE("with no take left among the takes, X does not reach for the session") {
        test::FakeShelf shelf = shelf_of_three();
        shelf.contents[3].takes.resize(1);
        LogPage page(shelf);
        page.enter();
        CHECK(page.press(key(Key::enter)));
        CHECK(page.press(letter('x')));
        CHECK(page.contents().takes.empty());
        (void)page.press(letter('x'));
        CHECK(page.sessions().size() == 3);
        CHECK(shelf.bin.empty());
    }

    TEST_CASE("takes are played, slowed down where they are, and kept") {
        test::FakeShelf shelf = shelf_of_three();
        LogPage page(shelf);
        page.enter();
        CHECK(page.press(key(Key::right)));
        CHECK(page.press(key(Key::down)));
        CHECK(page.press(letter('p')));
        CHECK(shelf.heard_take == 31);
        CHECK(page.listening().sounding);
        shelf.status.at_s = 4.5;
        page.refresh();
        CHECK(page.press(letter('h')));
        CHECK(shelf.status.speed == doctest::Approx(0.5));
        CHECK(shelf.status.at_s == doctest::Approx(4.5));
        CHECK(page.press(letter(' ')));
        CHECK_FALSE(page.listening().sounding);
        CHECK(page.press(letter('k')));
        CHECK(page.contents().takes[1].kept);
    }

    TEST_CASE(
        "a comment is written with all letters, saved with Enter, left with Escape, and not lost "
        "when it cannot be saved") {
        test::FakeShelf shelf = shelf_of_three();
        LogPage page(shelf);
        page.enter();
        CHECK(page.press(letter('w')));
        for (const char character : std::string("x u k")) {
            CHECK(page.press(letter(character))); // letters now, no keys
        }
        CHECK(page.sessions().size() == 3);
        shelf.refuses = "The disk is full.";
        CHECK(page.press(key(Key::enter)));
        CHECK(page.problem() == "The disk is full.");
        REQUIRE(page.writing());
        CHECK(page.entry()->text() == "x u k");
        shelf.refuses.clear();
        CHECK(page.press(key(Key::enter)));
        CHECK_FALSE(page.writing());
        REQUIRE(shelf.contents[3].comments.size() == 1);
        CHECK(shelf.contents[3].comments[0].text == "x u k");
        CHECK(page.press(letter('w')));
        CHECK(page.press(key(Key::escape)));
        CHECK_FALSE(page.writing());
    }

    TEST_CASE("an empty log and one that cannot be read leave nothing to press on") {
        test::FakeShelf shelf;
        LogPage page(shelf);
        page.enter();
        CHECK(page.sessions().empty());
        for (const char character : std::string("xupk ")) {
            (void)page.press(letter(character));
        }
        CHECK_FALSE(page.writing());
        shelf.refuses = "The log is locked by another program.";
        page.enter();
        CHECK(page.problem() == "The log is locked by another program.");
    }
}

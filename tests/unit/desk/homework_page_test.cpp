#include "desk/pages/homework_page.h"

#include "support/fake_shelf.h"
#include "support/keys.h"
#include "support/set_work.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;
using test::key;
using test::letter;

namespace {

homework::WorkTake take_of(std::int64_t id, bool usual) {
    homework::WorkTake take;
    take.take.id = id;
    take.usual = usual;
    return take;
}

/// Two to do here, of which the first has three takes, and two files: one set, one that came back.
struct Stage {
    test::FakeShelf shelf;
    horn::Tuning tuning;
    HomeworkPage page{shelf, tuning};

    Stage() {
        for (const char* const id : {"week-two", "week-one"}) {
            homework::Given given;
            given.homework = test::set_work(2);
            given.homework.id = given.homework.title = id;
            given.done = {0, 0};
            shelf.work.to_do.push_back(given);
        }
        shelf.work.work_takes["week-two"] = {take_of(7, false), take_of(8, true), take_of(9, true)};
        for (const char* const name : {"/set/set.hornwork", "/set/back.hornwork"}) {
            homework::Filed filed;
            filed.file = name;
            filed.homework = test::set_work();
            shelf.work.files.push_back(filed);
        }
        shelf.work.files[1].homework.returned.emplace();
        page.enter();
    }
    bool press(const Press& press) { return page.press(press); }
    void type(const char* words) {
        for (const char* c = words; *c != '\0'; ++c) {
            press(letter(*c));
        }
    }
};

} // namespace

TEST_SUITE("gui/homework page") {
    TEST_CASE("the choice goes through what is to be done and on through the files") {
        Stage stage;
        CHECK(stage.page.rows() == 4);
        CHECK(stage.page.chosen_given()->homework.id == "week-two");
        CHECK(stage.page.chosen_filed() == nullptr);
        CHECK(stage.press(key(Key::end)));
        CHECK(stage.page.chosen_given() == nullptr);
        CHECK(stage.page.chosen_filed()->file == "/set/back.hornwork");
        CHECK(stage.press(key(Key::up)));
        CHECK(stage.page.chosen_filed()->file == "/set/set.hornwork");
    }

    TEST_CASE("Space begins what is left of it, and says so when nothing is") {
        Stage stage;
        CHECK(stage.press(letter(' ')));
        CHECK_FALSE(stage.page.take_wishes().run);
        CHECK(stage.page.said().find("S writes") != std::string::npos);
        stage.shelf.work.blocks.resize(2);
        CHECK(stage.press(letter(' ')));
        CHECK(stage.page.take_wishes().run->blocks.size() == 2);
        CHECK_FALSE(stage.page.take_wishes().run);
    }

    TEST_CASE("the usual takes go back unless the player chooses others, with the player's words") {
        Stage stage;
        CHECK(stage.page.work().going_back() == std::vector<std::int64_t>{8, 9});
        CHECK(stage.press(key(Key::enter)));
        CHECK(stage.press(letter(' '))); // 7 goes too
        CHECK(stage.press(key(Key::end)));
        CHECK(stage.press(key(Key::enter))); // 9 stays
        CHECK(stage.press(key(Key::escape)));
        CHECK(stage.press(letter('w')));
        CHECK(stage.page.writing());
        stage.type("Hard, n x r.");
        CHECK(stage.page.inner() == HomeworkPage::Inner::list);
        CHECK(stage.press(key(Key::enter)));
        CHECK_FALSE(stage.page.writing());
        CHECK(stage.press(letter('s')));
        CHECK(stage.shelf.work.sent_takes == std::vector<std::int64_t>{7, 8});
        CHECK(stage.shelf.work.sent_words == "Hard, n x r.");
        CHECK(stage.page.said().find("/back/week-two.hornwork") != std::string::npos);
        CHECK(stage.press(test::with_control('c')));
        CHECK(stage.page.take_wishes().clipboard == "/back/week-two.hornwork");
    }

    TEST_CASE("words that were written outlive the window, and stay written when the log refuses") {
        Stage stage;
        stage.press(letter('w'));
        stage.type("Hard.");
        stage.shelf.work.refuses = "The log is locked.";
        stage.press(key(Key::enter));
        CHECK(stage.page.writing());
        CHECK(stage.page.work().problem() == "The log is locked.");
        stage.shelf.work.refuses.clear();
        stage.press(key(Key::enter));
        CHECK_FALSE(stage.page.writing());
        HomeworkPage again(stage.shelf, stage.tuning);
        again.enter();
        CHECK(again.work().words() == "Hard.");
    }

    TEST_CASE("what was chosen stays when the page is opened again, not for another homework") {
        Stage stage;
        stage.press(key(Key::enter));
        stage.press(letter(' '));
        stage.press(key(Key::escape));
        stage.shelf.work.work_takes["week-two"].push_back(take_of(10, true));
        stage.page.enter();
        CHECK(stage.page.work().going_back() == std::vector<std::int64_t>{7, 8, 9});
        stage.press(key(Key::down));
        stage.press(key(Key::up));
        CHECK(stage.page.work().going_back() == std::vector<std::int64_t>{8, 9, 10});
    }

    TEST_CASE("a take is listened to, at half speed from where it is, and stops") {
        Stage stage;
        stage.press(key(Key::enter));
        stage.press(key(Key::down));
        CHECK(stage.press(letter('p')));
        CHECK(stage.shelf.heard_take == 8);
        stage.shelf.status.at_s = 2.5;
        stage.page.refresh();
        CHECK(stage.press(letter('h')));
        CHECK(stage.shelf.status.speed == 0.5);
        CHECK(stage.shelf.status.at_s == 2.5);
        CHECK(stage.press(letter('p')));
        CHECK_FALSE(stage.shelf.status.sounding);
    }

    TEST_CASE("what is removed comes back with U, on either side") {
        Stage stage;
        CHECK(stage.press(letter('x')));
        CHECK(stage.page.rows() == 3);
        CHECK(stage.page.undo_words().find("week-two") != std::string::npos);
        CHECK(stage.press(letter('u')));
        CHECK(stage.page.rows() == 4);
        CHECK(stage.page.undo_words().empty());
        stage.press(key(Key::end));
        CHECK(stage.press(letter('x')));
        CHECK(stage.page.filed().size() == 1);
        CHECK(stage.press(letter('u')));
        CHECK(stage.page.filed().size() == 2);
    }

    TEST_CASE("what came back is looked at, what was set is used again without its id and date") {
        Stage stage;
        stage.press(key(Key::end));
        CHECK(stage.press(key(Key::enter)));
        CHECK(stage.page.inner() == HomeworkPage::Inner::review);
        stage.press(key(Key::escape));
        CHECK(stage.page.inner() == HomeworkPage::Inner::list);
        stage.press(key(Key::up));
        CHECK(stage.press(key(Key::enter)));
        CHECK(stage.page.inner() == HomeworkPage::Inner::compose);
        CHECK(stage.page.compose().now().id.empty());
        CHECK(stage.page.compose().now().due_on.empty());
        CHECK(stage.page.compose().now().title == "Week one");
    }

    TEST_CASE("a new homework begins with the pitch of the day, or with the draft that waits") {
        Stage stage;
        stage.tuning.a4_hz = 430.0;
        CHECK_FALSE(stage.page.draft_waits());
        CHECK(stage.press(letter('n')));
        CHECK(stage.page.compose().now().a4_hz == 430.0);
        stage.press(key(Key::escape));
        homework::Homework draft;
        draft.title = "begun yesterday";
        stage.shelf.work.kept_draft = draft;
        stage.page.enter();
        CHECK(stage.page.draft_waits());
        CHECK(stage.press(letter('n')));
        CHECK(stage.page.compose().now().title == "begun yesterday");
    }

    TEST_CASE("a file that is opened shows itself on the side that it belongs to") {
        Stage stage;
        stage.shelf.work.opened = {OpenedHomework::As::given, "week-one", {}, false, 0};
        stage.page.take_file("x.hornwork");
        CHECK(stage.page.chosen_given()->homework.id == "week-one");
        CHECK(stage.page.said().find("today's plan") != std::string::npos);
        stage.shelf.work.opened = {OpenedHomework::As::answered, "week-two", {}, true, 2};
        stage.page.take_file("x.hornwork");
        CHECK(stage.page.chosen_given()->homework.id == "week-two");
        CHECK(stage.page.said().rfind("2 new comments", 0) == 0);
        stage.shelf.work.opened = {
            OpenedHomework::As::returned, "week-one", "/set/back.hornwork", false, 0};
        stage.page.take_file("x.hornwork");
        CHECK(stage.page.inner() == HomeworkPage::Inner::review);
        CHECK(stage.page.review().file() == "/set/back.hornwork");
    }

    TEST_CASE("a sentence says why a file cannot be taken, and what is shown stays") {
        Stage stage;
        stage.shelf.work.refuses = "x.hornwork is damaged: ask for it again.";
        stage.page.take_file("x.hornwork");
        CHECK(stage.page.problem() == "x.hornwork is damaged: ask for it again.");
        CHECK(stage.page.rows() == 4);
        CHECK(stage.press(letter('s')));
        CHECK(stage.page.problem() == "x.hornwork is damaged: ask for it again.");
        CHECK_FALSE(stage.page.take_wishes().clipboard);
    }

    TEST_CASE("an empty page offers nothing but to compose one") {
        test::FakeShelf shelf;
        const horn::Tuning tuning;
        HomeworkPage page(shelf, tuning);
        page.enter();
        for (const char c : {' ', 's', 'w', 'x'}) {
            CAPTURE(c);
            CHECK_FALSE(page.press(letter(c)));
        }
        CHECK(page.keys().size() == 1);
        CHECK(page.press(letter('n')));
        CHECK(page.inner() == HomeworkPage::Inner::compose);
    }
}

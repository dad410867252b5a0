// The page of horn and moving hand: what it listens to, keeps and shows.
#include "desk/desk.h"
#include "support/fake_ear.h"
#include "support/fake_shelf.h"
#include "support/keys.h"
#include "support/moving_tone.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

struct Place {
    test::FakeEar ear;
    std::shared_ptr<test::FakeShelf> shelf = std::make_shared<test::FakeShelf>();
    std::unique_ptr<Desk> desk;

    Place() {
        DeskStart start;
        start.shelf = shelf;
        desk = std::make_unique<Desk>(ear.ear(), start);
        ear.shared->sessions.back()->log.session = 5;
        desk->update(1.0);
    }
    void type(const char* letters) {
        for (const char* c = letters; *c != '\0'; ++c) {
            desk->press(test::letter(*c));
        }
        desk->update(1.5);
    }
    void open() {
        type("8");
        desk->press(test::key(Key::enter));
        desk->update(1.5);
    }
    void hear(const test::HandMover& player) {
        test::play(*ear.shared->sessions.back(), player);
        desk->update(2.0);
        desk->update(2.1);
    }
    [[nodiscard]] const BalancePage& page() const { return desk->pages().balance; }
};

} // namespace

TEST_SUITE("desk/balance") {
    TEST_CASE("Enter on the last notes leads there; a tone that ends is told, kept in the log and "
              "counted in its week") {
        Place place;
        place.open();
        REQUIRE(place.desk->screen() == Screen::balance);
        CHECK_FALSE(place.page().ear().tone());
        test::HandMover player;
        player.jolt_cents = 9.0;
        player.jolt_at_s = 2.0;
        place.hear(player);
        REQUIRE(place.page().ear().tone());
        const hand::Balance& balance = place.page().ear().tone()->balance;
        REQUIRE(balance.moves.size() == 1);
        CHECK(balance.moves[0].jolted);
        REQUIRE(place.shelf->kept_balances.size() == 1);
        CHECK(place.shelf->kept_balances[0].session == 5);
        CHECK(place.shelf->kept_balances[0].jolts == 1);
        CHECK(place.shelf->kept_balances[0].worst_cents > 6.0);
        CHECK(place.page().weeks().size() == 1);
        place.desk->update(3.0);
        CHECK(place.shelf->kept_balances.size() == 1); // once
        place.desk->press(test::key(Key::escape));
        CHECK(place.desk->screen() == Screen::hand);
    }

    TEST_CASE("elsewhere nothing is listened to for it, but in the exercise for it") {
        Place place;
        place.hear({});
        CHECK_FALSE(place.page().ear().tone());
        place.open();
        place.desk->press(test::key(Key::enter));
        place.desk->update(1.6);
        REQUIRE(place.desk->screen() == Screen::run);
        REQUIRE(place.desk->session().run() != nullptr);
        CHECK(place.desk->session().run()->state().now->exercise.family == "balance");
        place.ear.shared->sessions.back()->log.session = 6;
        place.hear({});
        CHECK(place.page().ear().tone());
        CHECK(place.shelf->kept_balances.size() == 1);
        place.desk->press(test::key(Key::escape));
        CHECK(place.desk->screen() == Screen::balance); // back to where it was begun
    }

    TEST_CASE("a log that refuses is said, and the tone is still shown") {
        Place place;
        place.open();
        place.shelf->refuses = "The disk is full.";
        place.hear({});
        CHECK(place.page().ear().tone());
        CHECK(place.page().problem() == "The disk is full.");
    }
}

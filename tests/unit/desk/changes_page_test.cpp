// The crook-change drill in the window: keys, ears and log in the hands of the test.
#include "desk/pages/changes_page.h"

#include "core/assets.h"
#include "desk/desk.h"
#include "desk/model/piece_choice.h"
#include "instrument/lengths.h"
#include "support/fake_ear.h"
#include "support/fake_shelf.h"
#include "support/keys.h"
#include "support/temporary_folder.h"

#include <filesystem>
#include <fstream>
#include <memory>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;
using test::key;
using test::letter;
using Stage = ChangesPage::Stage;

namespace {

struct Place {
    test::FakeEar ear;
    std::shared_ptr<test::FakeShelf> shelf = std::make_shared<test::FakeShelf>();
    std::unique_ptr<Desk> desk;
    double wall_s = 1.0;
    std::uint32_t notes = 0;

    explicit Place(bool own = true) {
        DeskStart start;
        start.shelf = shelf;
        start.log_path = "/nowhere/log.sqlite";
        start.horn_profile = assets_folder() / "instruments" / "demo_coupler_horn.json";
        start.own_horn = own;
        start.tuning.a4_hz = 430.0;
        desk = std::make_unique<Desk>(ear.ear(), start);
        wait(0.0);
    }
    [[nodiscard]] ChangesPage& page() { return desk->pages().changes; }
    void wait(double seconds) {
        wall_s += seconds;
        desk->update(wall_s);
        while (page().stage() == Stage::planning) {
            desk->update(wall_s);
        }
    }
    void press(const Press& press) {
        desk->press(press);
        wait(0.0);
    }
    /// From the bench to the drill; `tonight`: of the set list that comes with the program.
    void begin(ChangesPage::How how = ChangesPage::How::named, bool tonight = false) {
        press(letter('4'));
        press(key(Key::tab));
        REQUIRE(desk->screen() == Screen::changes);
        if (tonight) {
            desk->take_file(assets_folder() / "setlists" / "demo_opera.json");
        }
        if (how == ChangesPage::How::played) {
            press(key(Key::down));
            press(key(Key::right));
        }
        press(key(Key::enter));
    }
    [[nodiscard]] const instrument::HornLengths& horn() { return page().box()->lengths; }
    void name(const instrument::Stack& stack) {
        for (int i = 0; i < pieces_of(horn()); ++i) {
            if (mounted_at(horn(), page().named(), i) != mounted_at(horn(), stack, i)) {
                page().toggle(i);
            }
        }
        press(key(Key::enter));
    }
    /// A note that began `ago_s` and ended now.
    void hear(double f0_hz, double ago_s = 1.0) {
        test::FakeState& state = *ear.shared->sessions.back();
        state.readings.push_back(test::silence_at(wall_s));
        trainer::PlayedNote note;
        note.index = notes++;
        note.start_s = wall_s - ago_s;
        note.duration_s = ago_s;
        note.f0_hz = f0_hz;
        note.spread_cents = 2.0;
        note.finished = true;
        state.ended.push_back(note);
        wait(0.0);
    }
    /// Partial 4 of a stack with the slide where the call wants it.
    [[nodiscard]] double sounds_hz(const instrument::Stack& stack) {
        const instrument::ChangeCall& call = page().drill()->call();
        return 4.0 * instrument::f1_of_length_hz(instrument::pushed_in_m(horn(), stack) +
                                                     horn().slide_adds_m(call.slide_m),
                                                 instrument::speed_of_sound_m_s(call.target.air));
    }
};

} // namespace

TEST_SUITE("desk/changes_page") {
    TEST_CASE("a quiz from the first key to the last: named, timed, judged, kept") {
        Place place;
        place.begin();
        REQUIRE(place.page().stage() == Stage::called);
        REQUIRE(place.page().drill()->calls().size() == 6);
        for (int i = 0; i < 6; ++i) {
            CHECK(place.page().named() ==
                  place.page().drill()->call().from.value_or(instrument::Stack{}));
            place.wait(4.5);
            CHECK(place.page().clock_s() == doctest::Approx(4.5));
            place.name(place.page().drill()->call().right);
            REQUIRE(place.page().stage() == Stage::judged);
            CHECK(place.page().verdict_words().rfind("Right: ", 0) == 0);
            CHECK(place.page().clock_s() == doctest::Approx(4.5));
            place.press(letter(' '));
        }
        CHECK(place.page().stage() == Stage::over);
        CHECK(place.page().drill()->to_practise().empty());
        CHECK(instrument::summary_words(*place.page().drill()) == "6 of 6 right.");
        const app::KeptDrill& kept = place.shelf->kept_drill;
        CHECK(kept.session == 77);
        CHECK(kept.began.input == "crook changes: quiz");
        REQUIRE(kept.changes.size() == 6);
        CHECK(kept.changes[5].number == 5);
        CHECK(kept.changes[5].correct);
        CHECK(kept.changes[5].change_s == doctest::Approx(4.5));
        CHECK(kept.duration_s == doctest::Approx(27.0));
    }

    TEST_CASE("digits put pieces on and off, and a stack that cannot be is not judged") {
        Place place;
        place.begin();
        REQUIRE(place.page().stage() == Stage::called);
        place.press(letter('3'));
        CHECK(mounted_at(place.horn(), place.page().named(), 2));
        place.press(key(Key::enter)); // a coupler without a crook
        CHECK(place.page().stage() == Stage::called);
        CHECK(place.page().problem().find("needs a crook") != std::string::npos);
        place.press(letter('1'));
        place.press(letter('2'));
        CHECK(place.page().named().crook == 1); // it takes the other's place
        place.press(letter('3'));
        CHECK_FALSE(mounted_at(place.horn(), place.page().named(), 2));
        place.press(key(Key::down));
        place.press(letter(' '));
        CHECK(mounted_at(place.horn(), place.page().named(), 3));
        CHECK(place.page().piece() == 3);
    }

    TEST_CASE("wrong, taken back, passed over: what is left to practise") {
        Place place;
        place.begin(ChangesPage::How::named, true);
        const auto wrong = [&] {
            instrument::Stack stack = place.page().drill()->call().right;
            stack.crook = 1 - stack.crook;
            return stack;
        };
        place.name(wrong());
        REQUIRE(place.page().stage() == Stage::judged);
        CHECK(place.page().verdict_words().rfind("Wrong: ", 0) == 0);
        CHECK(place.shelf->kept_drill.changes.size() == 1);
        place.wait(3.0);
        place.press(letter('u'));
        REQUIRE(place.page().stage() == Stage::called);
        CHECK(place.shelf->kept_drill.changes.empty());
        CHECK(place.page().clock_s() == doctest::Approx(0.0));
        place.name(place.page().drill()->call().right);
        CHECK(place.shelf->kept_drill.changes.at(0).correct);
        CHECK(place.shelf->kept_drill.changes.at(0).item == "Overture");
        place.press(key(Key::enter));
        const std::string passed = place.page().drill()->call().number;
        place.press(key(Key::page_down));
        REQUIRE(place.page().stage() == Stage::judged);
        CHECK(place.page().verdict_words().rfind("Passed over. It is ", 0) == 0);
        CHECK(place.shelf->kept_drill.changes.size() == 1);
        place.press(key(Key::page_down));
        place.name(wrong());
        const std::string missed = place.page().drill()->call().number;
        place.press(key(Key::escape));
        REQUIRE(place.page().stage() == Stage::over);
        const auto left = place.page().drill()->to_practise();
        REQUIRE(left.size() == 2);
        CHECK(left[0].number == passed);
        CHECK(left[1].number == missed);
        place.press(key(Key::enter));
        REQUIRE(place.page().stage() == Stage::called);
        CHECK(place.page().drill()->calls().size() == 2);
        CHECK(place.page().drill()->call().number == passed);
        CHECK(place.shelf->kept_drill.changes.size() == 2); // the first drill, whole
    }

    TEST_CASE("mounted and played: the right horn stands in the key, the wrong piece is named") {
        Place place;
        const horn::Tuning before = place.desk->session().tuning();
        place.begin(ChangesPage::How::played, true);
        REQUIRE(place.page().stage() == Stage::called);
        // Such playing teaches the log nothing of the player.
        CHECK_FALSE(place.ear.shared->options.back().log_path.has_value());
        CHECK(place.ear.shared->sessions.back()->tuning.crook ==
              place.page().drill()->call().target.key);
        place.wait(5.0);
        place.hear(300.0, 8.0); // begun before the call
        CHECK(place.page().stage() == Stage::called);
        place.hear(place.sounds_hz(place.page().drill()->call().right), 0.3); // too short to tell
        CHECK(place.page().stage() == Stage::called);
        place.hear(place.sounds_hz(place.page().drill()->call().right), 1.5);
        REQUIRE(place.page().stage() == Stage::judged);
        CHECK(place.page().verdict_words().find("stands in the key") != std::string::npos);
        CHECK(place.page().clock_s() == doctest::Approx(3.5));
        CHECK(place.shelf->kept_drill.changes.at(0).stands == "in_key");
        // The first note is still held while the next key is called: it says nothing of the next change.
        test::FakeState& state = *place.ear.shared->sessions.back();
        state.readings.push_back(test::reading_of(place.wall_s, {60, 0}, 0.0));
        place.wait(0.0);
        place.press(letter(' '));
        place.wait(2.0);
        state.readings.push_back(test::reading_of(place.wall_s, {60, 0}, 0.0));
        trainer::PlayedNote held;
        held.index = place.notes++;
        held.start_s = place.wall_s - 1.9;
        held.duration_s = 1.9;
        held.f0_hz = 150.0;
        held.finished = true;
        state.ended.push_back(held);
        place.wait(0.0);
        CHECK(place.page().stage() == Stage::called);
        state.readings.push_back(test::silence_at(place.wall_s));
        place.wait(0.0);
        place.wait(0.0);
        CHECK(place.page().stage() == Stage::called);
        // One coupler of the new stack is forgotten, or one too much is on.
        const instrument::ChangeCall call = place.page().drill()->call();
        instrument::Stack wrong = call.right;
        wrong.between ^= 1;
        place.wait(6.0);
        place.hear(place.sounds_hz(wrong));
        REQUIRE(place.page().stage() == Stage::judged);
        CHECK(place.page().verdict_words().find("Not in the key") != std::string::npos);
        CHECK(place.page().verdict_words().find(place.horn().between[0].name) != std::string::npos);
        CHECK(place.page().mended().empty());
        place.wait(4.0);
        place.hear(place.sounds_hz(call.right));
        CHECK(place.page().mended().find("stands in the key") != std::string::npos);
        CHECK(place.shelf->kept_drill.changes.at(1).stands == "wrong"); // the first try counts
        place.press(key(Key::escape));
        CHECK(place.page().stage() == Stage::over);
        // Afterwards practice is as it was.
        CHECK(place.desk->session().tuning() == before);
        CHECK(place.desk->session().listening());
        CHECK(place.ear.shared->options.back().log_path.has_value());
    }

    TEST_CASE("of a box that is not the player's no piece is named, only how far off it is") {
        Place place(false);
        place.begin(ChangesPage::How::played);
        CHECK_FALSE(place.page().box()->own);
        place.wait(3.0);
        place.hear(place.sounds_hz(place.page().drill()->call().right) * 1.06);
        REQUIRE(place.page().stage() == Stage::judged);
        CHECK(place.page().verdict_words().find("cents above the key") != std::string::npos);
        for (const instrument::HornPiece& piece : place.horn().between) {
            CHECK(place.page().verdict_words().find(piece.name) == std::string::npos);
        }
    }

    TEST_CASE(
        "no microphone, or the demo player: said in a sentence, and the quiz by naming goes on") {
        Place place;
        place.ear.shared->refuses = "There is no microphone.";
        place.begin(ChangesPage::How::played);
        CHECK(place.page().stage() == Stage::ready);
        CHECK(place.page().problem() ==
              "There is no microphone. Naming the pieces needs no microphone.");
        place.press(key(Key::right));
        place.press(key(Key::enter));
        CHECK(place.page().stage() == Stage::called);
        CHECK(place.page().problem().empty());

        Place demo;
        InputChoice player;
        player.kind = InputChoice::Kind::demo;
        demo.desk->session().listen_to(player);
        demo.begin(ChangesPage::How::played);
        CHECK(demo.page().stage() == Stage::ready);
        CHECK(demo.page().problem().find("demo player") != std::string::npos);
    }

    TEST_CASE("a log that refuses is told of, the drill goes on, and all of it is kept later") {
        Place place;
        place.begin();
        place.shelf->refuses = "The disk is full.";
        place.name(place.page().drill()->call().right);
        CHECK(place.page().stage() == Stage::judged);
        CHECK(place.page().problem() == "The disk is full.");
        CHECK(place.shelf->kept_drill.changes.empty());
        place.shelf->refuses.clear();
        place.press(letter(' '));
        place.name(place.page().drill()->call().right);
        CHECK(place.page().problem().empty());
        CHECK(place.shelf->kept_drill.changes.size() == 2);
    }

    TEST_CASE("a set list dropped on the window is rehearsed; one that cannot be read is named") {
        Place place;
        place.desk->take_file(assets_folder() / "setlists" / "demo_opera.json");
        CHECK(place.desk->screen() == Screen::changes);
        CHECK(place.page().what_words().find("The Drowned Bell") != std::string::npos);
        const test::TemporaryFolder folder;
        const auto broken = folder / "bellhand broken set list.json";
        std::ofstream(broken) << R"({"format": "bellhand set list", "version": 1, "numbers": 3})";
        place.desk->take_file(broken);
        CHECK(place.page().problem().find("bellhand broken set list.json") != std::string::npos);
        CHECK(place.page().what_words().find("The Drowned Bell") != std::string::npos);
    }

    TEST_CASE("a box that cannot be read is told of, and there is a way out") {
        Place place;
        place.desk->session().use_horn("/nowhere/horn.json", true);
        place.press(letter('4'));
        place.desk->show(Screen::changes);
        CHECK(place.page().box() == nullptr);
        CHECK(place.page().problem().find("/nowhere/horn.json") != std::string::npos);
        place.press(key(Key::enter));
        CHECK(place.page().stage() == Stage::ready);
        place.press(key(Key::escape));
        CHECK(place.desk->screen() == Screen::bench);
    }

    TEST_CASE("who goes to another page ends the drill, and what was done of it is kept") {
        Place place;
        place.begin(ChangesPage::How::played, true);
        place.wait(2.0);
        place.hear(place.sounds_hz(place.page().drill()->call().right));
        place.desk->show(Screen::practice);
        CHECK(place.page().stage() == Stage::ready);
        CHECK(place.shelf->kept_drill.changes.size() == 1);
        CHECK(place.ear.shared->options.back().log_path.has_value());
    }
}

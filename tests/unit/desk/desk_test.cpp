#include "desk/desk.h"

#include "logbook/rescue.h"
#include "support/fake_ear.h"
#include "support/fake_shelf.h"
#include "support/temporary_folder.h"

#include <chrono>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <string_view>
#include <thread>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

void press(Desk& desk, Key key) {
    Press press;
    press.key = key;
    desk.press(press);
}

void type(Desk& desk, std::string_view characters) {
    for (const char character : characters) {
        Press press;
        press.character = static_cast<char32_t>(character);
        desk.press(press);
    }
}

void with_control(Desk& desk, char character) {
    Press press;
    press.character = static_cast<char32_t>(character);
    press.control = true;
    desk.press(press);
}

/// Lets the search for devices, which runs beside, come to its end.
void find_devices(Desk& desk) {
    for (int i = 0; i < 500 && desk.session().looking_for_devices(); ++i) {
        std::this_thread::sleep_for(std::chrono::milliseconds(2));
        desk.update(0.0);
    }
    REQUIRE_FALSE(desk.session().looking_for_devices());
}

} // namespace

TEST_SUITE("gui/desk") {
    TEST_CASE(
        "notes that the log could not take come back when the window opens, with a sentence") {
        const test::TemporaryFolder folder;
        const auto log = folder / "log.sqlite";
        for (const char* const day : {"2026-03-02T10:11:12Z", "2026-03-03T10:11:12Z"}) {
            auto rescued = logbook::open_rescue(log, folder.path(), day).value();
            logbook::SessionRecord session;
            session.started_at = day;
            session.input = "microphone";
            const auto id = rescued->begin_session(session).value();
            trainer::PlayedNote note;
            note.written = *horn::parse_note("F4");
            note.finished = true;
            REQUIRE(rescued->put_note(id, {}, note));
        }
        test::FakeEar ear;
        DeskStart start;
        start.log_path = log;
        Desk desk(ear.ear(), start); // the ear logs nothing
        const auto book = logbook::Logbook::open_for_reading(log).value();
        CHECK(book->sessions().value().size() == 2);
        CHECK(logbook::rescued_for(log).empty());
        constexpr double kLate_s = 1000.0; // the clock may be any
        desk.update(kLate_s);
        CHECK(desk.session().said() ==
              "1 note of 2026-03-02 that the log could not take then is in it now. "
              "1 note of 2026-03-03 that the log could not take then is in it now.");
        desk.update(kLate_s + 15.0);
        CHECK_FALSE(desk.session().said().empty());
        desk.update(kLate_s + 25.0);
        CHECK(desk.session().said().empty());
    }

    TEST_CASE("where nothing waited nothing is said when the window opens") {
        const test::TemporaryFolder folder;
        test::FakeEar ear;
        DeskStart start;
        start.log_path = folder / "log.sqlite";
        Desk desk(ear.ear(), start);
        desk.update(0.0);
        CHECK(desk.session().said().empty());
        CHECK_FALSE(std::filesystem::exists(folder / "log.sqlite")); // nothing was played
    }

    TEST_CASE("it listens from the beginning, with the tuning it was given") {
        test::FakeEar ear;
        DeskStart start;
        start.input.kind = InputChoice::Kind::demo;
        start.tuning.a4_hz = 430.0;
        Desk desk(ear.ear(), start);
        REQUIRE(ear.shared->choices.size() == 1);
        CHECK(ear.shared->choices[0].kind == InputChoice::Kind::demo);
        CHECK(ear.shared->options[0].tuning.a4_hz == 430.0);
        CHECK(desk.session().listening());
    }

    TEST_CASE("space ends the session and begins a new one") {
        test::FakeEar ear;
        Desk desk(ear.ear(), {});
        type(desk, " ");
        CHECK_FALSE(desk.session().listening());
        CHECK(ear.shared->sessions[0]->stopped);
        type(desk, " ");
        CHECK(desk.session().listening());
        CHECK(ear.shared->sessions.size() == 2);
    }

    TEST_CASE("a pedal that is kept down acts once; a key that steps goes on stepping") {
        test::FakeEar ear;
        Desk desk(ear.ear(), {});
        Press held;
        held.character = U' ';
        desk.press(held);
        held.repeated = true;
        for (int i = 0; i < 5; ++i) {
            desk.press(held);
        }
        CHECK_FALSE(desk.session().listening());
        held.character = U'+';
        desk.press(held);
        desk.press(held);
        CHECK(desk.session().tuning().a4_hz == doctest::Approx(442.0));
        Press page;
        page.key = Key::page_down;
        page.repeated = true;
        desk.press(page);
        CHECK(desk.screen() == Screen::practice);
    }

    TEST_CASE("a session that cannot begin says why, and space tries again") {
        test::FakeEar ear;
        ear.shared->refuses = "No such file.";
        Desk desk(ear.ear(), {});
        CHECK_FALSE(desk.session().listening());
        CHECK(desk.session().problem() == "No such file.");
        ear.shared->refuses.clear();
        type(desk, " ");
        CHECK(desk.session().listening());
        CHECK(desk.session().problem().empty());
    }

    TEST_CASE(
        "plus and minus move the pitch by a hertz, within its limits, and the session follows") {
        test::FakeEar ear;
        Desk desk(ear.ear(), {});
        type(desk, "--");
        CHECK(desk.session().tuning().a4_hz == doctest::Approx(438.0));
        CHECK(ear.shared->sessions[0]->tuning.a4_hz == doctest::Approx(438.0));
        type(desk, std::string(100, '+'));
        CHECK(desk.session().tuning().a4_hz == doctest::Approx(horn::kHighestA4Hz));
    }

    TEST_CASE("the pitch can be typed; a pitch out of range is refused with a sentence and changes "
              "nothing") {
        test::FakeEar ear;
        Desk desk(ear.ear(), {});
        type(desk, "a430.5");
        CHECK(desk.sheet() == Sheet::pitch);
        press(desk, Key::enter);
        CHECK(desk.sheet() == Sheet::none);
        CHECK(desk.session().tuning().a4_hz == doctest::Approx(430.5));
        type(desk, "a999");
        press(desk, Key::enter);
        CHECK(desk.sheet() == Sheet::pitch);
        CHECK_FALSE(desk.session().problem().empty());
        CHECK(desk.session().tuning().a4_hz == doctest::Approx(430.5));
        press(desk, Key::up);
        press(desk, Key::left);
        CHECK(desk.session().tuning().a4_hz == doctest::Approx(431.4));
    }

    TEST_CASE("the crook is chosen by arrows and Enter; Escape leaves it as it was") {
        test::FakeEar ear;
        Desk desk(ear.ear(), {});
        type(desk, "c");
        CHECK(desk.sheet() == Sheet::crook);
        press(desk, Key::down);
        press(desk, Key::escape);
        CHECK(desk.session().tuning().crook.transposition == -7);
        type(desk, "c");
        press(desk, Key::down);
        press(desk, Key::enter);
        CHECK(desk.sheet() == Sheet::none);
        CHECK(desk.session().tuning().crook.transposition == -8);
        CHECK(std::string_view(desk.session().tuning().crook.id) == "E");
        CHECK(ear.shared->sessions.back()->tuning.crook.transposition == -8);
        type(desk, "c");
        press(desk, Key::home);
        press(desk, Key::up);
        press(desk, Key::enter);
        CHECK(desk.session().tuning().crook.transposition == 0);
        type(desk, "c");
        press(desk, Key::end);
        press(desk, Key::down);
        press(desk, Key::enter);
        CHECK(desk.session().tuning().crook.transposition == -16);
    }

    TEST_CASE("when the crook changes, the demo player changes its horn too") {
        test::FakeEar ear;
        DeskStart start;
        start.input.kind = InputChoice::Kind::demo;
        Desk desk(ear.ear(), start);
        const auto stand = ear.shared->choices.front().demo_stand;
        REQUIRE(stand);
        const auto before = stand->take();
        REQUIRE(before);
        type(desk, "c");
        press(desk, Key::down);
        press(desk, Key::enter);
        desk.update(1.0);
        const auto after = stand->take();
        REQUIRE(after);
        REQUIRE(after->tones.size() == before->tones.size());
        for (std::size_t i = 0; i < after->tones.size();
             ++i) { // a semitone lower, in the same session
            CHECK(after->tones[i].f0_hz / before->tones[i].f0_hz ==
                  doctest::Approx(std::exp2(-1.0 / 12.0)).epsilon(1e-3));
        }
        CHECK(ear.shared->options.size() == 1);
    }

    TEST_CASE("the demo player plays what a lesson asks, and says so") {
        test::FakeEar ear;
        DeskStart start;
        start.input.kind = InputChoice::Kind::demo;
        Desk desk(ear.ear(), start);
        const auto stand = ear.shared->choices.front().demo_stand;
        REQUIRE(stand->take());
        type(desk, "2n");
        press(desk, Key::enter);
        desk.update(1.0);
        const auto asked = stand->take();
        REQUIRE(asked);
        REQUIRE(desk.session().lesson().asked());
        const double target_hz =
            horn::target_hz(desk.session().lesson().asked()->written, desk.session().tuning());
        for (const auto& tone : asked->tones) {
            CHECK(tone.f0_hz / target_hz == doctest::Approx(1.0).epsilon(0.03));
        }
        CHECK(desk.pages().lesson.sentence().find("demo player") != std::string::npos);
        press(desk, Key::backspace);
        desk.update(1.1);
        CHECK(stand->take());
        CHECK(desk.pages().lesson.sentence().empty());
    }

    TEST_CASE("a temperament is chosen by its row") {
        test::FakeEar ear;
        Desk desk(ear.ear(), {});
        const auto all = horn::all_temperaments();
        type(desk, "t");
        for (std::size_t i = 1; i < all.size(); ++i) {
            press(desk, Key::down);
        }
        press(desk, Key::enter);
        CHECK(desk.session().tuning().temperament == all[all.size() - 1]);
        CHECK(desk.sheet() == Sheet::none);
    }

    TEST_CASE("root, anchor and the black key are turned in the rows after the temperaments") {
        test::FakeEar ear;
        DeskStart start;
        start.tuning.crook = horn::parse_crook("Eb").value();
        start.tuning.temperament = horn::parse_temperament("just").value();
        Desk desk(ear.ear(), start);
        const auto footing = [&] { return desk.session().tuning().footing; };
        using Row = TemperamentSheet::FootingRow;
        const TemperamentSheet& sheet = desk.sheets().temperament;
        type(desk, "t");
        CHECK(sheet.value_of(Row::root) == "the crook's key, E♭");
        CHECK(sheet.targets_in_words().find("E4: a pure major third above E♭") !=
              std::string::npos);
        press(desk, Key::end);
        press(desk, Key::left);
        CHECK(footing().enharmonic == horn::Enharmonic::flat);
        press(desk, Key::up);
        press(desk, Key::enter);
        CHECK(footing().anchor == horn::Anchor::a);
        CHECK(sheet.value_of(Row::anchor) == "their A, in company; the key stands +9.8 cents");
        press(desk, Key::up);
        press(desk, Key::right);
        CHECK(footing().root == 0);
        CHECK(sheet.value_of(Row::root) == "C");
        press(desk, Key::left);
        CHECK_FALSE(footing().root.has_value());
        press(desk, Key::left);
        CHECK(footing().root == 11);
        CHECK(desk.sheet() == Sheet::temperament); // it stays open
        CHECK(ear.shared->sessions.back()->tuning.footing == footing());
    }

    TEST_CASE(
        "inputs: devices that hear something, then the demo player, then a file by its path") {
        test::FakeEar ear;
        ear.shared->devices = {test::input_device(0, "speakers", 0),
                               test::input_device(1, "microphone", 2),
                               test::input_device(2, "monitor of speakers", 2, true)};
        Desk desk(ear.ear(), {});
        type(desk, "i");
        find_devices(desk);
        REQUIRE(desk.sheets().input.listed().size() == 4);
        CHECK(desk.sheets().input.listed()[0].device.name == "microphone");
        CHECK(desk.sheets().input.listed()[1].device.monitor);
        press(desk, Key::down);
        press(desk, Key::right);
        press(desk, Key::enter);
        CHECK(ear.shared->choices.back().device.name == "monitor of speakers");
        CHECK(ear.shared->choices.back().device.channel == 2);

        type(desk, "i");
        find_devices(desk);
        type(desk, "/tmp/horn take.wav");
        press(desk, Key::enter);
        CHECK(desk.sheet() == Sheet::none);
        CHECK(ear.shared->choices.back().kind == InputChoice::Kind::file);
        CHECK(ear.shared->choices.back().file == "/tmp/horn take.wav");
    }

    TEST_CASE("whoever chose while the devices were being looked for keeps the choice") {
        test::FakeEar ear;
        ear.shared->devices = {test::input_device(1, "microphone", 2)};
        Desk desk(ear.ear(), {});
        type(desk, "i");
        press(desk, Key::end); // the file row
        find_devices(desk);
        CHECK(desk.sheets()
                  .input
                  .listed()[static_cast<std::size_t>(desk.sheets().at(desk.sheet())->selected())]
                  .kind == InputRow::Kind::file);
    }

    TEST_CASE(
        "the input sheet opens on what is in use: the default, or the device that was chosen") {
        test::FakeEar ear;
        ear.shared->devices = {test::input_device(0, "line", 2),
                               test::input_device(1, "microphone", 2)};
        ear.shared->devices[1].default_input = true;
        Desk desk(ear.ear(), {});
        type(desk, "i");
        find_devices(desk);
        CHECK(desk.sheets().at(desk.sheet())->selected() == 1);
        press(desk, Key::up);
        press(desk, Key::enter);
        CHECK(ear.shared->choices.back().device.name == "line");
        type(desk, "i");
        find_devices(desk);
        CHECK(desk.sheets().at(desk.sheet())->selected() == 0);
    }

    TEST_CASE("a dropped file is listened to at once, whatever lies open") {
        test::FakeEar ear;
        Desk desk(ear.ear(), {});
        press(desk, Key::f1);
        desk.take_file("/tmp/a.flac");
        CHECK(desk.sheet() == Sheet::none);
        CHECK(ear.shared->choices.back().file == "/tmp/a.flac");
        CHECK(ear.shared->sessions[0]->stopped);
    }

    TEST_CASE("pedals turn the screens, numbers go straight to one, Escape back to practice") {
        test::FakeEar ear;
        Desk desk(ear.ear(), {});
        const Screen first = desk.screen();
        press(desk, Key::page_down);
        CHECK(desk.screen() != first);
        press(desk, Key::page_up);
        CHECK(desk.screen() == first);
        type(desk, "2");
        CHECK(desk.screen() == Screen::lesson);
        press(desk, Key::escape);
        CHECK(desk.screen() == Screen::practice);
    }

    TEST_CASE("type can be scaled from 75 to 300 per cent, and back") {
        test::FakeEar ear;
        Desk desk(ear.ear(), {});
        for (int i = 0; i < 30; ++i) {
            with_control(desk, '+');
        }
        CHECK(desk.preferences().type_scale == doctest::Approx(3.0));
        for (int i = 0; i < 60; ++i) {
            with_control(desk, '-');
        }
        CHECK(desk.preferences().type_scale == doctest::Approx(0.75));
        with_control(desk, '0');
        CHECK(desk.preferences().type_scale == doctest::Approx(1.0));
        with_control(desk, 'q');
        CHECK(desk.wants_to_quit());
    }

    TEST_CASE("in the lesson view the arrows change how long a note is held, from half a second to "
              "five") {
        test::FakeEar ear;
        Desk desk(ear.ear(), {});
        press(desk, Key::up); // not yet in the lesson view
        CHECK(desk.preferences().lesson_hold_s == doctest::Approx(1.5));
        type(desk, "2");
        press(desk, Key::up);
        CHECK(desk.preferences().lesson_hold_s == doctest::Approx(2.0));
        CHECK(desk.pages().lesson.sentence() == "Each note is held 2.0 s at least.");
        for (int i = 0; i < 20; ++i) {
            press(desk, Key::down);
        }
        CHECK(desk.preferences().lesson_hold_s == doctest::Approx(0.5));
        desk.update(10.0);
        CHECK(desk.pages().lesson.sentence().empty());
    }

    TEST_CASE(
        "the folder of the file that was saved last is shown, at first the one for documents") {
        test::FakeEar ear;
        DeskStart start;
        const auto shelf = std::make_shared<test::FakeShelf>();
        shelf->past.maps.emplace_back();
        start.shelf = shelf;
        start.documents = "documents of mine";
        Desk desk(ear.ear(), start);
        CHECK_FALSE(desk.take_folder().has_value());
        with_control(desk, 'f');
        CHECK(desk.take_folder() == "documents of mine");
        CHECK_FALSE(desk.take_folder().has_value()); // told once
        desk.show(Screen::progress);
        type(desk, "s");
        with_control(desk, 'f');
        CHECK(desk.take_folder() == "/reports");
    }
}

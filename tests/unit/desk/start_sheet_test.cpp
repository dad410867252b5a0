// The first start: three rows, a live answer, and few keys to the first reading.
#include "desk/desk.h"
#include "support/fake_ear.h"
#include "support/keys.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;
using test::key;

namespace {

DeskStart first_start() {
    DeskStart start;
    start.first_time = true;
    return start;
}

/// Until devices have been looked for.
void settle(Desk& desk) {
    do {
        desk.update(1.0);
    } while (desk.session().looking_for_devices());
    desk.update(1.0);
}

} // namespace

TEST_SUITE("desk/first start") {
    TEST_CASE("it is asked once, and one key is enough when all is as it should be") {
        test::FakeEar ear;
        Desk desk(ear.ear(), first_start());
        settle(desk);
        CHECK(desk.sheet() == Sheet::start);
        CHECK(desk.session().listening());
        CHECK(desk.sheets().start.heard() ==
              "No note yet: play one, or choose another microphone.");
        ear.shared->sessions.back()->readings.push_back(test::reading_of(0.0, {72, 0}, 3.0));
        for (int i = 1; i < 60; ++i) {
            ear.shared->sessions.back()->readings.push_back(
                test::reading_of(i * 256.0 / 48000.0, {72, 0}, 3.0));
        }
        desk.update(1.1);
        CHECK(desk.sheets().start.heard() == "Heard: C5, 3 sharp.");
        desk.press(key(Key::enter));
        CHECK(desk.sheet() == Sheet::none);
        CHECK(desk.screen() == Screen::practice);
        Desk later(ear.ear(), {});
        CHECK(later.sheet() == Sheet::none);
    }

    TEST_CASE("another crook, pitch and microphone in six keys") {
        test::FakeEar ear;
        ear.shared->devices = {test::input_device(0, "line", 2),
                               test::input_device(1, "microphone", 2)};
        ear.shared->devices[0].default_input = true;
        Desk desk(ear.ear(), first_start());
        settle(desk);
        const horn::Crook before = desk.session().tuning().crook;
        for (const Key each :
             {Key::right, Key::down, Key::left, Key::down, Key::right, Key::enter}) {
            desk.press(key(each));
        }
        CHECK_FALSE(desk.session().tuning().crook == before);
        CHECK(desk.session().tuning().a4_hz == 435.0);
        CHECK(ear.shared->choices.back().device.name == "microphone");
        CHECK(desk.sheet() == Sheet::none);
    }

    TEST_CASE("Escape takes F and 440, whatever was moved") {
        test::FakeEar ear;
        Desk desk(ear.ear(), first_start());
        settle(desk);
        desk.press(key(Key::left));
        desk.press(key(Key::down));
        desk.press(key(Key::right));
        desk.press(key(Key::escape));
        CHECK(desk.sheet() == Sheet::none);
        CHECK(desk.session().tuning() == horn::Tuning{});
    }

    TEST_CASE("without a microphone the sheet says so in its live line") {
        test::FakeEar ear;
        ear.shared->refuses = "No microphone was found: connect one, then press Space.";
        Desk desk(ear.ear(), first_start());
        settle(desk);
        CHECK(desk.sheets().start.heard() == ear.shared->refuses);
    }
}

#include "desk/model/sound_desk.h"

#include "desk/desk.h"
#include "support/fake_ear.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

app::SoundSettings read_before() {
    app::SoundSettings settings;
    settings.cautioned = true;
    return settings;
}

Press named(Key key) {
    Press press;
    press.key = key;
    return press;
}

Press letter(char32_t character) {
    Press press;
    press.character = character;
    return press;
}

} // namespace

TEST_SUITE("gui/sound_desk") {
    using Row = SoundDesk::Row;

    TEST_CASE("the first sound ever needs the caution to be read; later ones do not") {
        SoundDesk desk{{}};
        desk.accept(Row::drone);
        CHECK(desk.cautions());
        CHECK_FALSE(desk.anything());
        desk.accept(Row::drone);
        CHECK_FALSE(desk.cautions());
        CHECK(desk.anything());
        CHECK(desk.settings().cautioned);
        desk.accept(Row::beats);
        CHECK(desk.wanted({}).beats_per_minute == 72.0);
    }

    TEST_CASE(
        "the drone is the written note as it sounds on today's crook, its chord pure or tempered") {
        SoundDesk desk{read_before()};
        desk.accept(Row::drone);
        horn::Tuning tuning; // F crook at 440: written C4 sounds F3
        CHECK(desk.wanted(tuning).drone_hz[0] == doctest::Approx(174.614).epsilon(1e-5));
        CHECK(desk.wanted(tuning).drone_hz[1] == 0.0);
        desk.change(Row::chord, 1);
        CHECK(desk.wanted(tuning).drone_hz[1] == doctest::Approx(1.5 * 174.614).epsilon(1e-5));
        desk.change(Row::tuned, 1);
        CHECK(desk.wanted(tuning).drone_hz[1] ==
              doctest::Approx(261.626).epsilon(1e-5)); // sounding C4
        desk.change(Row::note, -1);
        CHECK(desk.wanted(tuning).drone_hz[0] == doctest::Approx(164.814).epsilon(1e-5));
        desk.take_root();
        CHECK(desk.wanted(tuning).drone_hz[0] == doctest::Approx(174.614).epsilon(1e-5));
    }

    TEST_CASE("the level keeps within its limits, for all sounds together") {
        SoundDesk desk{read_before()};
        for (int i = 0; i < 40; ++i) {
            desk.change(Row::level, 1);
        }
        CHECK(desk.wanted({}).drone_dbfs == app::SoundSettings::kLoudest_dbfs);
        for (int i = 0; i < 80; ++i) {
            desk.change(Row::level, -1);
        }
        CHECK(desk.wanted({}).drone_dbfs == app::SoundSettings::kSoftest_dbfs);
        CHECK(desk.wanted({}).note_dbfs == app::SoundSettings::kSoftest_dbfs + 6.0);
    }

    TEST_CASE("taps set the tempo, the reference note sounds once a press, outputs go round") {
        SoundDesk desk{read_before()};
        desk.accept(Row::beats);
        for (int i = 0; i < 4; ++i) {
            desk.tap(10.0 + 0.5 * i);
        }
        CHECK(desk.wanted({}).beats_per_minute == 120.0);
        desk.tap(60.0); // the first of the next
        CHECK(desk.wanted({}).beats_per_minute == 120.0);
        desk.accept(Row::reference);
        desk.accept(Row::reference);
        CHECK(desk.wanted({}).note_request == 2);
        desk.set_outputs({"Headphones", "Loudspeaker"});
        desk.change(Row::output, 1);
        CHECK(desk.settings().output.name == "Headphones");
        CHECK(desk.take_output_change());
        desk.change(Row::output, 1);
        desk.change(Row::output, 1);
        CHECK(desk.settings().output.name.empty());
    }

    TEST_CASE(
        "on the desk O opens the sheet; what is switched there sounds, also in the next session") {
        test::FakeEar ear;
        DeskStart start;
        start.sound = read_before();
        Desk desk(ear.ear(), start);
        desk.press(letter(U'o'));
        REQUIRE(desk.sheet() == Sheet::sound);
        desk.press(letter(U' '));
        CHECK(ear.shared->sessions.back()->sound.drone_hz[0] > 0.0);
        desk.press(letter(U'+'));
        CHECK(ear.shared->sessions.back()->sound.drone_dbfs == -39.0);
        desk.press(named(Key::down));
        CHECK(desk.sheets().at(desk.sheet())->selected() == 1);
        desk.press(named(Key::escape));
        desk.session().toggle();
        desk.session().toggle();
        REQUIRE(ear.shared->sessions.size() == 2);
        CHECK(ear.shared->sessions.back()->sound.drone_hz[0] > 0.0);
    }
}

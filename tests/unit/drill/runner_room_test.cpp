// What a room that rings between notes takes from the judgement.
#include "drill/judge.h"
#include "unit/drill/hands.h"
#include "words/verdict.h"

#include <algorithm>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::drill;
using test::Hands;
using test::once;
using test::tune;

namespace {

Exercise with_repeats() {
    return tune({"C4", "E4", "E4", "E4", "G4", "C5", "G4", "E4", "C4"}, 100.0);
}

/// Three strokes on E4, heard as one note.
Hands joined(bool ringing_room) {
    Hands hands(with_repeats(), once());
    hands.ringing_room = ringing_room;
    hands.play("C4");
    hands.play("E4", 0.0, 1.8);
    for (const char* const name : {"G4", "C5", "G4", "E4", "C4"}) {
        hands.play(name);
    }
    hands.rest(3.0);
    return hands;
}

Judgement of_step(const Hands& hands, std::uint32_t step) {
    const auto found =
        std::find_if(hands.judged.begin(), hands.judged.end(), [step](const Judgement& judgement) {
            return judgement.step == step;
        });
    REQUIRE(found != hands.judged.end());
    return *found;
}

} // namespace

TEST_SUITE("drill/runner_room") {
    TEST_CASE("strokes on one pitch that a room joins are neither right nor wrong") {
        Hands hands = joined(true);
        CHECK(hands.story() == "0 1 2? 3? 4 5 6 7 8");
        CHECK(hands.runner().where().judged == 7);
        CHECK(hands.runner().where().good == 7);
        const Judgement third = of_step(hands, 3);
        CHECK(third.undecided());
        CHECK_FALSE(third.good());
        CHECK_FALSE(is_wrong(third));
        CHECK(words::verdict(third, hands.runner().exercise().steps[3]) ==
              "E4: not judged: in this room it could not be heard apart from the note before");
    }

    TEST_CASE("where nothing rings the note was held, and what is written was not played") {
        Hands hands = joined(false);
        CHECK(hands.story().find("missed") != std::string::npos);
        CHECK(hands.story().find('?') == std::string::npos);
    }

    TEST_CASE("what the ear reads in a room at a part of the pitch asked for is no other note") {
        const auto story = [](bool ringing_room) {
            Hands hands(tune({"C4", "E4", "G4", "C5", "G4", "E4"}, 100.0), once());
            hands.ringing_room = ringing_room;
            for (const char* const name : {"C4", "E4", "G4"}) {
                hands.play(name);
            }
            hands.play("C5", -1902.0); // a third of it
            hands.play("G4");
            hands.play("E4");
            hands.rest(3.0);
            return hands.story();
        };
        CHECK(story(true).find("wrong") == std::string::npos);
        CHECK(story(false).find("wrong") != std::string::npos);
    }

    TEST_CASE("a note that a room drowned is undecided, and one that was left out is missed") {
        const auto story = [](bool ringing_room, double between_dbfs) {
            Hands hands(tune({"C4", "E4", "G4", "C5", "G4", "E4"}, 100.0), once());
            hands.ringing_room = ringing_room;
            hands.play("C4");
            hands.play("E4");
            hands.play("G4");
            for (double t = 0.0; t < 0.6; t += 0.005) { // C5 is not heard
                trainer::Reading reading;
                reading.frame.time_s = hands.now_s + t;
                reading.frame.level_dbfs = static_cast<float>(between_dbfs);
                hands.runner().hear(reading);
            }
            hands.now_s += 0.6;
            hands.play("G4");
            hands.play("E4");
            hands.rest(3.0);
            return hands.story();
        };
        CHECK(story(true, -26.0) == "0 1 2 3? 4 5");
        CHECK(story(true, -45.0) == "0 1 2 3missed 4 5");
        CHECK(story(false, -26.0) == "0 1 2 3missed 4 5");
    }

    TEST_CASE("in a room a word takes more") {
        Asked asked;
        asked.target_hz = 400.0;
        asked.tolerance_cents = 5.0;
        asked.quarters = 1.0;
        trainer::PlayedNote note;
        note.f0_hz = 400.0;
        note.target_hz = 400.0;
        note.duration_s = 1.2; // a quarter of 0.6 s, and the room after it
        note.spread_cents = 10.0;
        note.attack_cents = 38.0;
        Circumstances around;
        around.quarter_s = 0.6;
        CHECK(judged(asked, note, around).faults ==
              std::vector{Fault::attack_sharp, Fault::unsteady, Fault::too_long});
        note.in_ringing_room = true;
        CHECK(judged(asked, note, around).faults == std::vector{Fault::attack_sharp});
        note.start_unsure = true;
        CHECK(judged(asked, note, around).faults.empty());
        note.start_unsure = false;
        note.spread_cents = 20.0;
        note.duration_s = 3.0;
        CHECK(judged(asked, note, around).faults ==
              std::vector{Fault::attack_sharp, Fault::unsteady, Fault::too_long});
    }
}

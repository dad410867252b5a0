#include "desk/model/exercise_page.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;
using namespace bellhand::engraving;

namespace {

drill::Step step(const char* name, double quarters) {
    drill::Step made;
    if (name != nullptr) {
        made.written = horn::parse_note(name).value();
    }
    made.quarters = quarters;
    return made;
}

drill::Exercise bars_of_quarters(int bars) {
    drill::Exercise exercise;
    for (int i = 0; i < 4 * bars; ++i) {
        exercise.steps.push_back(step(i % 2 == 0 ? "G4" : "C5", 1.0));
    }
    return exercise;
}

} // namespace

TEST_SUITE("gui/exercise page") {
    TEST_CASE("lengths are written with the usual values, dots and flags") {
        CHECK(note_value(4.0) == NoteValue{Head::whole, 0, 0});
        CHECK(note_value(3.0) == NoteValue{Head::half, 1, 0});
        CHECK(note_value(1.5) == NoteValue{Head::filled, 1, 0});
        CHECK(note_value(0.5) == NoteValue{Head::filled, 0, 1});
        CHECK(note_value(0.25) == NoteValue{Head::filled, 0, 2});
        CHECK(note_value(0.0) == NoteValue{Head::whole, 0, 0});
        CHECK(note_value(1.2) == NoteValue{Head::filled, 0, 0});
    }

    TEST_CASE(
        "every step is placed once, from left to right, inside the page, whole bars to a system") {
        for (const float spaces : {22.0F, 36.0F, 60.0F}) {
            const drill::Exercise exercise = bars_of_quarters(7);
            const ExercisePage page = lay_out(exercise, spaces);
            REQUIRE(page.steps.size() == exercise.steps.size());
            CHECK(page.systems() > 1);
            for (std::size_t i = 0; i < page.steps.size(); ++i) {
                const PlacedStep& at = page.steps[i];
                CHECK(at.step == i);
                CHECK(at.bar == static_cast<int>(i) / 4);
                CHECK(at.left < at.x);
                CHECK(at.x < at.right);
                CHECK(at.right <= spaces + 0.01F);
                if (i > 0 && page.steps[i - 1].system == at.system) {
                    CHECK(page.steps[i - 1].right <= at.left + 0.01F);
                }
                if (i > 0 && page.steps[i - 1].bar == at.bar) {
                    CHECK(page.steps[i - 1].system == at.system);
                }
            }
            CHECK(page.bar_lines.size() == 7);
            CHECK(page.bar_lines.back().last);
        }
    }

    TEST_CASE("a bar that is longer than a system is cut") {
        drill::Exercise exercise = bars_of_quarters(2);
        exercise.quarters_in_bar = 8;
        const ExercisePage page = lay_out(exercise, 20.0F);
        CHECK(page.systems() > 1);
        for (const PlacedStep& at : page.steps) {
            CHECK(at.right <= 20.01F);
        }
    }

    TEST_CASE("a low passage has the bass clef, which stays until the line is clearly over it") {
        drill::Exercise exercise;
        for (const char* name : {"C4", "G3", "E3", "C4", "E4"}) {
            exercise.steps.push_back(step(name, 0.0));
        }
        const ExercisePage page = lay_out(exercise, 60.0F);
        CHECK(page.steps[1].place.clef == Clef::treble);
        CHECK(page.steps[2].place.clef == Clef::bass);
        CHECK(page.steps[2].new_clef);
        CHECK(page.steps[3].place.clef == Clef::bass);
        CHECK(page.steps[4].new_clef);
        CHECK(page.bar_lines.empty()); // lengths are the player's own
    }

    TEST_CASE("a natural takes back the accidental that stood on its line in this bar or the one "
              "before") {
        drill::Exercise exercise;
        for (const char* name : {"F#4", "G4", "A4", "F4", "F4"}) {
            exercise.steps.push_back(step(name, 1.0));
        }
        const ExercisePage page = lay_out(exercise, 60.0F);
        CHECK(page.steps[3].restored);
        CHECK_FALSE(page.steps[4].restored);
    }

    TEST_CASE("a system that begins with a rest has the clef of its first note") {
        drill::Exercise exercise;
        exercise.steps = {step(nullptr, 2.0), step("C3", 2.0)};
        CHECK(lay_out(exercise, 40.0F).clefs.front() == Clef::bass);
    }

    TEST_CASE("the two rows take turns: what was played gives way two notes into the next row") {
        const ExercisePage page = lay_out(bars_of_quarters(9), 20.0F);
        REQUIRE(page.systems() >= 4);
        const auto first_of = [&page](int system) {
            std::uint32_t i = 0;
            while (page.steps[i].system != system) {
                ++i;
            }
            return i;
        };
        CHECK(shown_systems(page, 0).upper == 0);
        CHECK(shown_systems(page, 0).lower == 1);
        const std::uint32_t second = first_of(1);
        CHECK(shown_systems(page, second).upper == 0);
        CHECK(shown_systems(page, second).lower == 1);
        CHECK(shown_systems(page, second + 2).upper == 2);
        CHECK(shown_systems(page, second + 2).lower == 1);
        const std::uint32_t third = first_of(2);
        CHECK(shown_systems(page, third).upper == 2);
        CHECK(shown_systems(page, third).lower == 1);
        CHECK(shown_systems(page, third + 2).lower == 3);
        // At the end what was played stays.
        const auto last = static_cast<std::uint32_t>(page.steps.size()) - 1;
        const ShownSystems end = shown_systems(page, last);
        CHECK(std::max(end.upper, end.lower) == page.systems() - 1);
        CHECK(std::min(end.upper, end.lower) == page.systems() - 2);
    }

    TEST_CASE("an exercise without steps has no page, a single system no second row") {
        CHECK(lay_out({}, 40.0F).systems() == 0);
        const ExercisePage page = lay_out(bars_of_quarters(1), 60.0F);
        CHECK(page.systems() == 1);
        CHECK(shown_systems(page, 0).lower == -1);
    }

    TEST_CASE("signs over a step: what it asks for, else the usual way, nothing over a rest") {
        drill::Step asked = step("G4", 1.0);
        CHECK(step_hand_signs(asked) == "o");
        asked.hand = horn::Hand::full;
        CHECK(step_hand_signs(asked) == "+");
        CHECK(step_hand_signs(step(nullptr, 1.0)).empty());
    }
}

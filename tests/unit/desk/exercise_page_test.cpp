#include "desk/model/exercise_page.h"

#include "engraving/values.h"
#include "support/engraving_check.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;
using engraving::kQuarter;

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

engraving::Layout laid_out(const drill::Exercise& exercise, float width) {
    engraving::PageStyle style;
    style.width = width;
    style.least_room = 3.0F;
    return engraving::lay_out(exercise_score(exercise), style);
}

} // namespace

TEST_SUITE("desk/exercise page") {
    TEST_CASE("eight quarters on one note are two whole notes with a tie over the bar line") {
        drill::Exercise exercise;
        exercise.steps.push_back(step("G4", 8.0));
        exercise.steps.push_back(step("C5", 8.0));
        const engraving::Score score = exercise_score(exercise);
        REQUIRE(score.events.size() == 4);
        REQUIRE(score.bars.size() == 4);
        for (std::size_t i = 0; i < 4; ++i) {
            CHECK(score.events[i].bar == static_cast<int>(i));
            CHECK(score.events[i].value == engraving::Value{0, 0, 1, 1});
            CHECK(score.events[i].tie == (i % 2 == 0));
            CHECK(score.events[i].step == i / 2);
            CHECK(score.events[i].signs.empty() == (i % 2 == 1)); // a tied piece is not struck
            CHECK(score.bars[i].ticks == 4 * kQuarter);
        }
        CHECK(score.bars.front().metre == engraving::Metre{});
        CHECK(score.bars.back().last);
    }

    TEST_CASE("whatever the lengths, every bar is full and every step is there once") {
        drill::Exercise exercise;
        const double lengths[] = {
            3.0, 2.5, 0.5, 7.0, 0.25, 1.0 / 3, 1.0 / 3, 1.0 / 3, 0.75, 5.0, 1.2, 0.8};
        for (const drill::Metre& metre : {drill::Metre{2, 4},
                                          drill::Metre{3, 4},
                                          drill::Metre{4, 4},
                                          drill::Metre{5, 4},
                                          drill::Metre{6, 4},
                                          drill::Metre{3, 8},
                                          drill::Metre{5, 8},
                                          drill::Metre{6, 8},
                                          drill::Metre{9, 8},
                                          drill::Metre{12, 8}}) {
            exercise.metre = metre;
            exercise.steps.clear();
            for (int i = 0; i < 36; ++i) {
                exercise.steps.push_back(step(i % 7 == 6 ? nullptr : "G4", lengths[i % 12]));
            }
            const engraving::Score score = exercise_score(exercise);
            std::vector<int> filled(score.bars.size(), 0);
            std::size_t next = 0;
            for (std::size_t i = 0; i < score.events.size(); ++i) {
                const engraving::Event& event = score.events[i];
                CHECK(event.tick == filled[static_cast<std::size_t>(event.bar)]);
                filled[static_cast<std::size_t>(event.bar)] += event.ticks;
                if (i == 0 || score.events[i - 1].step != event.step) {
                    CHECK(event.step == next++);
                }
            }
            CHECK(next == exercise.steps.size());
            for (std::size_t i = 0; i < filled.size(); ++i) {
                CHECK(filled[i] == score.bars[i].ticks);
                CHECK((i + 1 == filled.size() || filled[i] == score.bars[i].ticks));
                CHECK((i + 1 == filled.size() ||
                       filled[i] == static_cast<int>(metre.quarters() * kQuarter)));
            }
        }
    }

    TEST_CASE("six eighths go in two beams of three, and a dotted quarter is one note") {
        drill::Exercise exercise;
        exercise.metre = {6, 8};
        for (int i = 0; i < 6; ++i) {
            exercise.steps.push_back(step("G4", 0.5));
        }
        exercise.steps.push_back(step("C5", 1.5));
        exercise.steps.push_back(step("G4", 1.5));
        const engraving::Score score = exercise_score(exercise);
        REQUIRE(score.events.size() == 8); // nothing is tied
        REQUIRE(score.bars.size() == 2);
        CHECK(score.bars.front().metre == engraving::Metre{6, 8, "6", false});
        const std::vector<int> beams = engraving::beam_groups(score, engraving::metres_of(score));
        CHECK(beams[0] >= 0);
        CHECK((beams[0] == beams[1] && beams[1] == beams[2]));
        CHECK((beams[3] == beams[4] && beams[4] == beams[5]));
        CHECK(beams[2] != beams[3]);
        CHECK(score.events[6].value == engraving::Value{2, 1, 1, 1});
    }

    TEST_CASE("steps without a length have no bar lines, and no metre is said") {
        drill::Exercise exercise;
        for (const char* name : {"C4", "G4", "C5"}) {
            exercise.steps.push_back(step(name, 0.0));
        }
        const engraving::Score score = exercise_score(exercise);
        REQUIRE(score.bars.size() == 3);
        for (const engraving::Bar& bar : score.bars) {
            CHECK(bar.open);
            CHECK_FALSE(bar.metre);
            CHECK_FALSE(bar.last);
        }
        const engraving::Layout page = laid_out(exercise, 60.0F);
        for (const auto& line : page.systems.front().lines) {
            CHECK(line.what != engraving::What::bar_line);
        }
    }

    TEST_CASE("a low passage has the bass clef, which stays until the line is clearly over it") {
        drill::Exercise exercise;
        for (const char* name : {"C5", "C3", "G3", "C4", "E4", "C3"}) {
            exercise.steps.push_back(step(name, 1.0));
        }
        const engraving::Score score = exercise_score(exercise);
        CHECK(score.clef.clef == engraving::Clef::treble);
        CHECK(score.events[1].clef->clef == engraving::Clef::bass);
        CHECK_FALSE(score.events[2].clef);
        CHECK_FALSE(score.events[3].clef);
        CHECK(score.events[4].clef->clef == engraving::Clef::treble);
        CHECK(score.events[5].clef->clef == engraving::Clef::bass);
        exercise.steps.insert(exercise.steps.begin(), step(nullptr, 2.0));
        exercise.steps[1] = step("C3", 2.0);
        CHECK(exercise_score(exercise).clef.clef ==
              engraving::Clef::bass); // over the rest before it
    }

    TEST_CASE("slurs join a group, hairpins turn half-way") {
        drill::Exercise exercise = bars_of_quarters(2);
        exercise.steps[1].slurred = true;
        exercise.steps[2].slurred = true;
        exercise.steps[4].quarters = 4.0;
        exercise.steps[4].hairpin = drill::Hairpin::growing_and_fading;
        exercise.steps[4].dynamic = drill::Dynamic::p;
        const engraving::Score score = exercise_score(exercise);
        REQUIRE(score.slurs.size() == 1);
        CHECK(score.slurs[0].from == 0);
        CHECK(score.slurs[0].to == 2);
        REQUIRE(score.hairpins.size() == 2);
        CHECK(score.hairpins[0].to_tick == 2 * kQuarter);
        CHECK(score.hairpins[1].tick == 2 * kQuarter);
        CHECK(score.hairpins[1].to_tick == 4 * kQuarter);
        REQUIRE(score.texts.size() == 1);
        CHECK(score.texts[0].words == "p");
    }

    TEST_CASE("on pages of any width every step is placed once and nothing runs into anything") {
        for (const float width : {24.0F, 36.0F, 60.0F, 120.0F}) {
            drill::Exercise exercise = bars_of_quarters(7);
            exercise.steps[3].manner = drill::Manner::lip_trill;
            exercise.steps[5].written = horn::parse_note("F#5").value();
            const engraving::Score score = exercise_score(exercise);
            const engraving::Layout layout = laid_out(exercise, width);
            std::size_t next = 0;
            for (const engraving::System& system : layout.systems) {
                for (const engraving::Slot& slot : system.slots) {
                    CHECK(slot.event == next++);
                    CHECK(slot.left < slot.x);
                    CHECK(slot.x < slot.right);
                }
            }
            CHECK(next == score.events.size());
            engraving::PageStyle style;
            style.width = width;
            for (const std::string& clash : test::clashes(layout, style)) {
                FAIL_CHECK(clash);
            }
        }
    }

    TEST_CASE("two rows take turns, and the one that was played gives way") {
        const drill::Exercise exercise = bars_of_quarters(12);
        const engraving::Score score = exercise_score(exercise);
        const engraving::Layout layout = laid_out(exercise, 50.0F);
        REQUIRE(layout.systems.size() > 3);
        const auto first_of = [&](std::size_t system) {
            return static_cast<std::uint32_t>(
                score.events[layout.systems[system].slots.front().event].step);
        };
        const auto shown = [&](std::uint32_t at) { return shown_systems(layout, score, at); };
        CHECK(shown(0).upper == 0);
        CHECK(shown(0).lower == 1);
        CHECK(shown(first_of(1)).upper == 0);
        CHECK(shown(first_of(1)).lower == 1);
        CHECK(shown(first_of(1) + 2).upper == 2);
        CHECK(shown(first_of(1) + 2).lower == 1);
        CHECK(shown(first_of(2)).upper == 2);
        CHECK(shown(first_of(2)).lower == 1);
        CHECK(shown(first_of(2) + 2).lower == 3);
        const int last = static_cast<int>(layout.systems.size()) - 1;
        const ShownSystems end = shown(static_cast<std::uint32_t>(exercise.steps.size()) - 1);
        CHECK((end.upper == last || end.lower == last));
        CHECK(shown_systems(laid_out(exercise, 900.0F), score, 0).lower == -1);
    }

    TEST_CASE("an exercise without steps has no page") {
        CHECK(laid_out({}, 40.0F).systems.empty());
    }

    TEST_CASE("the sign is that of the step, else the usual one") {
        drill::Step asked = step("C5", 1.0);
        CHECK(step_hand_signs(asked) == "o");
        asked.hand = horn::Hand::full;
        CHECK(step_hand_signs(asked) == "+");
        CHECK(step_hand_signs(step(nullptr, 1.0)).empty());
    }

    TEST_CASE("whatever shows on the page changes its key") {
        const drill::Exercise plain = bars_of_quarters(2);
        drill::Exercise other = plain;
        CHECK(page_key(other) == page_key(plain));
        other.steps[3].hand = horn::Hand::half;
        CHECK(page_key(other) != page_key(plain));
        other = plain;
        other.steps[3].slurred = true;
        CHECK(page_key(other) != page_key(plain));
        other = plain;
        other.metre.beats = 3;
        CHECK(page_key(other) != page_key(plain));
    }
}

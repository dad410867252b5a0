#include "drill/library.h"

#include "drill/generators.h"
#include "drill/plan.h"
#include "drill/playable.h"
#include "horn/compass.h"

#include <algorithm>
#include <map>
#include <set>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::drill;

TEST_SUITE("drill/library") {
    TEST_CASE("at least thirty exercises come with the program, every family of the daily work "
              "among them") {
        const auto all = built_in_exercises();
        REQUIRE_MESSAGE(all.has_value(), (all ? "" : all.error().message));
        CHECK(all->size() >= 30);
        std::set<std::string> ids;
        std::map<std::string, int> families;
        for (const Exercise& exercise : *all) {
            CAPTURE(exercise.id);
            CHECK(ids.insert(exercise.id).second);
            CHECK_FALSE(exercise.purpose.empty());
            CHECK(exercise.purpose.back() == '.');
            ++families[exercise.family];
        }
        for (const char* const family : {"long tones",
                                         "hand pairs",
                                         "scales",
                                         "partials",
                                         "false partials",
                                         "slurs",
                                         "trills",
                                         "hand",
                                         "tunes",
                                         "crooks",
                                         "reading"}) {
            CHECK_MESSAGE(families[family] > 0, family);
        }
    }

    TEST_CASE("every exercise is playable exactly on the crooks whose compass allows it") {
        const auto all = built_in_exercises();
        REQUIRE(all);
        int pairs = 0;
        for (const Exercise& exercise : *all) {
            int crooks = 0;
            for (const horn::Crook& crook : horn::all_crooks()) {
                CAPTURE(exercise.id);
                CAPTURE(crook.id);
                const Playable answer = playable(exercise, crook);
                CHECK(answer.yes == answer.why.empty());
                if (!answer.yes) {
                    CHECK(answer.why.back() == '.');
                    continue;
                }
                ++crooks;
                ++pairs;
                PlanSettings settings;
                settings.tuning.crook = crook;
                const std::vector<Asked> plan = plan_of(exercise, settings);
                const auto notes =
                    std::count_if(exercise.steps.begin(),
                                  exercise.steps.end(),
                                  [](const Step& step) { return step.written.has_value(); });
                CHECK(plan.size() == static_cast<std::size_t>(notes));
                const horn::Compass compass = horn::usual_compass(crook);
                for (const Asked& asked : plan) {
                    // A full stop belongs to the branch above the highest open partial.
                    CHECK(asked.partial >= compass.lowest_partial);
                    CHECK(asked.partial <= compass.highest_partial + 1);
                    CHECK(asked.target_hz > 40.0);
                    CHECK(asked.target_hz < 1500.0);
                }
            }
            CHECK_MESSAGE(crooks > 0, exercise.id);
            // Notes from C4 to E5 lie on every crook of the table (Encyclopaedia Britannica 1911: 2-10 on the shortest).
            const bool everywhere =
                exercise.crooks.empty() && !exercise.printed_for &&
                std::all_of(exercise.steps.begin(), exercise.steps.end(), [](const Step& step) {
                    return !step.written ||
                           (step.written->number >= 60 && step.written->number <= 76);
                });
            if (everywhere) {
                CHECK_MESSAGE(crooks == 17, exercise.id);
            }
        }
        MESSAGE(all->size() << " exercises, playable on " << pairs << " of " << 17 * all->size()
                            << " pairs with a crook");
    }

    TEST_CASE("why an exercise is not playable stands in a sentence") {
        Exercise exercise;
        Step step;
        step.written = *horn::parse_note("G5");
        exercise.steps.push_back(step);
        CHECK(playable(exercise, *horn::parse_crook("F")).yes);
        CHECK(playable(exercise, *horn::parse_crook("A")).why ==
              "G5 (partial 12) lies above what parts for A ask for, partials 2 to 10.");
        exercise.crooks = {-7, -9};
        CHECK(playable(exercise, *horn::parse_crook("D")).why == "It is meant for F and E♭.");
    }

    TEST_CASE("a part printed for another crook asks for what sounds the same") {
        Exercise exercise;
        Step step;
        step.written = *horn::parse_note("C5");
        exercise.steps.push_back(step);
        exercise.printed_for = -9; // E flat
        PlanSettings settings;
        settings.tuning.crook = *horn::parse_crook("F");
        const std::vector<Asked> plan = plan_of(exercise, settings);
        horn::Tuning printed = settings.tuning;
        printed.crook = *horn::parse_crook("Eb");
        CHECK(horn::ascii_name(plan[0].written) == "Bb4");
        CHECK(plan[0].target_hz == doctest::Approx(horn::target_hz(*step.written, printed)));
    }

    TEST_CASE("what is generated for a crook is playable on it") {
        for (const Generator& generator : generators()) {
            for (const horn::Crook& crook : horn::all_crooks()) {
                for (std::uint64_t seed = 1; seed <= 4; ++seed) {
                    CAPTURE(generator.id);
                    CAPTURE(crook.id);
                    const Exercise exercise = generator.make(crook, seed);
                    CHECK(std::any_of(exercise.steps.begin(),
                                      exercise.steps.end(),
                                      [](const Step& step) { return step.written.has_value(); }));
                    const Playable answer = playable(exercise, crook);
                    CHECK_MESSAGE(answer.yes, answer.why);
                    CHECK_FALSE(exercise.purpose.empty());
                }
            }
        }
    }

    TEST_CASE(
        "partials attacked cold never come twice in a row, and come in another order tomorrow") {
        const horn::Crook f = *horn::parse_crook("F");
        const Exercise today = cold_partials(f, 40, 1);
        const Exercise tomorrow = cold_partials(f, 40, 2);
        int differing = 0;
        for (std::size_t i = 1; i < today.steps.size(); i += 2) {
            if (i >= 3) {
                CHECK(today.steps[i].partial != today.steps[i - 2].partial);
            }
            differing += today.steps[i].partial != tomorrow.steps[i].partial;
        }
        CHECK(differing > 20);
    }

    TEST_CASE("the false partials stand where the tube has them") {
        // Cents of n:1 against equal temperament: 7 -31.17, 11 -48.68 (F sharp), 13 +40.53, 14 -31.17 (computed, 1200 log2 n).
        const Exercise exercise = false_partials(*horn::parse_crook("F"), FalseTarget::tube);
        std::map<int, double> offsets;
        for (const Step& step : exercise.steps) {
            if (step.target_offset_cents) {
                offsets[*step.partial] = *step.target_offset_cents;
            }
        }
        CHECK(offsets.size() == 4);
        CHECK(offsets[7] == doctest::Approx(-31.17).epsilon(0.001));
        CHECK(offsets[11] == doctest::Approx(-48.68).epsilon(0.001));
        CHECK(offsets[13] == doctest::Approx(40.53).epsilon(0.001));
        CHECK(offsets[14] == doctest::Approx(-31.17).epsilon(0.001));
    }

    TEST_CASE("exercises are found by name, in the library and among the generators") {
        const horn::Crook f = *horn::parse_crook("F");
        CHECK(find_exercise("evening-air", f, 1)->title == "Evening air");
        CHECK(find_exercise("cold-partials", f, 1)->family == "partials");
        const auto none = find_exercise("evening-are", f, 1);
        REQUIRE_FALSE(none);
        CHECK(none.error().message.find("evening-air") != std::string::npos);
    }
}

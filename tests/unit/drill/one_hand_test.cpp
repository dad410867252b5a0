// What a drill expects of the wrong hand is where the one hand of the crook lies.
#include "core/cents.h"
#include "drill/plan.h"

#include <algorithm>
#include <cmath>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;

TEST_SUITE("drill/one_hand") {
    TEST_CASE("what pitch cannot tell from the note is no miss: within 40 cents of it") {
        double nearest_cents = 1200.0;
        for (const horn::Crook& crook : horn::all_crooks()) {
            drill::Exercise exercise;
            for (const horn::ChartEntry& entry : horn::hand_chart()) {
                drill::Step step;
                step.written = entry.written;
                exercise.steps.push_back(step);
            }
            drill::PlanSettings settings;
            settings.tuning.crook = crook;
            for (const drill::Asked& asked : drill::plan_of(exercise, settings)) {
                for (const auto* misses : {&asked.other_hands_hz, &asked.other_partials_hz}) {
                    for (const double hz : *misses) {
                        nearest_cents =
                            std::min(nearest_cents, std::fabs(cents_between(hz, asked.target_hz)));
                    }
                }
            }
        }
        CHECK(nearest_cents > 40.0);
        CHECK(nearest_cents < 50.0);
    }

    TEST_CASE("the misses by hand lie where the crook's hand response lies, on all crooks") {
        int found = 0;
        for (const horn::Crook& crook : horn::all_crooks()) {
            const horn::Tuning tuning{crook, 440.0, {}, {}};
            const horn::HandResponse response = horn::hand_response(tuning);
            for (const int partial : {4, 5, 6, 8}) {
                drill::Exercise exercise;
                drill::Step step;
                step.written = horn::nearest_written(partial);
                step.quarters = 1.0;
                exercise.steps = {step};
                drill::PlanSettings settings;
                settings.tuning = tuning;
                const auto plan = drill::plan_of(exercise, settings);
                REQUIRE(plan.size() == 1);
                REQUIRE(plan[0].partial == partial);
                for (const double hz : plan[0].other_hands_hz) {
                    const double cents = cents_between(hz, horn::partial_hz(partial, tuning));
                    const bool is_degree =
                        std::any_of(horn::kHands.begin(), horn::kHands.end(), [&](horn::Hand hand) {
                            return std::fabs(horn::response_at(
                                                 response, partial, horn::closure_of(hand)) -
                                             cents) < 1.0;
                        });
                    CAPTURE(std::string(crook.id));
                    CAPTURE(partial);
                    CHECK(is_degree);
                    ++found;
                }
            }
        }
        CHECK(found > 100);
    }
}

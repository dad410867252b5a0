#include "drill/part_exercise.h"

#include "drill/plan.h"
#include "drill/runner.h"
#include "support/scores.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::drill;

namespace {

struct Read {
    part::Part part;
    part::Plan plan;
};

Read demo(const char* name, std::optional<int> player = std::nullopt) {
    const auto score = part::Score::load(test::source_root() / "assets" / "parts" / name);
    REQUIRE(score);
    part::ReadOptions options;
    options.player = player;
    const auto part = part::read_part(*score, 0, options);
    REQUIRE(part);
    REQUIRE(part->questions.empty());
    return {*part, part::plan_part(*part, {}).value()};
}

int last_bar(const Read& read) {
    return static_cast<int>(read.part.music.bars.size()) - 1;
}

} // namespace

TEST_SUITE("drill/part_exercise") {
    TEST_CASE("a part with a pick-up, a repeat and two endings") {
        const Read read = demo("evening_round.musicxml");
        const auto made = exercise_of_part(read.part, read.plan, 0, last_bar(read));
        REQUIRE(made);
        const std::vector<Step>& steps = made->exercise.steps;
        CHECK(made->crook.id == std::string("E"));
        CHECK(steps.front().written->number == 67);
        CHECK(steps.front().quarters == 0.5);
        CHECK(made->exercise.quarters_per_minute == doctest::Approx(99.0)); // dotted quarter = 66
        CHECK(made->attack_of.size() == steps.size());
        // The repeated bars come twice, with the plan's hand both times.
        int times = 0;
        for (std::size_t i = 0; i < steps.size(); ++i) {
            const part::Attack& attack = read.part.attacks[made->attack_of[i]];
            if (!steps[i].written) {
                continue;
            }
            CHECK(*steps[i].written == attack.written);
            CHECK(steps[i].hand == read.plan.notes[made->attack_of[i]].choice->way.hand);
            times += attack.at.bar == 5 && attack.in_bar == 1 ? 1 : 0;
        }
        CHECK(times == 2);
        // Bars are places to start from, whatever the metre and the pick-up.
        PlanSettings settings;
        settings.tuning.crook = made->crook;
        const std::vector<Asked> plan = plan_of(made->exercise, settings);
        CHECK(plan[0].bar_begins);
        CHECK(plan[1].bar_begins);
        CHECK_FALSE(plan[2].bar_begins);
    }

    TEST_CASE("another crook inside is a sentence, the bars of one crook are not") {
        const Read read = demo("the_ferryman.musicxml");
        const auto all = exercise_of_part(read.part, read.plan, 0, last_bar(read));
        REQUIRE_FALSE(all);
        CHECK(all.error().message.find("bar 17") != std::string::npos);
        const auto middle = exercise_of_part(read.part, read.plan, 12, 24);
        REQUIRE(middle);
        CHECK(middle->crook.id == std::string("D"));
        CHECK_FALSE(middle->exercise.steps.front().written); // four bars of rest to change in
        CHECK(middle->exercise.steps.front().quarters == 16.0);
        CHECK_FALSE(exercise_of_part(read.part, read.plan, 12, 15));
    }

    TEST_CASE("a part of 5000 notes can be run") {
        const Read read = demo("two_at_the_gate.musicxml", 1);
        auto made = exercise_of_part(read.part, read.plan, 0, last_bar(read));
        REQUIRE(made);
        std::vector<Step>& steps = made->exercise.steps;
        const std::vector<Step> once = steps;
        while (steps.size() < 5000) {
            steps.insert(steps.end(), once.begin(), once.end());
        }
        RunSettings settings;
        settings.tuning.crook = made->crook;
        const auto runner = Runner::make(made->exercise, settings);
        REQUIRE(runner);
        CHECK(runner->asked().size() > 4000);
    }
}

#include "drill/part_exercise.h"

#include "drill/part_results.h"
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

    TEST_CASE("steps tell bar, crook, metre and tempo; rests are cut at bar lines") {
        const Read read = demo("the_ferryman.musicxml");
        const auto all = exercise_of_part(read.part, read.plan, 0, last_bar(read));
        REQUIRE(all);
        CHECK(all->crook.id == std::string("F"));
        for (std::size_t i = 0; i < all->exercise.steps.size(); ++i) {
            const Step& step = all->exercise.steps[i];
            REQUIRE(step.in_part);
            const part::Attack& attack = read.part.attacks[all->attack_of[i]];
            if (step.written) {
                CHECK(crook_at(step.in_part->crook) == read.part.crooks[attack.crook].crook);
                CHECK(step.in_part->number ==
                      read.part.music.bars[static_cast<std::size_t>(attack.at.bar)].number);
            } else {
                CHECK(step.quarters <= step.in_part->metre.quarters());
            }
        }
        const auto middle = exercise_of_part(read.part, read.plan, 12, 24);
        REQUIRE(middle);
        CHECK(middle->crook.id == std::string("D"));
        double rest = 0.0; // four bars to change in
        for (std::size_t i = 0; !middle->exercise.steps[i].written; ++i) {
            rest += middle->exercise.steps[i].quarters;
        }
        CHECK(rest == 16.0);
        CHECK_FALSE(exercise_of_part(read.part, read.plan, 12, 15));
    }

    TEST_CASE("the id names the part and its bars, and no other part") {
        const Read read = demo("the_ferryman.musicxml");
        const auto some = exercise_of_part(read.part, read.plan, 3, 9);
        REQUIRE(some);
        const auto bars = bars_of_id(read.part, some->exercise.id);
        REQUIRE(bars);
        CHECK(bars->first == 3);
        CHECK(bars->last == 9);
        CHECK_FALSE(bars_of_id(demo("evening_round.musicxml").part, some->exercise.id));
        CHECK_FALSE(bars_of_id(read.part, "cold-partials"));
        CHECK_FALSE(bars_of_id(read.part, some->exercise.id + "9"));
        for (const char c : some->exercise.id) {
            CHECK(((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-'));
        }
    }

    TEST_CASE("bars with most faults are drilled with the bar before, joined where they touch") {
        const Read read = demo("the_ferryman.musicxml");
        const auto all = exercise_of_part(read.part, read.plan, 0, last_bar(read));
        BarResults results;
        for (std::uint32_t step = 0; step < all->exercise.steps.size(); ++step) {
            const int bar = read.part.attacks[all->attack_of[step]].at.bar;
            if (!all->exercise.steps[step].written) {
                continue;
            }
            Judgement judged;
            judged.step = step;
            judged.played = true;
            if (bar == 1 || bar == 2 || (bar == 20 && step % 2 == 0)) {
                judged.faults = {Fault::flat};
            }
            add_result(results, read.part, *all, judged);
            judged.extra = true; // a note too many is nobody's
            add_result(results, read.part, *all, judged);
        }
        const std::vector<BarResult> worst = worst_bars(results, 4);
        REQUIRE(worst.size() >= 2);
        CHECK(worst[0].faulty == worst[0].judged);
        const std::vector<PartBars> stretches = stretches_of(worst);
        CHECK(stretches.front().first == 0);
        CHECK(stretches.front().last == 2);
        CHECK(worst_bars({}, 4).empty());
    }

    TEST_CASE("a change of crook is waited for at its rest, whose bars are counted") {
        const Read read = demo("the_ferryman.musicxml");
        const auto made = exercise_of_part(read.part, read.plan, 0, 24);
        REQUIRE(made);
        RunSettings settings;
        settings.tuning.crook = made->crook;
        settings.repeat_missed = 0;
        auto runner = Runner::make(made->exercise, settings);
        REQUIRE(runner);
        const double quarter_s = 60.0 / made->exercise.quarters_per_minute;
        double now_s = 1.0;
        std::uint32_t index = 0;
        const auto play = [&](const Asked& asked) {
            trainer::PlayedNote note;
            note.index = index++;
            note.start_s = now_s;
            note.duration_s = 0.9 * asked.quarters * quarter_s;
            note.f0_hz = asked.target_hz;
            note.target_hz = asked.target_hz;
            note.written = asked.written;
            note.finished = true;
            runner->finished(note);
        };
        const std::vector<Asked> plan = runner->asked();
        for (std::size_t i = 0; i < plan.size(); ++i) {
            play(plan[i]);
            if (i + 1 == plan.size()) {
                break;
            }
            const double next_s =
                now_s + (plan[i + 1].at_quarters - plan[i].at_quarters) * quarter_s;
            if (!(plan[i + 1].crook == plan[i].crook)) {
                CHECK(runner->where().tuning.crook == plan[i].crook);
                const double from_s = now_s + plan[i].quarters * quarter_s;
                int bars = 0;
                for (double t = from_s; t < next_s; t += 0.1) {
                    runner->advance(t);
                    if (t > from_s + 0.4) {
                        CHECK(runner->where().phase == Phase::new_crook);
                        CHECK(runner->where().tuning.crook == plan[i + 1].crook);
                        CHECK(runner->where().rest_bar >= bars);
                        bars = runner->where().rest_bar;
                    }
                }
                CHECK(runner->where().rest_bars == 4);
                CHECK(bars == 4);
                // Whoever needs longer for the crook is waited for.
                runner->advance(next_s + 60.0);
                CHECK(runner->where().phase == Phase::new_crook);
                now_s = next_s + 60.0;
            } else {
                now_s = next_s;
            }
        }
        runner->advance(now_s + 10.0);
        CHECK(runner->where().phase == Phase::finished);
        Judgement judged;
        int right = 0;
        while (runner->next(judged)) {
            right += judged.played && !judged.extra ? 1 : 0;
        }
        CHECK(right == static_cast<int>(plan.size()));
    }

    TEST_CASE("begun in a chosen bar, nothing before is missed, and it can be gone back to") {
        const Read read = demo("the_ferryman.musicxml");
        const auto made = exercise_of_part(read.part, read.plan, 0, 11);
        REQUIRE(made);
        RunSettings settings;
        settings.tuning.crook = made->crook;
        settings.repeat_missed = 0;
        settings.start_step = step_of_bar(read.part, {0, 11}, made->exercise, 8);
        REQUIRE(settings.start_step);
        auto runner = Runner::make(made->exercise, settings);
        REQUIRE(runner);
        CHECK(made->exercise.steps[runner->where().next].in_part->number == "9");
        double now_s = 1.0;
        std::uint32_t index = 0;
        const auto play_from = [&](std::uint32_t step, std::size_t notes) {
            for (const Asked& asked : runner->asked()) {
                if (asked.step < step || notes == 0) {
                    continue;
                }
                trainer::PlayedNote note;
                note.index = index++;
                note.start_s = now_s;
                note.duration_s = asked.quarters * 0.5;
                note.f0_hz = asked.target_hz;
                note.finished = true;
                now_s += note.duration_s + 0.05;
                runner->finished(note);
                --notes;
            }
        };
        play_from(*settings.start_step, 5);
        runner->advance(now_s += 3.0);
        play_from(*step_of_bar(read.part, {0, 11}, made->exercise, 4), 6);
        runner->advance(now_s += 3.0);
        Judgement judged;
        std::vector<std::uint32_t> steps;
        while (runner->next(judged)) {
            CHECK(judged.played);
            steps.push_back(judged.step);
        }
        REQUIRE(steps.size() == 11);
        CHECK(steps.front() >= *settings.start_step);
        CHECK(made->exercise.steps[steps.back()].in_part->bar <= 6);
        CHECK_FALSE(step_of_bar(read.part, {0, 11}, made->exercise, 76));
        CHECK_FALSE(step_of_bar(read.part, {0, 11}, made->exercise, 12));
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

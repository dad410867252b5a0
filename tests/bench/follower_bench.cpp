// The follower on a real part as it is and on copies of it up to 5000 notes: milliseconds a note. Run from the repository's root:
//   build/release/tests/follower_bench
#include "drill/follower.h"

#include "drill/plan.h"
#include "part/part.h"
#include "support/scores.h"

#include <cmath>

#include <benchmark/benchmark.h>

using namespace bellhand;

namespace {

constexpr double kQuarter_s = 0.6;

/// The notes of the kept high part, as often as it takes; none where the score cannot be read.
std::vector<drill::Asked> long_plan(std::size_t notes) {
    const auto score = part::Score::load(test::kept_score("high_horn_in_d.mxl"));
    const auto part = score ? part::read_part(*score, 0) : tl::unexpected(score.error());
    if (!part || part->attacks.empty() || part->crooks.empty()) {
        return {};
    }
    drill::Exercise exercise;
    while (exercise.steps.size() < notes) {
        const part::Attack& attack = part->attacks[exercise.steps.size() % part->attacks.size()];
        drill::Step step;
        step.written = attack.written;
        step.quarters = static_cast<double>(attack.ticks) / part::kQuarter;
        exercise.steps.push_back(step);
    }
    drill::PlanSettings settings;
    settings.tuning.crook = part->crooks.front().crook;
    return drill::plan_of(exercise, settings);
}

void heard_note_by_note(benchmark::State& state) {
    const std::vector<drill::Asked> plan = long_plan(static_cast<std::size_t>(state.range(0)));
    if (plan.empty()) {
        state.SkipWithError("the score is not there: run this from the repository's root");
        return;
    }
    drill::Follower follower(plan, 1, 1, kQuarter_s);
    std::size_t at = 0;
    std::size_t placed = 0;
    double before = 0.0; // quarters from the beginning of the note before to this one's
    double sounding_before = 0.0;
    drill::Aligned aligned;
    for (auto _ : state) {
        if (at == plan.size()) {
            state.PauseTiming();
            follower = drill::Follower(plan, 1, 1, kQuarter_s);
            at = placed = 0;
            state.ResumeTiming();
        }
        const double next = at + 1 < plan.size() ? plan[at + 1].at_quarters : 0.0;
        const double sounding = 0.9 * plan[at].quarters; // quarters
        const double gap = before - sounding_before;
        follower.hear({plan[at].target_hz, sounding * kQuarter_s, 0.0, gap * kQuarter_s});
        before = next - plan[at].at_quarters;
        sounding_before = sounding;
        ++at;
        while (follower.next(aligned)) {
            placed += aligned.kind == drill::Aligned::Kind::played && aligned.asked == aligned.note
                          ? 1
                          : 0;
        }
    }
    state.counters["placed %"] =
        at > 0 ? 100.0 * static_cast<double>(placed) / static_cast<double>(at) : 0.0;
}

} // namespace

BENCHMARK(heard_note_by_note)->Arg(446)->Arg(1200)->Arg(5000)->Unit(benchmark::kMillisecond);

BENCHMARK_MAIN();

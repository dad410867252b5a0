// How long planning takes: the usual box (2 masters, 7 couplers, 3 bits) searched whole, larger ones in part, 40 numbers
// in 17 keys. The peer of each plan in the same run is the direct method: the same candidates with
// every stack compared with every other.
#include "instrument/planner/planner.h"

#include "horn/crook.h"
#include "instrument/planner/candidates.h"

#include <random>
#include <string>

#include <benchmark/benchmark.h>

namespace {

using namespace bellhand;
using namespace bellhand::instrument;

constexpr AirInHorn kAir{22.0, 0.5};

HornLengths large_horn(int masters, int couplers, int bits) {
    std::mt19937 random(5);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    HornLengths horn;
    horn.body_m = 2.36;
    horn.slide = {0.045, 0.0, 2};
    horn.tube_factor = 0.978;
    horn.couplers = static_cast<std::size_t>(couplers);
    const auto piece = [&](PieceKind kind, double acoustic_m, double reach_m) {
        HornPiece made;
        made.kind = kind;
        made.name = std::to_string(horn.crooks.size() + horn.between.size());
        made.acoustic_m = acoustic_m;
        made.reach_m = reach_m;
        made.takes_couplers = kind == PieceKind::master_crook;
        return made;
    };
    for (int i = 0; i < masters; ++i) {
        horn.crooks.push_back(piece(PieceKind::master_crook, 0.3 + 0.3 * i, 0.11));
    }
    for (int i = 0; i < couplers; ++i) {
        horn.between.push_back(
            piece(PieceKind::coupler, 0.15 + 1.1 * unit(random), 0.05 + 0.03 * unit(random)));
    }
    for (int i = 0; i < bits; ++i) {
        const double acoustic_m = 0.01 + 0.08 * unit(random);
        horn.between.push_back(piece(PieceKind::tuning_bit, acoustic_m, acoustic_m));
    }
    return horn;
}

/// Seventeen keys over and over; `short_rests`: every change is under pressure.
SetList long_list(std::size_t numbers, bool short_rests) {
    std::mt19937 random(9);
    SetList list;
    list.a4_hz = 430.0;
    const auto keys = horn::all_crooks();
    for (std::size_t i = 0; i < numbers; ++i) {
        Number number;
        number.key = keys[(i * 7) % keys.size()];
        number.rest_before_s = short_rests ? 5.0 + static_cast<double>(random() % 20) : 60.0;
        list.numbers.push_back(number);
    }
    return list;
}

/// Arguments: masters, couplers, bits, most pieces between.
void plan_box(benchmark::State& state, Choose choose, bool short_rests) {
    const HornLengths horn = large_horn(static_cast<int>(state.range(0)),
                                        static_cast<int>(state.range(1)),
                                        static_cast<int>(state.range(2)));
    const SetList list = long_list(40, short_rests);
    PlanRequest request;
    request.choose = choose;
    request.most_between = static_cast<int>(state.range(3));
    Plan plan;
    for (auto _ : state) {
        plan = *plan_set_list(horn, list, kAir, request);
        benchmark::DoNotOptimize(plan);
    }
    state.counters["candidates"] = static_cast<double>(plan.candidates);
    state.counters["packed"] = static_cast<double>(plan.packed.size());
    state.counters["change_s"] = plan.change_s;
    state.counters["too_short"] = plan.too_short;
    state.counters["tight"] = plan.tight;
    state.counters["slide_moves"] = plan.slide_moves;
    state.counters["searched_between"] = plan.searched_between;
    state.counters["slide_step_mm"] = 1000.0 * plan.slide_step_m;
    state.counters["all_compared"] = plan.all_compared ? 1 : 0;
}

void build_largest(benchmark::State& state) {
    const HornLengths horn = large_horn(6, 12, 10);
    BuildRequest request;
    request.target = {*horn::parse_crook("D"), 430.0, kAir};
    request.most_between = static_cast<int>(state.range(0));
    BuildAnswer answer;
    for (auto _ : state) {
        answer = ways_to_build(horn, request);
        benchmark::DoNotOptimize(answer);
    }
    state.counters["found"] = static_cast<double>(answer.found);
    state.counters["stacks"] = static_cast<double>(answer.stacks);
}

void sequence(benchmark::State& state, bool directly) {
    const HornLengths horn = large_horn(2, 7, 3);
    const SetList list = long_list(40, true);
    const Twins twins = find_twins(horn);
    const auto gathered = gather(horn, twins, list, kAir, {}, {5, 0.001});
    const Candidates& candidates = gathered->candidates;
    const Weighing weighing(Choose::least_change, {});
    const auto search = CheapestSearch::over(twins, candidates);
    Cost cost = 0;
    for (auto _ : state) {
        cost = directly ? cheapest_choice_directly(candidates, weighing, std::nullopt).cost
                        : search->cheapest(candidates, weighing, std::nullopt).cost;
        benchmark::DoNotOptimize(cost);
    }
    state.counters["cost_mod"] = static_cast<double>(cost % 1'000'003);
}

void boxes(benchmark::internal::Benchmark* bench) {
    bench->Args({2, 7, 3, 5})
        ->Args({6, 12, 10, 6})
        ->Args({8, 16, 16, 6})
        ->Unit(benchmark::kMillisecond);
}

BENCHMARK_CAPTURE(plan_box, least_change, Choose::least_change, false)->Apply(boxes);
BENCHMARK_CAPTURE(plan_box, least_change_short_rests, Choose::least_change, true)->Apply(boxes);
BENCHMARK_CAPTURE(plan_box, least_reach_short_rests, Choose::least_reach, true)->Apply(boxes);
BENCHMARK_CAPTURE(plan_box, fewest_pieces_short_rests, Choose::fewest_pieces, true)->Apply(boxes);
BENCHMARK(build_largest)->Arg(6)->Arg(22)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(sequence, swept, false)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(sequence, pair_by_pair, true)->Unit(benchmark::kMillisecond);

} // namespace

BENCHMARK_MAIN();

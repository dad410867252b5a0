// Reading and planning: a long part, and a large score. Run from the repository's root:
//   build/release/tests/part_bench
#include "part/plan/plan.h"
#include "support/scores.h"

#include <string>

#include <benchmark/benchmark.h>
#include <pugixml.hpp>

using namespace bellhand;
using namespace bellhand::part;

namespace {

/// The bars of a kept part over and over until there are so many attacks.
std::string long_part(std::size_t attacks) {
    const auto score = Score::load(test::kept_score("high_horn_in_d.mxl"));
    const std::string& text = score->text();
    const std::size_t from = text.find("<measure");
    const std::size_t to = text.rfind("</part>");
    const std::size_t second =
        text.find("<measure", from + 1); // the first bar holds clef and transposition
    std::string longer = text.substr(0, to);
    for (std::size_t have = 446; have < attacks; have += 440) {
        longer += text.substr(second, to - second);
    }
    return longer + text.substr(to);
}

/// A full score of about so many bytes: the long part beside copies of itself under other names.
std::string large_score(std::size_t bytes) {
    const std::string one = long_part(2000);
    const std::size_t from = one.find("<part id=");
    const std::size_t to = one.find("</score-partwise>");
    std::string parts = one.substr(from, to - from);
    std::string list;
    std::string music = parts;
    for (int i = 2; music.size() < bytes; ++i) {
        const std::string id = "P" + std::to_string(i);
        list += "<score-part id=\"" + id + "\"><part-name>Violin</part-name></score-part>";
        std::string copy = parts;
        copy.replace(copy.find("\"P1\""), 4, "\"" + id + "\"");
        music += copy;
    }
    std::string head = one.substr(0, from);
    head.insert(head.find("</part-list>"), list);
    return head + music + one.substr(to);
}

void read_and_plan(benchmark::State& state, const std::string& text) {
    std::size_t attacks = 0;
    for (auto _ : state) {
        const auto score = Score::open(text, "bench");
        const auto part = read_part(*score, 0);
        const auto plan = plan_part(*part, {});
        attacks = plan->notes.size();
    }
    state.counters["notes"] = static_cast<double>(attacks);
    state.counters["megabytes"] = static_cast<double>(text.size()) / 1e6;
}

void long_part_read_and_planned(benchmark::State& state) {
    read_and_plan(state, long_part(5000));
}

void large_score_read_and_planned(benchmark::State& state) {
    read_and_plan(state, large_score(26'000'000));
}

/// The peer: the same text parsed by a general-purpose library and not understood.
void large_score_parsed_only(benchmark::State& state) {
    const std::string text = large_score(26'000'000);
    for (auto _ : state) {
        pugi::xml_document document;
        benchmark::DoNotOptimize(document.load_buffer(text.data(), text.size()));
    }
}

void crooks_compared(benchmark::State& state) {
    const auto score = Score::open(long_part(5000), "bench");
    const auto part = read_part(*score, 0);
    for (auto _ : state) {
        benchmark::DoNotOptimize(compare_crooks(*part, {}));
    }
}

} // namespace

BENCHMARK(long_part_read_and_planned)->Unit(benchmark::kMillisecond);
BENCHMARK(large_score_read_and_planned)->Unit(benchmark::kMillisecond);
BENCHMARK(large_score_parsed_only)->Unit(benchmark::kMillisecond);
BENCHMARK(crooks_compared)->Unit(benchmark::kMillisecond);

BENCHMARK_MAIN();

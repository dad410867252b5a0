#include "drill/part_results.h"

#include <algorithm>

namespace bellhand::drill {

namespace {

constexpr int kLeastFaults = 2;
constexpr double kDoubt = 2.0; // notes more: of few notes a share says little

double badness(const BarResult& result) {
    return result.faulty / (result.judged + kDoubt);
}

} // namespace

void add_result(BarResults& results,
                const part::Part& part,
                const PartExercise& made,
                const Judgement& judgement) {
    if (judgement.extra || judgement.undecided() || judgement.step >= made.attack_of.size()) {
        return;
    }
    const int bar = part.attacks[made.attack_of[judgement.step]].at.bar;
    BarResult& result = results[bar];
    result.bar = bar;
    ++result.judged;
    result.faulty += judgement.good() ? 0 : 1;
}

std::vector<BarResult> worst_bars(const BarResults& results, std::size_t most) {
    std::vector<BarResult> worst;
    for (const auto& [bar, result] : results) {
        if (result.faulty >= kLeastFaults) {
            worst.push_back(result);
        }
    }
    std::stable_sort(worst.begin(), worst.end(), [](const BarResult& a, const BarResult& b) {
        return badness(a) > badness(b);
    });
    worst.resize(std::min(worst.size(), most));
    return worst;
}

std::vector<PartBars> stretches_of(const std::vector<BarResult>& bars) {
    std::vector<int> order;
    for (const BarResult& result : bars) {
        order.push_back(result.bar);
    }
    std::sort(order.begin(), order.end());
    std::vector<PartBars> stretches;
    for (const int bar : order) {
        const int from = std::max(0, bar - 1);
        if (!stretches.empty() && from <= stretches.back().last + 1) {
            stretches.back().last = bar;
        } else {
            stretches.push_back({from, bar});
        }
    }
    return stretches;
}

} // namespace bellhand::drill

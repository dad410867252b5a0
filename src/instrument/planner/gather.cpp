// Which stacks are in tune for every number of a list, and at which places of the slide.
#include "core/cents.h"
#include "instrument/planner/candidates.h"

#include <algorithm>
#include <cmath>

namespace bellhand::instrument {

namespace {

/// All different targets together; beyond it comparing them takes too long.
constexpr std::size_t kMostCandidates = 1'500'000;

Target target_of(const Number& number, const SetList& list, const AirInHorn& air) {
    Target target{number.key, number.a4_hz.value_or(list.a4_hz), air};
    if (const auto temperature_c =
            number.temperature_c ? number.temperature_c : list.temperature_c) {
        target.air.temperature_c = *temperature_c;
    }
    return target;
}

Rest rest_of(const Number& number, const PlanRequest& request) {
    if (!number.rest_before_s) {
        return {kLongRest, kLongRest};
    }
    const auto tenths = [](double seconds) {
        return static_cast<std::int32_t>(std::floor(10.0 * std::max(0.0, seconds) + 1e-6));
    };
    return {tenths(*number.rest_before_s),
            tenths((*number.rest_before_s - request.margin_s) / (1.0 + request.margin_share))};
}

/// The places at which a stack is within tolerance. The mark nearest to the exact pull always is, on a slide that is set
/// to the millimetre: nobody sets it closer. Empty (last before first) when there are none.
void find_places(const Candidates& all,
                 double target_m,
                 double tolerance_cents,
                 bool every_millimetre,
                 Candidate& candidate) {
    candidate.first_place = 0;
    candidate.last_place = -1;
    const auto off_cents = [&](int place) {
        return cents_between(
            target_m, candidate.pushed_in_m + all.slide_adds_m[static_cast<std::size_t>(place)]);
    };
    for (int place = 0; place < all.places.count(); ++place) {
        const double off = off_cents(place);
        bool in_tune = std::fabs(off) <= tolerance_cents;
        if (!in_tune && every_millimetre) {
            // Too high here and too low at the next mark, or the other way about.
            const bool next = place + 1 < all.places.count() && off > 0.0 &&
                              off_cents(place + 1) < 0.0 && off <= -off_cents(place + 1);
            const bool before =
                place > 0 && off < 0.0 && off_cents(place - 1) > 0.0 && -off < off_cents(place - 1);
            in_tune = next || before;
        }
        if (in_tune) {
            candidate.first_place = candidate.last_place < 0 ? place : candidate.first_place;
            candidate.last_place = place;
        }
    }
}

} // namespace

std::optional<Gathered> gather(const HornLengths& horn,
                               const Twins& twins,
                               const SetList& list,
                               const AirInHorn& air,
                               const PlanRequest& request,
                               const Bounds& bounds) {
    Gathered gathered;
    Candidates& all = gathered.candidates;
    all.places = slide_places(horn.slide, bounds.slide_step_m);
    for (const double pull_m : all.places.pull_m) {
        all.slide_adds_m.push_back(horn.slide_adds_m(pull_m));
    }
    const bool every_millimetre = all.places.count() < 2 || all.places.pull_m[1] < 0.0015;
    for (const Number& number : list.numbers) {
        const Target target = target_of(number, list, air);
        const double length_m = target_length_m(target);
        gathered.target_of_step.push_back(target);
        all.rest.push_back(rest_of(number, request));
        const auto known = std::find(all.target_m.begin(), all.target_m.end(), length_m);
        const auto place = static_cast<std::size_t>(known - all.target_m.begin());
        if (known == all.target_m.end()) {
            all.target_m.push_back(length_m);
            auto& stacks = all.of_target.emplace_back();
            each_stack_in_tune(
                horn,
                twins,
                length_m,
                request.tolerance_cents,
                bounds.most_between,
                [&](const Stack& stack, double pushed_in_m) {
                    Candidate candidate{
                        stack,
                        static_cast<std::int32_t>(std::lround(1000.0 * reach_of_m(horn, stack))),
                        0,
                        0,
                        pushed_in_m};
                    find_places(
                        all, length_m, request.tolerance_cents, every_millimetre, candidate);
                    if (candidate.places() > 0) {
                        stacks.push_back(candidate);
                        ++gathered.found;
                    }
                    return gathered.found <= kMostCandidates;
                });
            if (gathered.found > kMostCandidates) {
                return std::nullopt;
            }
            std::sort(stacks.begin(), stacks.end(), stack_before);
        }
        all.target_of_step.push_back(all.of_target[place].empty() ? -1 : static_cast<int>(place));
    }
    return gathered;
}

Candidates only_places(const Candidates& all, const std::vector<int>& places) {
    Candidates few = all;
    few.places.pull_m.clear();
    few.slide_adds_m.clear();
    for (const int place : places) {
        few.places.pull_m.push_back(all.places.pull_m[static_cast<std::size_t>(place)]);
        few.slide_adds_m.push_back(all.slide_adds_m[static_cast<std::size_t>(place)]);
    }
    for (std::size_t target = 0; target < few.of_target.size(); ++target) {
        auto& stacks = few.of_target[target];
        for (Candidate& candidate : stacks) {
            const auto first =
                std::lower_bound(places.begin(), places.end(), candidate.first_place);
            const auto last = std::upper_bound(first, places.end(), candidate.last_place);
            candidate.first_place = static_cast<std::int32_t>(first - places.begin());
            candidate.last_place = static_cast<std::int32_t>(last - places.begin()) - 1;
        }
        std::erase_if(stacks, [](const Candidate& one) { return one.places() <= 0; });
    }
    for (int& target : few.target_of_step) {
        if (target >= 0 && few.of_target[static_cast<std::size_t>(target)].empty()) {
            target = -1;
        }
    }
    return few;
}

} // namespace bellhand::instrument

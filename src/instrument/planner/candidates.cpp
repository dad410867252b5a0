#include "instrument/planner/candidates.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace bellhand::instrument {

bool stack_before(const Candidate& a, const Candidate& b) noexcept {
    return a.stack.between != b.stack.between ? a.stack.between < b.stack.between
                                              : a.stack.crook < b.stack.crook;
}

int SlidePlaces::nearest(double pull) const noexcept {
    const auto nearest = std::min_element(pull_m.begin(), pull_m.end(), [&](double a, double b) {
        return std::fabs(a - pull) < std::fabs(b - pull);
    });
    return static_cast<int>(nearest - pull_m.begin());
}

SlidePlaces slide_places(const TuningSlide& slide, double step_m) {
    const double least_m = slide.longest_pull_m / (kMostSlidePlaces - 1);
    const double whole_mm = std::ceil(1000.0 * std::max(step_m, least_m) - 1e-9);
    SlidePlaces places;
    for (int i = 1; i * whole_mm <= 1000.0 * slide.longest_pull_m + 1e-9; ++i) {
        places.pull_m.push_back(i * whole_mm / 1000.0);
    }
    return places;
}

std::int64_t
Candidates::left_tenths(std::size_t target, const Candidate& candidate, int place) const noexcept {
    const double length_m = candidate.pushed_in_m + slide_adds_m[static_cast<std::size_t>(place)];
    return std::llround(10.0 * std::fabs(cents_between(target_m[target], length_m)));
}

Weighing::Weighing(Choose choose, const ChangeTimes& times) {
    crook_tenths = in_tenths(times.crook_s);
    off_tenths = in_tenths(times.piece_off_s);
    on_tenths = in_tenths(times.piece_on_s);
    slide_tenths = in_tenths(times.slide_s);
    // Room of each field for 64 steps: cents 2^15 fifths, joints 2^12, seconds 2^22 tenths, reach 2^21 mm; one
    // impossible change outweighs 64 without a margin.
    if (choose == Choose::least_reach) {
        second_tenth = 1;
        stack_reach_mm_ = Cost{1} << 22;
        tight = Cost{1} << 43;
    } else {
        stack_left_ = 1;
        stack_joint_ = Cost{1} << 15;
        second_tenth = Cost{1} << 27;
        tight = Cost{1} << 49;
    }
    too_short = 65 * tight;
}

std::size_t different_pieces(const Candidates& candidates, const Choice& choice) {
    PieceSet between = 0;
    std::set<int> crooks;
    for (std::size_t step = 0; step < choice.of_step.size(); ++step) {
        if (choice.of_step[step] < 0) {
            continue;
        }
        const auto target = static_cast<std::size_t>(candidates.target_of_step[step]);
        const Stack& stack =
            candidates.of_target[target][static_cast<std::size_t>(choice.of_step[step])].stack;
        between |= stack.between;
        if (stack.crook >= 0) {
            crooks.insert(stack.crook);
        }
    }
    return static_cast<std::size_t>(std::popcount(between)) + crooks.size();
}

} // namespace bellhand::instrument

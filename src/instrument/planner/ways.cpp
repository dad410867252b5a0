#include "instrument/planner/ways.h"

#include "core/cents.h"
#include "horn/tuning.h"
#include "instrument/lengths.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <queue>
#include <tuple>

namespace bellhand::instrument {

namespace {

/// A subset of one half of the pieces.
struct PartSum {
    double length_m = 0.0;
    PieceSet set = 0;
};

/// Subsets of `pieces` with at most `most` members, by number of members, each group sorted by length.
std::vector<std::vector<PartSum>>
part_sums(const HornLengths& horn, const std::vector<std::size_t>& pieces, int most) {
    const std::size_t groups =
        std::min(pieces.size(), static_cast<std::size_t>(std::max(most, 0))) + 1;
    std::vector<std::vector<PartSum>> sums(groups);
    sums[0].push_back({});
    for (const std::size_t piece : pieces) {
        for (std::size_t members = groups - 1; members > 0; --members) {
            const std::size_t count = sums[members - 1].size();
            for (std::size_t i = 0; i < count; ++i) {
                const PartSum& smaller = sums[members - 1][i];
                sums[members].push_back({smaller.length_m + horn.between[piece].acoustic_m,
                                         smaller.set | (PieceSet{1} << piece)});
            }
        }
    }
    for (auto& group : sums) {
        std::sort(group.begin(), group.end(), [](const PartSum& a, const PartSum& b) {
            return a.length_m < b.length_m;
        });
    }
    return sums;
}

struct Window {
    double shortest_m = 0.0;
    double longest_m = 0.0;
};

/// Both halves of what can go between, ready to be matched.
class Halves {
public:
    Halves(const HornLengths& horn, bool with_couplers, int most) : most_(most) {
        std::array<std::vector<std::size_t>, 2> pieces;
        for (std::size_t i = with_couplers ? 0 : horn.couplers; i < horn.between.size(); ++i) {
            pieces[i % 2].push_back(i);
        }
        first_ = part_sums(horn, pieces[0], most);
        second_ = part_sums(horn, pieces[1], most);
    }

    template <typename Visit>
    [[nodiscard]] bool each_in(const Window& window, Visit visit) const {
        for (std::size_t members = 0; members < first_.size(); ++members) {
            for (const PartSum& part : first_[members]) {
                const std::size_t rest = static_cast<std::size_t>(most_) - members;
                for (std::size_t others = 0; others < second_.size() && others <= rest; ++others) {
                    if (!match(part, second_[others], window, visit)) {
                        return false;
                    }
                }
            }
        }
        return true;
    }

private:
    template <typename Visit>
    static bool match(const PartSum& part,
                      const std::vector<PartSum>& group,
                      const Window& window,
                      Visit visit) {
        auto other = std::lower_bound(
            group.begin(),
            group.end(),
            window.shortest_m - part.length_m,
            [](const PartSum& sum, double length_m) { return sum.length_m < length_m; });
        for (; other != group.end() && part.length_m + other->length_m <= window.longest_m;
             ++other) {
            if (!visit(part.set | other->set, part.length_m + other->length_m)) {
                return false;
            }
        }
        return true;
    }

    int most_;
    std::vector<std::vector<PartSum>> first_;
    std::vector<std::vector<PartSum>> second_;
};

constexpr double kLikely = 0.8;
constexpr double kEven = 0.5;
constexpr double kDoubtful = 0.2; ///< less is not worth listing
constexpr double kWidest_cents = 30.0;

int doubt_of(double chance) noexcept {
    return chance >= kLikely ? 0 : chance >= kEven ? 1 : 2;
}

/// Smaller is better.
auto rank_of(const HornLengths& horn, const Way& way) {
    return std::tuple(doubt_of(way.chance),
                      way.joints,
                      way.change.seconds,
                      std::lround(std::fabs(way.slide.left_cents)),
                      std::lround(1000.0 * way.reach_m),
                      std::fabs(way.slide.pull_m - horn.slide.usual_pull_m),
                      way.stack.crook,
                      way.stack.between);
}

/// Share of the normal distribution below x.
double normal_below(double x) noexcept {
    return 0.5 * std::erfc(-x / std::numbers::sqrt2);
}

/// That a stack known to `sd_cents` comes within tolerance somewhere between slide in and slide out.
double chance_in_tune(const HornLengths& horn,
                      double pushed_in_m,
                      double target_m,
                      double tolerance_cents,
                      double sd_cents) noexcept {
    const double in_cents = cents_between(target_m, pushed_in_m);
    const double out_cents =
        cents_between(target_m, pushed_in_m + horn.slide_adds_m(horn.slide.longest_pull_m));
    if (!(sd_cents > 0.0)) {
        return in_cents >= -tolerance_cents && out_cents <= tolerance_cents ? 1.0 : 0.0;
    }
    return normal_below((tolerance_cents - out_cents) / sd_cents) -
           normal_below((-tolerance_cents - in_cents) / sd_cents);
}

/// How far beyond the tolerance a stack may lie and still turn out in tune: what is known of the bare crooks.
double uncertain_cents(const HornLengths& horn) {
    double widest = 0.0;
    for (int crook = 0; crook < static_cast<int>(horn.crooks.size()); ++crook) {
        widest = std::max(widest, settled_sd_cents(horn, {crook, 0}));
    }
    return std::min(kWidest_cents, 1.5 * widest);
}

} // namespace

double target_length_m(const Target& target) noexcept {
    return acoustic_length_m(horn::fundamental_hz({target.key, target.a4_hz, {}}),
                             speed_of_sound_m_s(target.air));
}

SlideSetting
slide_at(const HornLengths& horn, double pushed_in_m, double target_m, double pull_m) noexcept {
    const auto cents = [&](double pull) {
        return cents_between(target_m, pushed_in_m + horn.slide_adds_m(pull));
    };
    return {pull_m, cents(pull_m), cents(horn.slide.usual_pull_m)};
}

SlideSetting set_slide(const HornLengths& horn, double pushed_in_m, double target_m) noexcept {
    const double wanted_m = (target_m - pushed_in_m) * horn.tube_factor / horn.slide.legs;
    SlideSetting setting =
        slide_at(horn, pushed_in_m, target_m, std::clamp(wanted_m, 0.0, horn.slide.longest_pull_m));
    setting.left_cents = setting.pull_m == wanted_m ? 0.0 : setting.left_cents;
    return setting;
}

void each_stack_in_tune(const HornLengths& horn,
                        const Twins& twins,
                        double target_m,
                        double tolerance_cents,
                        int most_between,
                        const std::function<bool(const Stack&, double)>& visit) {
    const double ratio = ratio_of_cents(tolerance_cents);
    const Window whole{target_m / ratio - horn.slide_adds_m(horn.slide.longest_pull_m),
                       target_m * ratio};
    const Halves any(horn, true, most_between);
    const Halves bits(horn, false, most_between);
    const auto search = [&](int crook, const Halves& halves, double bare_m) {
        return halves.each_in(
            {whole.shortest_m - bare_m, whole.longest_m - bare_m},
            [&](PieceSet set, double between_m) {
                return !twins.canonical(set) || visit({crook, set}, bare_m + between_m);
            });
    };
    if (horn.plays_without_crook && !search(-1, bits, horn.body_m)) {
        return;
    }
    for (std::size_t crook = 0; crook < horn.crooks.size(); ++crook) {
        if (!search(static_cast<int>(crook),
                    horn.crooks[crook].takes_couplers ? any : bits,
                    horn.body_m + horn.crooks[crook].acoustic_m)) {
            return;
        }
    }
}

BuildAnswer ways_to_build(const HornLengths& horn, const BuildRequest& request) {
    BuildAnswer answer;
    answer.searched_between = searchable_most_between(horn, request.most_between);
    answer.stacks = static_cast<std::uint64_t>(count_stacks(horn, answer.searched_between));
    const double target_m = target_length_m(request.target);
    const Twins twins = find_twins(horn, request.from ? request.from->between : 0);
    const auto better = [&](const Way& a, const Way& b) {
        return rank_of(horn, a) < rank_of(horn, b);
    };
    // A heap of the best so far, worst of them on top.
    std::priority_queue<Way, std::vector<Way>, decltype(better)> best(better);
    bool anything = false; // take the nearest, whatever it is
    const auto consider = [&](const Stack& stack, double pushed_in_m) {
        Way way;
        way.stack = stack;
        way.slide = set_slide(horn, pushed_in_m, target_m);
        way.in_tune = std::fabs(way.slide.left_cents) <= request.tolerance_cents + 1e-9;
        way.chance = chance_in_tune(
            horn, pushed_in_m, target_m, request.tolerance_cents, settled_sd_cents(horn, stack));
        answer.found += way.in_tune || anything ? 1 : 0;
        if (!way.in_tune && !anything && way.chance < kDoubtful) {
            return true;
        }
        way.joints = pieces_in(stack);
        way.reach_m = reach_of_m(horn, stack);
        if (request.from) {
            way.change.seconds = change_seconds(horn.change_times, *request.from, stack);
        }
        if (best.size() < request.most_ways) {
            best.push(std::move(way));
        } else if (!best.empty() && better(way, best.top())) {
            best.pop();
            best.push(std::move(way));
        }
        return true;
    };
    const auto search = [&](double tolerance_cents) {
        each_stack_in_tune(
            horn, twins, target_m, tolerance_cents, answer.searched_between, consider);
    };
    search(request.tolerance_cents + uncertain_cents(horn));
    answer.in_tune = answer.found > 0;
    if (best.empty()) {
        // Widen until something is caught: the nearest lies within the last window.
        anything = true;
        double tolerance_cents = request.tolerance_cents + 5.0;
        while (answer.found == 0 && tolerance_cents < 40'000.0) {
            tolerance_cents *= 2.0;
            search(tolerance_cents);
        }
        answer.found = 0;
    }
    for (; !best.empty(); best.pop()) {
        Way way = best.top();
        if (request.from) {
            way.change = change_between(horn, *request.from, way.stack);
        }
        answer.ways.push_back(std::move(way));
    }
    std::reverse(answer.ways.begin(), answer.ways.end());
    if (anything) {
        std::stable_sort(answer.ways.begin(), answer.ways.end(), [](const Way& a, const Way& b) {
            return std::fabs(a.slide.left_cents) < std::fabs(b.slide.left_cents);
        });
    }
    return answer;
}

} // namespace bellhand::instrument

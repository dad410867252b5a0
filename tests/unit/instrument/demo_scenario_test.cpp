// The invented coupler horn (2 masters, 7 couplers, 3 bits) and the invented opera of nine keys: the planner against
// every subset of the twelve pieces.
#include "core/assets.h"
#include "instrument/planner/planner.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::instrument;

namespace {

constexpr int kMost = 5;
constexpr double kTolerance_cents = 5.0;

struct Scene {
    Profile profile = *load_profile(assets_folder() / "instruments" / "demo_coupler_horn.json");
    HornLengths horn = *settle_lengths(profile);
    SetList list = *load_set_list(assets_folder() / "setlists" / "demo_opera.json");
    /// In tune for number i: every one of the 2 x 2^10 stacks was looked at.
    std::vector<std::vector<Stack>> in_tune;
    std::vector<std::vector<double>> left_cents;

    Scene() {
        for (const Number& number : list.numbers) {
            AirInHorn air = profile.air;
            air.temperature_c = list.temperature_c.value_or(air.temperature_c);
            const double target_m = target_length_m({number.key, list.a4_hz, air});
            in_tune.emplace_back();
            left_cents.emplace_back();
            for (int crook = 0; crook < 2; ++crook) {
                for (PieceSet set = 0; set < 1024; ++set) {
                    if (std::popcount(set) > kMost) {
                        continue;
                    }
                    double length_m =
                        horn.body_m + horn.crooks[static_cast<std::size_t>(crook)].acoustic_m;
                    for (std::size_t i = 0; i < 10; ++i) {
                        length_m += ((set >> i) & 1) != 0 ? horn.between[i].acoustic_m : 0.0;
                    }
                    const double longest_m = length_m + 2 * 0.045 / horn.tube_factor;
                    const double cents = length_m > target_m ? 1200 * std::log2(target_m / length_m)
                                         : longest_m < target_m
                                             ? 1200 * std::log2(target_m / longest_m)
                                             : 0.0;
                    if (std::fabs(cents) <= kTolerance_cents) {
                        in_tune.back().push_back({crook, set});
                        left_cents.back().push_back(std::fabs(cents));
                    }
                }
            }
        }
    }

    [[nodiscard]] double seconds(const Stack& a, const Stack& b) const {
        return a == b ? 0.0
                      : 4.0 + 2.0 * std::popcount(a.between & ~b.between) +
                            3.0 * std::popcount(b.between & ~a.between);
    }

    /// Wishes of a change and of a stack, in strict order.
    using Worth = std::array<double, 4>;

    /// The best that any sequence can reach, by trying every pair of neighbours (Bellman); `allowed` restricts stacks.
    template <typename Allowed>
    [[nodiscard]] Worth best_sequence(bool by_reach, Allowed allowed) const {
        std::vector<Worth> before;
        std::vector<Stack> before_stacks;
        for (std::size_t i = 0; i < in_tune.size(); ++i) {
            std::vector<Worth> now;
            std::vector<Stack> now_stacks;
            for (std::size_t k = 0; k < in_tune[i].size(); ++k) {
                const Stack& stack = in_tune[i][k];
                if (!allowed(stack)) {
                    continue;
                }
                Worth best{1e9, 0, 0, 0};
                for (std::size_t p = 0; p < before.size(); ++p) {
                    const double taken = seconds(before_stacks[p], stack);
                    const auto rest = list.numbers[i].rest_before_s;
                    Worth sum = before[p];
                    sum[0] += rest && taken > *rest ? 1 : 0;
                    sum[by_reach ? 2 : 1] += taken;
                    best = std::min(best, sum);
                }
                if (i == 0) {
                    best = {0, 0, 0, 0};
                }
                if (by_reach) {
                    best[1] += std::round(1000 * reach_of_m(horn, stack));
                } else {
                    best[2] += 1 + std::popcount(stack.between);
                    best[3] += std::round(10 * left_cents[i][k]);
                }
                now.push_back(best);
                now_stacks.push_back(stack);
            }
            before = now;
            before_stacks = now_stacks;
        }
        Worth best{1e9, 0, 0, 0};
        for (const Worth& worth : before) {
            best = std::min(best, worth);
        }
        return best;
    }

    [[nodiscard]] Worth worth_of(const Plan& plan, bool by_reach) const {
        Worth sum{0, 0, 0, 0};
        for (std::size_t i = 0; i < plan.steps.size(); ++i) {
            const Stack& stack = plan.steps[i].way.stack;
            const auto place = std::find(in_tune[i].begin(), in_tune[i].end(), stack);
            REQUIRE(place != in_tune[i].end());
            if (i > 0) {
                const double taken = seconds(plan.steps[i - 1].way.stack, stack);
                const auto rest = list.numbers[i].rest_before_s;
                sum[0] += rest && taken > *rest ? 1 : 0;
                sum[by_reach ? 2 : 1] += taken;
            }
            if (by_reach) {
                sum[1] += std::round(1000 * reach_of_m(horn, stack));
            } else {
                sum[2] += 1 + std::popcount(stack.between);
                sum[3] += std::round(
                    10 * left_cents[i][static_cast<std::size_t>(place - in_tune[i].begin())]);
            }
        }
        return sum;
    }

    [[nodiscard]] Plan plan(Choose choose) const {
        PlanRequest request;
        request.choose = choose;
        request.tolerance_cents = kTolerance_cents;
        request.most_between = kMost;
        return *plan_set_list(horn, list, profile.air, request);
    }
};

} // namespace

TEST_SUITE("instrument/demo_scenario") {
    TEST_CASE("the scene is what it says: 2 masters, 7 couplers, 3 bits, nine keys, all in tune") {
        const Scene scene;
        CHECK(scene.horn.warnings.empty());
        CHECK(scene.horn.crooks.size() == 2);
        CHECK(scene.horn.couplers == 7);
        CHECK(scene.horn.between.size() == 10);
        CHECK(scene.profile.most_pieces_between == kMost);
        std::set<int> keys;
        for (std::size_t i = 0; i < scene.list.numbers.size(); ++i) {
            keys.insert(scene.list.numbers[i].key.transposition);
            CHECK_FALSE(scene.in_tune[i].empty());
        }
        CHECK(keys.size() == 9);
    }

    TEST_CASE("least change: no sequence over all subsets is better") {
        const Scene scene;
        const Plan plan = scene.plan(Choose::least_change);
        const auto best = scene.best_sequence(false, [](const Stack&) { return true; });
        CHECK(scene.worth_of(plan, false) == best);
        CHECK(plan.too_short == best[0]);
        CHECK(plan.change_s == doctest::Approx(best[1]));
        MESSAGE("least change: " << plan.packed.size() << " pieces, " << plan.change_s
                                 << " s of change, " << plan.too_short << " too short");
    }

    TEST_CASE("least reach: no sequence over all subsets is better") {
        const Scene scene;
        const Plan plan = scene.plan(Choose::least_reach);
        const auto best = scene.best_sequence(true, [](const Stack&) { return true; });
        CHECK(scene.worth_of(plan, true) == best);
        CHECK(1000 * plan.reach_sum_m == doctest::Approx(best[1]).epsilon(1e-3));
        MESSAGE("least reach: " << plan.packed.size() << " pieces, " << plan.change_s
                                << " s of change, greatest reach " << plan.greatest_reach_m
                                << " m");
    }

    TEST_CASE("fewest pieces: all 4096 packings are tried, and none smaller or better exists") {
        const Scene scene;
        const Plan plan = scene.plan(Choose::fewest_pieces);
        int smallest = 99;
        Scene::Worth best{1e9, 0, 0, 0};
        int packings = 0;
        for (unsigned packing = 0; packing < 4096; ++packing) {
            const int size = std::popcount(packing);
            if (size > smallest) {
                continue;
            }
            const auto allowed = [&](const Stack& stack) {
                return ((packing >> stack.crook) & 1U) != 0 &&
                       (stack.between & ~(packing >> 2)) == 0;
            };
            const bool builds_all =
                std::all_of(scene.in_tune.begin(), scene.in_tune.end(), [&](const auto& stacks) {
                    return std::any_of(stacks.begin(), stacks.end(), allowed);
                });
            if (!builds_all) {
                continue;
            }
            if (size < smallest) {
                smallest = size;
                best = {1e9, 0, 0, 0};
                packings = 0;
            }
            ++packings;
            best = std::min(best, scene.best_sequence(false, allowed));
        }
        CHECK(plan.packed.size() == static_cast<std::size_t>(smallest));
        CHECK(scene.worth_of(plan, false) == best);
        CHECK(plan.all_compared);
        MESSAGE("fewest pieces: " << smallest << " (" << packings << " packings of that size), "
                                  << plan.change_s << " s of change, " << plan.too_short
                                  << " too short");
    }

    TEST_CASE("the three wishes pull apart here, so that the choice means something") {
        const Scene scene;
        const Plan fewest = scene.plan(Choose::fewest_pieces);
        const Plan change = scene.plan(Choose::least_change);
        const Plan reach = scene.plan(Choose::least_reach);
        CHECK(fewest.packed.size() < change.packed.size());
        CHECK(change.change_s < reach.change_s);
        CHECK(reach.reach_sum_m < change.reach_sum_m);
    }
}

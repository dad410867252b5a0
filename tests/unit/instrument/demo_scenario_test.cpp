// The invented coupler horn (2 masters, 7 couplers, 3 bits) and the invented opera of nine keys: the planner against
// every subset of the twelve pieces.
#include "core/assets.h"
#include "instrument/planner/planner.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
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
    /// A stack with the slide at a whole number of millimetres.
    struct State {
        Stack stack;
        int mark_mm = 0;
        double left_fifths = 0.0; ///< of a cent
    };
    /// In tune for number i: every mark of every one of the 2 x 2^10 stacks was looked at.
    std::vector<std::vector<State>> in_tune;

    Scene() {
        for (const Number& number : list.numbers) {
            AirInHorn air = profile.air;
            air.temperature_c = list.temperature_c.value_or(air.temperature_c);
            const double target_m = target_length_m({number.key, list.a4_hz, air});
            in_tune.emplace_back();
            for (int crook = 0; crook < 2; ++crook) {
                for (PieceSet set = 0; set < 1024; ++set) {
                    if (std::popcount(set) <= kMost) {
                        add_marks({crook, set}, target_m);
                    }
                }
            }
        }
    }

    void add_marks(const Stack& stack, double target_m) {
        double length_m =
            horn.body_m + horn.crooks[static_cast<std::size_t>(stack.crook)].acoustic_m;
        for (std::size_t i = 0; i < 10; ++i) {
            length_m += ((stack.between >> i) & 1) != 0 ? horn.between[i].acoustic_m : 0.0;
        }
        for (int mm = 0; mm <= 45; ++mm) {
            const double cents =
                1200 * std::log2(target_m / (length_m + 2 * mm / 1000.0 / horn.tube_factor));
            if (std::fabs(cents) <= kTolerance_cents) {
                in_tune.back().push_back(
                    {stack, mm, std::floor(std::round(10 * std::fabs(cents)) / 2)});
            }
        }
    }

    [[nodiscard]] static double seconds(const State& a, const State& b) {
        const double pieces = a.stack == b.stack
                                  ? 0.0
                                  : 4.0 + 2.0 * std::popcount(a.stack.between & ~b.stack.between) +
                                        3.0 * std::popcount(b.stack.between & ~a.stack.between);
        return pieces + (a.mark_mm == b.mark_mm ? 0.0 : 2.0);
    }

    /// Wishes of a change and of a stack, in strict order: impossible, no margin, then seconds, joints and cents, or
    /// reach and seconds.
    using Worth = std::array<double, 5>;

    void add_change(const Number& number, double taken, bool by_reach, Worth& sum) const {
        if (number.rest_before_s) {
            const bool impossible = taken > *number.rest_before_s;
            sum[0] += impossible ? 1 : 0;
            sum[1] += !impossible && 1.25 * taken + 2.0 > *number.rest_before_s + 1e-9 && taken > 0
                          ? 1
                          : 0;
        }
        sum[by_reach ? 3 : 2] += taken;
    }

    void add_stack(const State& state, bool by_reach, Worth& sum) const {
        if (by_reach) {
            sum[2] += std::round(1000 * reach_of_m(horn, state.stack));
        } else {
            sum[3] += 1 + std::popcount(state.stack.between);
            sum[4] += state.left_fifths;
        }
    }

    /// The best that any sequence can reach, by trying every pair of neighbours (Bellman); `allowed` restricts stacks.
    template <typename Allowed>
    [[nodiscard]] Worth best_sequence(bool by_reach, Allowed allowed) const {
        std::vector<Worth> before;
        std::vector<State> before_states;
        for (std::size_t i = 0; i < in_tune.size(); ++i) {
            std::vector<Worth> now;
            std::vector<State> now_states;
            for (const State& state : in_tune[i]) {
                if (!allowed(state.stack)) {
                    continue;
                }
                Worth best{1e9, 0, 0, 0, 0};
                for (std::size_t p = 0; p < before.size(); ++p) {
                    Worth sum = before[p];
                    add_change(list.numbers[i], seconds(before_states[p], state), by_reach, sum);
                    best = std::min(best, sum);
                }
                if (i == 0) {
                    best = {};
                }
                add_stack(state, by_reach, best);
                now.push_back(best);
                now_states.push_back(state);
            }
            before = now;
            before_states = now_states;
        }
        Worth best{1e9, 0, 0, 0, 0};
        for (const Worth& worth : before) {
            best = std::min(best, worth);
        }
        return best;
    }

    [[nodiscard]] Worth worth_of(const Plan& plan, bool by_reach) const {
        Worth sum{};
        std::optional<State> before;
        for (std::size_t i = 0; i < plan.steps.size(); ++i) {
            const Way& way = plan.steps[i].way;
            const int mark_mm = static_cast<int>(std::lround(1000 * way.slide.pull_m));
            const auto place =
                std::find_if(in_tune[i].begin(), in_tune[i].end(), [&](const State& one) {
                    return one.stack == way.stack && one.mark_mm == mark_mm;
                });
            REQUIRE(place != in_tune[i].end());
            if (before) {
                add_change(list.numbers[i], seconds(*before, *place), by_reach, sum);
            }
            add_stack(*place, by_reach, sum);
            before = *place;
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
        CHECK(plan.tight == best[1]);
        CHECK(plan.change_s == doctest::Approx(best[2]));
        MESSAGE("least change: " << plan.packed.size() << " pieces, " << plan.change_s
                                 << " s of change, " << plan.too_short << " too short, slide at "
                                 << plan.slide_places_m.size() << " places, moved "
                                 << plan.slide_moves << " times");
        CHECK(plan.slide_moves < 10); // sixteen numbers in nine keys
    }

    TEST_CASE("least reach: no sequence over all subsets is better") {
        const Scene scene;
        const Plan plan = scene.plan(Choose::least_reach);
        const auto best = scene.best_sequence(true, [](const Stack&) { return true; });
        CHECK(scene.worth_of(plan, true) == best);
        CHECK(1000 * plan.reach_sum_m == doctest::Approx(best[2]).epsilon(1e-3));
        MESSAGE("least reach: " << plan.packed.size() << " pieces, " << plan.change_s
                                << " s of change, greatest reach " << plan.greatest_reach_m
                                << " m");
    }

    TEST_CASE("fewest pieces: all 4096 packings are tried, and none smaller or better exists") {
        const Scene scene;
        const Plan plan = scene.plan(Choose::fewest_pieces);
        int smallest = 99;
        Scene::Worth best{1e9, 0, 0, 0, 0};
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
                std::all_of(scene.in_tune.begin(), scene.in_tune.end(), [&](const auto& states) {
                    return std::any_of(states.begin(), states.end(), [&](const auto& state) {
                        return allowed(state.stack);
                    });
                });
            if (!builds_all) {
                continue;
            }
            if (size < smallest) {
                smallest = size;
                best = {1e9, 0, 0, 0, 0};
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

    TEST_CASE("two slide places for the whole evening: every number is in tune at one of them") {
        const Scene scene;
        PlanRequest request;
        request.tolerance_cents = kTolerance_cents;
        request.most_between = kMost;
        request.most_slide_places = 2;
        const auto plan = plan_set_list(scene.horn, scene.list, scene.profile.air, request);
        REQUIRE_MESSAGE(plan.has_value(), (plan ? "" : plan.error().message));
        CHECK(plan->slide_places_m.size() <= 2);
        CHECK(plan->not_searched.empty());
        for (const PlanStep& step : plan->steps) {
            CHECK(step.buildable);
            CHECK(std::fabs(step.way.slide.left_cents) <= kTolerance_cents);
        }
        MESSAGE("two places: " << plan->change_s << " s of change, the slide moved "
                               << plan->slide_moves << " times");
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

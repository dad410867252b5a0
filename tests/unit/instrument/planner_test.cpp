#include "instrument/planner/planner.h"

#include "horn/tuning.h"
#include "instrument/lengths.h"
#include "instrument/planner/candidates.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <random>
#include <set>
#include <string>
#include <tuple>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::instrument;

namespace {

constexpr AirInHorn kAir{20.0, 0.5};

HornPiece piece(PieceKind kind, const std::string& name, double acoustic_m, double reach_m) {
    HornPiece made;
    made.kind = kind;
    made.name = name;
    made.acoustic_m = acoustic_m;
    made.tape_m = acoustic_m;
    made.reach_m = reach_m;
    made.takes_couplers = kind == PieceKind::master_crook;
    return made;
}

/// A horn drawn at random: some equal pieces, some terminal crooks, times that are no round numbers.
HornLengths random_horn(std::mt19937& random, int crooks, int couplers, int bits) {
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    HornLengths horn;
    horn.body_m = 2.4 + 0.2 * unit(random);
    horn.slide = {0.02 + 0.04 * unit(random), 0.0, 2};
    horn.tube_factor = 0.97;
    horn.plays_without_crook = unit(random) < 0.3;
    horn.couplers = static_cast<std::size_t>(couplers);
    horn.change_times = {1.0 + std::floor(80 * unit(random)) / 10.0,
                         std::floor(40 * unit(random)) / 10.0,
                         std::floor(40 * unit(random)) / 10.0};
    for (int i = 0; i < crooks; ++i) {
        const bool terminal = unit(random) < 0.3;
        horn.crooks.push_back(piece(terminal ? PieceKind::terminal_crook : PieceKind::master_crook,
                                    "crook " + std::to_string(i),
                                    0.4 + 1.5 * unit(random),
                                    0.1 + 0.1 * unit(random)));
    }
    for (int i = 0; i < couplers + bits; ++i) {
        const bool bit = i >= couplers;
        const bool twin = i > 0 && i != couplers && unit(random) < 0.25;
        horn.between.push_back(
            twin ? horn.between.back()
                 : piece(bit ? PieceKind::tuning_bit : PieceKind::coupler,
                         "",
                         bit ? 0.01 + 0.08 * unit(random) : 0.1 + 0.7 * unit(random),
                         0.02 + 0.1 * unit(random)));
        horn.between.back().name = "piece " + std::to_string(i);
    }
    return horn;
}

SetList random_list(std::mt19937& random, std::size_t numbers) {
    std::uniform_int_distribution<int> key(2, 14);
    std::uniform_real_distribution<double> unit(0.0, 1.0);
    SetList list;
    list.a4_hz = 430.0;
    for (std::size_t i = 0; i < numbers; ++i) {
        Number number;
        number.name = std::to_string(i + 1);
        number.key = horn::all_crooks()[static_cast<std::size_t>(key(random))];
        if (unit(random) < 0.8) {
            number.rest_before_s = std::floor(250.0 * unit(random)) / 10.0;
        }
        list.numbers.push_back(number);
    }
    return list;
}

// ---- The reference: no lattice, no shared code beyond the plain structs, every subset looked at. ----

double cents_left(const HornLengths& horn, const Stack& stack, const Target& target) {
    double length_m = horn.body_m;
    if (stack.crook >= 0) {
        length_m += horn.crooks[static_cast<std::size_t>(stack.crook)].acoustic_m;
    }
    for (std::size_t i = 0; i < horn.between.size(); ++i) {
        length_m += ((stack.between >> i) & 1) != 0 ? horn.between[i].acoustic_m : 0.0;
    }
    const double speed = speed_of_sound_m_s(target.air);
    const double wanted_hz =
        target.a4_hz * std::exp2((target.key.transposition - 33) / 12.0); // written C4 over 4
    const double in_hz = speed / (2.0 * length_m);
    const double out_hz =
        speed / (2.0 * (length_m + 2.0 * horn.slide.longest_pull_m / horn.tube_factor));
    if (in_hz < wanted_hz) {
        return 1200.0 * std::log2(in_hz / wanted_hz);
    }
    return out_hz > wanted_hz ? 1200.0 * std::log2(out_hz / wanted_hz) : 0.0;
}

bool may_be_mounted(const HornLengths& horn, const Stack& stack, int most_between) {
    const bool has_coupler = (stack.between & ((PieceSet{1} << horn.couplers) - 1)) != 0;
    if (std::popcount(stack.between) > most_between) {
        return false;
    }
    if (stack.crook < 0) {
        return horn.plays_without_crook && !has_coupler;
    }
    return !has_coupler || horn.crooks[static_cast<std::size_t>(stack.crook)].takes_couplers;
}

std::vector<Stack>
all_in_tune(const HornLengths& horn, const Target& target, double tolerance_cents, int most) {
    std::vector<Stack> stacks;
    for (int crook = -1; crook < static_cast<int>(horn.crooks.size()); ++crook) {
        for (PieceSet set = 0; set < (PieceSet{1} << horn.between.size()); ++set) {
            const Stack stack{crook, set};
            if (may_be_mounted(horn, stack, most) &&
                std::fabs(cents_left(horn, stack, target)) <= tolerance_cents) {
                stacks.push_back(stack);
            }
        }
    }
    return stacks;
}

double reference_seconds(const HornLengths& horn, const Stack& from, const Stack& to) {
    // Equal pieces are interchangeable: count what leaves and comes by kind, not by name.
    std::vector<std::tuple<int, double, double>> before;
    std::vector<std::tuple<int, double, double>> after;
    for (std::size_t i = 0; i < horn.between.size(); ++i) {
        const HornPiece& p = horn.between[i];
        const std::tuple<int, double, double> kind{
            static_cast<int>(p.kind), p.acoustic_m, p.reach_m};
        if (((from.between >> i) & 1) != 0) {
            before.push_back(kind);
        }
        if (((to.between >> i) & 1) != 0) {
            after.push_back(kind);
        }
    }
    std::sort(before.begin(), before.end());
    std::sort(after.begin(), after.end());
    std::vector<std::tuple<int, double, double>> off;
    std::vector<std::tuple<int, double, double>> on;
    std::set_difference(
        before.begin(), before.end(), after.begin(), after.end(), std::back_inserter(off));
    std::set_difference(
        after.begin(), after.end(), before.begin(), before.end(), std::back_inserter(on));
    if (from.crook == to.crook && off.empty() && on.empty()) {
        return 0.0;
    }
    return horn.change_times.crook_s +
           static_cast<double>(off.size()) * horn.change_times.piece_off_s +
           static_cast<double>(on.size()) * horn.change_times.piece_on_s;
}

/// What a plan is worth: the strict order of wishes, all in whole units.
using Worth = std::vector<long>;

Worth worth(Choose choose,
            const HornLengths& horn,
            const SetList& list,
            const std::vector<Stack>& stacks,
            const std::vector<double>& left_cents,
            const std::optional<Stack>& from) {
    long too_short = 0;
    long tenths = 0;
    long joints = 0;
    long left = 0;
    long reach_mm = 0;
    std::set<std::pair<int, int>> packed;
    for (std::size_t i = 0; i < stacks.size(); ++i) {
        const Stack* before = i > 0 ? &stacks[i - 1] : from ? &*from : nullptr;
        if (before != nullptr) {
            const long taken = std::lround(10 * reference_seconds(horn, *before, stacks[i]));
            tenths += taken;
            const auto rest = list.numbers[i].rest_before_s;
            too_short += rest && taken > std::lround(10 * *rest) ? 1 : 0;
        }
        double reach_m = 0.0;
        if (stacks[i].crook >= 0) {
            packed.insert({0, stacks[i].crook});
            reach_m += horn.crooks[static_cast<std::size_t>(stacks[i].crook)].reach_m;
            ++joints;
        }
        for (std::size_t k = 0; k < horn.between.size(); ++k) {
            if (((stacks[i].between >> k) & 1) != 0) {
                packed.insert({1, static_cast<int>(k)});
                reach_m += horn.between[k].reach_m;
                ++joints;
            }
        }
        reach_mm += std::lround(1000 * reach_m);
        left += std::lround(10 * std::fabs(left_cents[i]));
    }
    switch (choose) {
    case Choose::fewest_pieces:
        return {static_cast<long>(packed.size()), too_short, tenths, joints, left};
    case Choose::least_change:
        return {too_short, tenths, joints, left};
    case Choose::least_reach:
        break;
    }
    return {too_short, reach_mm, tenths};
}

/// Tries every sequence of stacks. Empty when there are more than `most_sequences`.
std::optional<Worth> best_of_all_sequences(Choose choose,
                                           const HornLengths& horn,
                                           const SetList& list,
                                           const PlanRequest& request,
                                           double most_sequences) {
    std::vector<std::vector<Stack>> choices;
    std::vector<std::vector<double>> left;
    double sequences = 1.0;
    for (const Number& number : list.numbers) {
        const Target target{number.key, list.a4_hz, kAir};
        choices.push_back(all_in_tune(horn, target, request.tolerance_cents, request.most_between));
        left.emplace_back();
        for (const Stack& stack : choices.back()) {
            left.back().push_back(cents_left(horn, stack, target));
        }
        sequences *= static_cast<double>(choices.back().size());
    }
    if (sequences < 1.0 || sequences > most_sequences) {
        return std::nullopt;
    }
    std::optional<Worth> best;
    std::vector<Stack> stacks(choices.size());
    std::vector<double> cents(choices.size());
    const std::function<void(std::size_t)> fill = [&](std::size_t i) {
        if (i == choices.size()) {
            Worth value = worth(choose, horn, list, stacks, cents, request.from);
            if (!best || value < *best) {
                best = std::move(value);
            }
            return;
        }
        for (std::size_t k = 0; k < choices[i].size(); ++k) {
            stacks[i] = choices[i][k];
            cents[i] = left[i][k];
            fill(i + 1);
        }
    };
    fill(0);
    return best;
}

Worth worth_of(const Plan& plan,
               const HornLengths& horn,
               const SetList& list,
               const PlanRequest& request) {
    std::vector<Stack> stacks;
    std::vector<double> cents;
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
        stacks.push_back(plan.steps[i].way.stack);
        cents.push_back(cents_left(horn, stacks.back(), {list.numbers[i].key, list.a4_hz, kAir}));
    }
    return worth(plan.choose, horn, list, stacks, cents, request.from);
}

} // namespace

TEST_SUITE("instrument/ways") {
    TEST_CASE("random horns: every way is found once, none is invented, the best come first") {
        std::mt19937 random(11);
        std::uniform_int_distribution<int> key(2, 15);
        int in_tune = 0;
        for (int trial = 0; trial < 60; ++trial) {
            CAPTURE(trial);
            HornLengths horn = random_horn(random, 3, 4, 3);
            const Target target{
                horn::all_crooks()[static_cast<std::size_t>(key(random))], 430.0, kAir};
            BuildRequest request{target, 5.0, 4, std::nullopt, 100000};
            const BuildAnswer answer = ways_to_build(horn, request);
            // Equal pieces are counted once: compare sets of (crook, sorted lengths).
            std::set<std::pair<int, std::vector<double>>> expected;
            const auto signature = [&](const Stack& stack) {
                std::vector<double> lengths;
                for (std::size_t i = 0; i < horn.between.size(); ++i) {
                    if (((stack.between >> i) & 1) != 0) {
                        lengths.push_back(horn.between[i].acoustic_m);
                    }
                }
                std::sort(lengths.begin(), lengths.end());
                return std::pair(stack.crook, lengths);
            };
            for (const Stack& stack : all_in_tune(horn, target, 5.0, 4)) {
                expected.insert(signature(stack));
            }
            if (expected.empty()) {
                CHECK_FALSE(answer.in_tune);
                continue;
            }
            ++in_tune;
            CHECK(answer.in_tune);
            CHECK(answer.found == expected.size());
            std::set<std::pair<int, std::vector<double>>> found;
            long last_rank = -1;
            for (const Way& way : answer.ways) {
                found.insert(signature(way.stack));
                CHECK(std::fabs(way.slide.left_cents - cents_left(horn, way.stack, target)) < 1e-6);
                const long rank = 1000 * std::lround(std::fabs(way.slide.left_cents)) + way.joints;
                CHECK(rank >= last_rank);
                last_rank = rank;
            }
            CHECK(found == expected);
        }
        CHECK(in_tune > 20);
    }

    TEST_CASE(
        "the slide is set so that the key is exact, and what is left is told when it cannot") {
        std::mt19937 random(3);
        const HornLengths horn = random_horn(random, 1, 0, 0);
        const double bare_m = horn.body_m + 0.5;
        const SlideSetting reachable = set_slide(horn, bare_m, bare_m + 0.02);
        CHECK(reachable.left_cents == 0.0);
        CHECK(2.0 * reachable.pull_m / horn.tube_factor == doctest::Approx(0.02));
        const SlideSetting too_long = set_slide(horn, bare_m, bare_m - 0.02);
        CHECK(too_long.pull_m == 0.0);
        CHECK(too_long.left_cents == doctest::Approx(1200.0 * std::log2((bare_m - 0.02) / bare_m)));
        CHECK(too_long.left_cents < 0.0); // a tube too long sounds low
        CHECK(set_slide(horn, bare_m, bare_m + 1.0).left_cents > 0.0);
    }

    TEST_CASE("when nothing is in tune the nearest ways are told") {
        HornLengths horn;
        horn.body_m = 2.5;
        horn.crooks = {piece(PieceKind::terminal_crook, "G", 1.0, 0.1),
                       piece(PieceKind::terminal_crook, "D", 2.2, 0.1)};
        const BuildAnswer answer =
            ways_to_build(horn, {{*horn::parse_crook("F"), 440.0, kAir}, 5.0, 4, std::nullopt, 5});
        CHECK_FALSE(answer.in_tune);
        CHECK(answer.found == 0);
        REQUIRE_FALSE(answer.ways.empty());
        CHECK(answer.ways[0].stack.crook == 0); // 3.5 m is 205 cents from 3.94 m, 4.7 m 305
    }

    TEST_CASE("coming from a stack, the pieces that are on the horn are kept") {
        HornLengths horn;
        horn.body_m = 2.5;
        horn.couplers = 2;
        horn.crooks = {piece(PieceKind::master_crook, "master", 0.5, 0.1)};
        horn.between = {piece(PieceKind::coupler, "first", 0.47, 0.05),
                        piece(PieceKind::coupler, "second", 0.47, 0.05)};
        const double total_m = 2.5 + 0.5 + 0.47;
        const double a4_hz =
            440.0 * (acoustic_length_m(horn::fundamental_hz({*horn::parse_crook("G"), 440.0, {}}),
                                       speed_of_sound_m_s(kAir)) /
                     total_m);
        const Stack from{0, 0b10};
        const BuildAnswer answer =
            ways_to_build(horn, {{*horn::parse_crook("G"), a4_hz, kAir}, 5.0, 4, from, 5});
        REQUIRE(answer.found == 1);
        CHECK(answer.ways[0].stack == from);
        CHECK(answer.ways[0].change.seconds == 0.0);
        CHECK(answer.ways[0].change.off.empty());
    }

    TEST_CASE("what is swapped is named, and the crook that must be lifted") {
        HornLengths horn;
        horn.couplers = 2;
        horn.crooks = {piece(PieceKind::master_crook, "A", 0.5, 0.1),
                       piece(PieceKind::master_crook, "B", 0.6, 0.1)};
        horn.between = {piece(PieceKind::coupler, "tone", 0.47, 0.05),
                        piece(PieceKind::coupler, "semitone", 0.23, 0.05)};
        const Change inner = change_between(horn, {0, 0b01}, {0, 0b10});
        CHECK(inner.crook_lifted);
        CHECK(inner.off == std::vector<std::string>{"tone"});
        CHECK(inner.on == std::vector<std::string>{"semitone"});
        CHECK(inner.seconds == doctest::Approx(4.0 + 2.0 + 3.0)); // the estimate's defaults
        const Change crook = change_between(horn, {0, 0b01}, {1, 0b01});
        CHECK_FALSE(crook.crook_lifted);
        CHECK(crook.seconds == doctest::Approx(4.0)); // 3 to 5 s, common practice
        CHECK(change_between(horn, {0, 0b01}, {0, 0b01}).seconds == 0.0);
    }
}

TEST_SUITE("instrument/planner") {
    TEST_CASE("random small lists: no sequence of stacks at all is better than the plan") {
        std::mt19937 random(2024);
        int compared = 0;
        int tight = 0;
        for (int trial = 0; trial < 400 && compared < 240; ++trial) {
            CAPTURE(trial);
            const HornLengths horn = random_horn(random, 2 + trial % 2, 3, 2 + trial % 2);
            const SetList list = random_list(random, 2 + static_cast<std::size_t>(trial % 3));
            PlanRequest request;
            request.tolerance_cents = 8.0;
            request.most_between = 4;
            if (trial % 4 == 0) {
                request.from = Stack{0, horn.crooks[0].takes_couplers ? 1U : 0U};
            }
            for (const Choose choose :
                 {Choose::fewest_pieces, Choose::least_change, Choose::least_reach}) {
                CAPTURE(choose_id(choose));
                request.choose = choose;
                const auto best = best_of_all_sequences(choose, horn, list, request, 60'000);
                if (!best) {
                    continue;
                }
                const auto plan = plan_set_list(horn, list, kAir, request);
                REQUIRE(plan.has_value());
                CHECK(worth_of(*plan, horn, list, request) == *best);
                CHECK(plan->all_compared);
                ++compared;
                tight += plan->too_short > 0 ? 1 : 0;
            }
        }
        MESSAGE(compared << " plans compared with every sequence, " << tight
                         << " of them with a change too long for its rest");
        CHECK(compared >= 150);
        CHECK(tight >= 10);
    }

    TEST_CASE("longer lists on larger horns: sweeping finds what comparing every pair finds") {
        std::mt19937 random(77);
        int compared = 0;
        for (int trial = 0; trial < 40; ++trial) {
            CAPTURE(trial);
            const HornLengths horn = random_horn(random, 3, 5, 4);
            const SetList list = random_list(random, 14);
            const bool coming = trial % 3 == 0;
            const std::optional<Stack> from =
                coming ? std::optional<Stack>(Stack{0, 0}) : std::nullopt;
            const Twins twins = find_twins(horn);
            Candidates candidates;
            for (const Number& number : list.numbers) {
                const double target_m = target_length_m({number.key, list.a4_hz, kAir});
                auto& stacks = candidates.of_target.emplace_back();
                each_stack_in_tune(horn, twins, target_m, 6.0, 4, [&](const Stack& stack, double) {
                    stacks.push_back({stack,
                                      static_cast<std::int32_t>(1000 * reach_of_m(horn, stack)),
                                      static_cast<std::int32_t>(std::popcount(stack.between) * 3)});
                    return true;
                });
                std::sort(stacks.begin(), stacks.end(), stack_before);
                const int target = static_cast<int>(candidates.of_target.size()) - 1;
                candidates.target_of_step.push_back(stacks.empty() ? -1 : target);
                candidates.rest_tenths_s.push_back(
                    number.rest_before_s ? static_cast<std::int32_t>(10 * *number.rest_before_s)
                                         : kLongRest);
            }
            const bool any = std::any_of(candidates.target_of_step.begin(),
                                         candidates.target_of_step.end(),
                                         [](int target) { return target >= 0; });
            if (!any) {
                continue;
            }
            for (const Choose choose : {Choose::least_change, Choose::least_reach}) {
                const Weighing weighing(choose, horn.change_times);
                const auto swept = cheapest_choice(twins, candidates, weighing, from);
                REQUIRE(swept.has_value());
                CHECK(swept->cost == cheapest_choice_directly(candidates, weighing, from).cost);
                ++compared;
            }
        }
        CHECK(compared > 60);
    }

    TEST_CASE("a number that cannot be built is left out, marked, and its nearest stack told") {
        HornLengths horn;
        horn.body_m = 2.5;
        horn.crooks = {piece(PieceKind::terminal_crook, "F", 1.44, 0.1)};
        horn.slide = {0.05, 0.0, 2};
        SetList list;
        list.numbers = {{"1", *horn::parse_crook("F"), {}, {}, {}, {}},
                        {"2", *horn::parse_crook("D"), {}, {}, {}, {}}};
        const auto plan = plan_set_list(horn, list, kAir, {});
        REQUIRE(plan.has_value());
        CHECK(plan->steps[0].buildable);
        CHECK_FALSE(plan->steps[1].buildable);
        CHECK(plan->steps[1].way.slide.left_cents > 100.0);
        CHECK(plan->packed == std::vector<std::string>{"F"});
    }

    TEST_CASE("a question too large to be answered whole is refused, not answered in part") {
        std::mt19937 random(1);
        HornLengths horn = random_horn(random, 20, 16, 16);
        for (HornPiece& crook : horn.crooks) {
            crook.takes_couplers = true;
        }
        CHECK(count_stacks(horn, 1) >= 20 * 33);
        CHECK_FALSE(checked_most_between(horn, 32).has_value());
        CHECK(checked_most_between(horn, 4).has_value());
        PlanRequest request;
        request.most_between = 32;
        const SetList list = random_list(random, 3);
        const auto plan = plan_set_list(horn, list, kAir, request);
        REQUIRE_FALSE(plan.has_value());
        CHECK(plan.error().message.find("allow fewer") != std::string::npos);
        // A slide of 30 cm brings almost everything in tune: more candidates than can be compared.
        request.most_between = 6;
        request.tolerance_cents = 100.0;
        horn.slide.longest_pull_m = 0.3;
        const auto wide = plan_set_list(horn, random_list(random, 12), kAir, request);
        REQUIRE_FALSE(wide.has_value());
        CHECK(wide.error().message.find("smaller tolerance") != std::string::npos);
    }

    TEST_CASE("a change longer than its rest is marked") {
        HornLengths horn;
        horn.body_m = 2.5;
        horn.slide = {0.05, 0.0, 2};
        horn.crooks = {piece(PieceKind::terminal_crook, "F", 1.44, 0.1),
                       piece(PieceKind::terminal_crook, "Eb", 1.92, 0.1)};
        SetList list;
        list.numbers = {{"1", *horn::parse_crook("F"), {}, {}, {}, {}},
                        {"2", *horn::parse_crook("Eb"), 3.9, {}, {}, {}},
                        {"3", *horn::parse_crook("F"), 4.0, {}, {}, {}}};
        const auto plan = plan_set_list(horn, list, kAir, {});
        REQUIRE(plan.has_value());
        CHECK(plan->too_short == 1);
        CHECK(plan->steps[1].too_short);
        CHECK_FALSE(plan->steps[2].too_short);
        CHECK(plan->change_s == doctest::Approx(8.0));
    }

    TEST_CASE("times between two tenths: plan and marks count alike") {
        HornLengths horn;
        horn.body_m = 2.5;
        horn.slide = {0.05, 0.0, 2};
        horn.couplers = 1;
        horn.change_times = {4.05, 2.05, 2.05}; // counted as 4.1, 2.1, 2.1
        horn.crooks = {piece(PieceKind::master_crook, "F", 1.44, 0.1)};
        horn.between = {piece(PieceKind::coupler, "tone", 0.48, 0.05)};
        SetList list;
        list.numbers = {{"1", *horn::parse_crook("F"), {}, {}, {}, {}},
                        {"2", *horn::parse_crook("Eb"), 6.1, {}, {}, {}}};
        const auto plan = plan_set_list(horn, list, kAir, {});
        REQUIRE(plan.has_value());
        CHECK(plan->change_s == doctest::Approx(6.2));
        CHECK(plan->steps[1].too_short);
        list.numbers[1].rest_before_s = 6.2;
        CHECK_FALSE(plan_set_list(horn, list, kAir, {})->steps[1].too_short);
    }
}

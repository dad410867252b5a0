#include "instrument/planner/planner.h"

#include "horn/tuning.h"
#include "instrument/lengths.h"
#include "instrument/planner/candidates.h"

#include <algorithm>
#include <array>
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
                         std::floor(40 * unit(random)) / 10.0,
                         std::floor(30 * unit(random)) / 10.0};
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

// ---- The reference: no lattice, no shared code beyond the plain structs, every subset and slide place looked at. ----

double tube_m(const HornLengths& horn, const Stack& stack) {
    double length_m = horn.body_m;
    if (stack.crook >= 0) {
        length_m += horn.crooks[static_cast<std::size_t>(stack.crook)].acoustic_m;
    }
    for (std::size_t i = 0; i < horn.between.size(); ++i) {
        length_m += ((stack.between >> i) & 1) != 0 ? horn.between[i].acoustic_m : 0.0;
    }
    return length_m;
}

double wanted_hz(const Target& target) {
    return target.a4_hz * std::exp2((target.key.transposition - 33) / 12.0); // written C4 over 4
}

double cents_left(const HornLengths& horn, const Stack& stack, const Target& target) {
    const double length_m = tube_m(horn, stack);
    const double speed = speed_of_sound_m_s(target.air);
    const double in_hz = speed / (2.0 * length_m);
    const double out_hz =
        speed / (2.0 * (length_m + 2.0 * horn.slide.longest_pull_m / horn.tube_factor));
    if (in_hz < wanted_hz(target)) {
        return 1200.0 * std::log2(in_hz / wanted_hz(target));
    }
    return out_hz > wanted_hz(target) ? 1200.0 * std::log2(out_hz / wanted_hz(target)) : 0.0;
}

/// The slide at a whole number of millimetres.
double cents_at(const HornLengths& horn, const Stack& stack, const Target& target, int pull_mm) {
    const double length_m = tube_m(horn, stack) + 2.0 * pull_mm / 1000.0 / horn.tube_factor;
    return 1200.0 *
           std::log2(speed_of_sound_m_s(target.air) / (2.0 * length_m) / wanted_hz(target));
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
all_stacks(const HornLengths& horn, int most, const std::function<bool(const Stack&)>& wanted) {
    std::vector<Stack> stacks;
    for (int crook = -1; crook < static_cast<int>(horn.crooks.size()); ++crook) {
        for (PieceSet set = 0; set < (PieceSet{1} << horn.between.size()); ++set) {
            const Stack stack{crook, set};
            if (may_be_mounted(horn, stack, most) && wanted(stack)) {
                stacks.push_back(stack);
            }
        }
    }
    return stacks;
}

std::vector<Stack>
all_in_tune(const HornLengths& horn, const Target& target, double tolerance_cents, int most) {
    return all_stacks(horn, most, [&](const Stack& stack) {
        return std::fabs(cents_left(horn, stack, target)) <= tolerance_cents;
    });
}

/// Marks of the slide, in millimetres, at which a stack is in tune.
std::vector<int> marks_in_tune(const HornLengths& horn,
                               const Stack& stack,
                               const Target& target,
                               double tolerance_cents) {
    std::vector<int> marks;
    for (int mm = 0; mm <= static_cast<int>(1000.0 * horn.slide.longest_pull_m + 1e-9); ++mm) {
        if (std::fabs(cents_at(horn, stack, target, mm)) <= tolerance_cents) {
            marks.push_back(mm);
        }
    }
    return marks;
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
using Worth = std::array<long, 6>;

/// One number as it is played.
struct Played {
    Stack stack;
    int mark_mm = 0;
    long left = 0; ///< fifths of a cent
};

/// What one number and the change before it add.
Worth worth_of_step(Choose choose,
                    const HornLengths& horn,
                    const Number& number,
                    const Played* before,
                    const Played& now,
                    const PlanRequest& request) {
    long impossible = 0;
    long tight = 0;
    long tenths = 0;
    if (before != nullptr) {
        tenths =
            std::lround(10 * (reference_seconds(horn, before->stack, now.stack) +
                              (before->mark_mm != now.mark_mm ? horn.change_times.slide_s : 0.0)));
        if (number.rest_before_s) {
            const double rest_s = *number.rest_before_s;
            const double usable_s =
                std::max(0.0, (rest_s - request.margin_s) / (1 + request.margin_share));
            impossible = static_cast<double>(tenths) > std::floor(10 * rest_s + 1e-6) ? 1 : 0;
            tight =
                impossible == 0 && static_cast<double>(tenths) > std::floor(10 * usable_s + 1e-6)
                    ? 1
                    : 0;
        }
    }
    const long joints = std::popcount(now.stack.between) + (now.stack.crook >= 0 ? 1 : 0);
    double reach_m =
        now.stack.crook >= 0 ? horn.crooks[static_cast<std::size_t>(now.stack.crook)].reach_m : 0.0;
    for (std::size_t k = 0; k < horn.between.size(); ++k) {
        reach_m += ((now.stack.between >> k) & 1) != 0 ? horn.between[k].reach_m : 0.0;
    }
    if (choose == Choose::least_reach) {
        return {0, impossible, tight, std::lround(1000 * reach_m), tenths, 0};
    }
    return {0, impossible, tight, tenths, joints, now.left};
}

Worth plus(Worth a, const Worth& b) {
    for (std::size_t i = 0; i < a.size(); ++i) {
        a[i] += b[i];
    }
    return a;
}

/// Element 0: different pieces packed, when that is a wish.
Worth packed(Choose choose, const std::vector<Stack>& stacks) {
    PieceSet between = 0;
    std::set<int> crooks;
    for (const Stack& stack : stacks) {
        between |= stack.between;
        if (stack.crook >= 0) {
            crooks.insert(stack.crook);
        }
    }
    const long pieces = std::popcount(between) + static_cast<long>(crooks.size());
    return {choose == Choose::fewest_pieces ? pieces : 0, 0, 0, 0, 0, 0};
}

/// Tries every sequence of stacks, each with every sequence of marks (cheapest mark by mark, for all wishes add up).
/// Empty when there are more than `most_sequences` of stacks.
std::optional<Worth> best_of_all_sequences(Choose choose,
                                           const HornLengths& horn,
                                           const SetList& list,
                                           const PlanRequest& request,
                                           double most_sequences,
                                           const std::vector<int>& allowed_marks = {}) {
    std::vector<std::vector<Stack>> choices;
    std::vector<std::vector<std::vector<Played>>> played; // number, stack, mark
    double sequences = 1.0;
    for (const Number& number : list.numbers) {
        const Target target{number.key, list.a4_hz, kAir};
        choices.emplace_back();
        played.emplace_back();
        for (const Stack& stack :
             all_stacks(horn, request.most_between, [](const Stack&) { return true; })) {
            std::vector<Played> marks;
            for (const int mm : marks_in_tune(horn, stack, target, request.tolerance_cents)) {
                if (allowed_marks.empty() ||
                    std::find(allowed_marks.begin(), allowed_marks.end(), mm) !=
                        allowed_marks.end()) {
                    const long tenths =
                        std::lround(10 * std::fabs(cents_at(horn, stack, target, mm)));
                    marks.push_back({stack, mm, tenths / 2});
                }
            }
            if (!marks.empty()) {
                choices.back().push_back(stack);
                played.back().push_back(marks);
            }
        }
        sequences *= static_cast<double>(choices.back().size());
    }
    if (sequences < 1.0 || sequences > most_sequences) {
        return std::nullopt;
    }
    std::optional<Worth> best;
    std::vector<Stack> stacks(choices.size());
    const std::optional<Played> start =
        request.from ? std::optional(Played{*request.from, 0, 0}) : std::nullopt;
    const std::function<void(std::size_t, const std::vector<Played>&, const std::vector<Worth>&)>
        fill = [&](std::size_t i,
                   const std::vector<Played>& before,
                   const std::vector<Worth>& costs) {
            if (i == choices.size()) {
                const Worth least =
                    plus(*std::min_element(costs.begin(), costs.end()), packed(choose, stacks));
                best = best ? std::min(*best, least) : least;
                return;
            }
            for (std::size_t k = 0; k < choices[i].size(); ++k) {
                stacks[i] = choices[i][k];
                std::vector<Worth> now;
                for (const Played& one : played[i][k]) {
                    Worth least{};
                    least.fill(1'000'000'000);
                    if (before.empty()) {
                        least = worth_of_step(
                            choose, horn, list.numbers[i], start ? &*start : nullptr, one, request);
                    }
                    for (std::size_t p = 0; p < before.size(); ++p) {
                        least = std::min(
                            least,
                            plus(costs[p],
                                 worth_of_step(
                                     choose, horn, list.numbers[i], &before[p], one, request)));
                    }
                    now.push_back(least);
                }
                fill(i + 1, played[i][k], now);
            }
        };
    fill(0, {}, {});
    return best;
}

Worth worth_of(const Plan& plan,
               const HornLengths& horn,
               const SetList& list,
               const PlanRequest& request) {
    std::vector<Stack> stacks;
    Worth sum{};
    std::optional<Played> before =
        request.from ? std::optional(Played{*request.from, 0, 0}) : std::nullopt;
    for (std::size_t i = 0; i < plan.steps.size(); ++i) {
        const Way& way = plan.steps[i].way;
        const int mark_mm = static_cast<int>(std::lround(1000 * way.slide.pull_m));
        const double left =
            cents_at(horn, way.stack, {list.numbers[i].key, list.a4_hz, kAir}, mark_mm);
        const Played now{way.stack, mark_mm, std::lround(10 * std::fabs(left)) / 2};
        sum = plus(
            sum,
            worth_of_step(
                plan.choose, horn, list.numbers[i], before ? &*before : nullptr, now, request));
        before = now;
        stacks.push_back(way.stack);
    }
    return plus(sum, packed(plan.choose, stacks));
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
                // A shorter stack before the last cent.
                const long rank = std::lround(std::fabs(way.slide.left_cents)) + 1000L * way.joints;
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
        int slides = 0;
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
                const auto best = best_of_all_sequences(choose, horn, list, request, 3'000);
                if (!best) {
                    continue;
                }
                const auto plan = plan_set_list(horn, list, kAir, request);
                REQUIRE(plan.has_value());
                CHECK(worth_of(*plan, horn, list, request) == *best);
                CHECK(plan->all_compared);
                ++compared;
                tight += plan->too_short + plan->tight > 0 ? 1 : 0;
                slides += plan->slide_moves > 0 ? 1 : 0;
            }
        }
        MESSAGE(compared << " plans compared with every sequence, " << tight
                         << " of them with a change too long for its rest or its margin, " << slides
                         << " with the slide moved");
        CHECK(slides >= 10);
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
            PlanRequest request;
            request.tolerance_cents = 6.0;
            const Twins twins = find_twins(horn);
            const auto gathered = gather(horn, twins, list, kAir, request, {4, 0.001});
            REQUIRE(gathered.has_value());
            const Candidates& candidates = gathered->candidates;
            const std::optional<Start> from =
                coming ? std::optional<Start>(Start{{0, 0}, 3}) : std::nullopt;
            const bool any = std::any_of(candidates.target_of_step.begin(),
                                         candidates.target_of_step.end(),
                                         [](int target) { return target >= 0; });
            if (!any) {
                continue;
            }
            for (const Choose choose : {Choose::least_change, Choose::least_reach}) {
                const Weighing weighing(choose, horn.change_times);
                const auto search = CheapestSearch::over(twins, candidates);
                REQUIRE(search.has_value());
                const Choice swept = search->cheapest(candidates, weighing, from);
                CHECK(swept.cost == cheapest_choice_directly(candidates, weighing, from).cost);
                ++compared;
            }
        }
        CHECK(compared > 60);
    }

    TEST_CASE("two places of the slide for the whole evening: no other two are better") {
        std::mt19937 random(31);
        int compared = 0;
        for (int trial = 0; trial < 150 && compared < 12; ++trial) {
            CAPTURE(trial);
            HornLengths horn = random_horn(random, 2, 3, 2);
            horn.slide.longest_pull_m = 0.02; // 21 marks, 210 pairs
            const SetList list = random_list(random, 3);
            PlanRequest request;
            request.tolerance_cents = 8.0;
            request.most_between = 4;
            request.most_slide_places = 2;
            std::optional<Worth> best;
            for (int a = 0; a <= 20; ++a) {
                for (int b = a + 1; b <= 20; ++b) {
                    const auto one = best_of_all_sequences(
                        Choose::least_change, horn, list, request, 3'000, {a, b});
                    best = one && (!best || *one < *best) ? one : best;
                }
            }
            const auto whole =
                best_of_all_sequences(Choose::least_change, horn, list, request, 3'000);
            if (!whole || !best) {
                continue;
            }
            const auto plan = plan_set_list(horn, list, kAir, request);
            REQUIRE(plan.has_value());
            CHECK(plan->slide_places_m.size() <= 2);
            CHECK(worth_of(*plan, horn, list, request) == *best);
            ++compared;
        }
        CHECK(compared >= 6);
    }

    TEST_CASE("three places of the slide: no other three are better; no place at all is refused") {
        std::mt19937 random(47);
        int compared = 0;
        int bound = 0; // by itself the plan would use more places
        for (int trial = 0; trial < 3'000 && (compared < 12 || bound < 4); ++trial) {
            CAPTURE(trial);
            HornLengths horn = random_horn(random, 2, 2, 2);
            horn.slide.longest_pull_m = 0.016; // 17 marks, 680 sets of three
            horn.change_times.slide_s = 0.0;   // moved for every cent
            const SetList list = random_list(random, 5);
            PlanRequest request;
            request.tolerance_cents = 14.0;
            request.most_between = 4;
            if (!best_of_all_sequences(Choose::least_change, horn, list, request, 3'000)) {
                continue; // nothing is in tune, or too much to compare
            }
            const auto free = plan_set_list(horn, list, kAir, request);
            REQUIRE(free.has_value());
            request.most_slide_places = 3;
            std::optional<Worth> best;
            for (int a = 0; a <= 16; ++a) {
                for (int b = a + 1; b <= 16; ++b) {
                    for (int c = b + 1; c <= 16; ++c) {
                        const auto one = best_of_all_sequences(
                            Choose::least_change, horn, list, request, 3'000, {a, b, c});
                        best = one && (!best || *one < *best) ? one : best;
                    }
                }
            }
            const auto plan = plan_set_list(horn, list, kAir, request);
            CHECK(plan.has_value() == best.has_value());
            if (!plan || !best) {
                continue;
            }
            CHECK(plan->slide_places_m.size() <= 3);
            CHECK(plan->not_searched.empty());
            CHECK(worth_of(*plan, horn, list, request) == *best);
            ++compared;
            bound += free->slide_places_m.size() > 3 ? 1 : 0;
        }
        MESSAGE(compared << " plans compared, " << bound
                         << " of them held to fewer places than they took");
        CHECK(compared >= 6);
        CHECK(bound >= 2);
        const HornLengths horn = random_horn(random, 2, 3, 2);
        PlanRequest request;
        request.most_slide_places = 0;
        CHECK_FALSE(plan_set_list(horn, random_list(random, 3), kAir, request).has_value());
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

    TEST_CASE("a box too large is searched in part, and what was not searched is said") {
        std::mt19937 random(1);
        HornLengths horn = random_horn(random, 8, 16, 16);
        for (HornPiece& crook : horn.crooks) {
            crook.takes_couplers = true;
        }
        CHECK(count_stacks(horn, 1) >= 8 * 33);
        CHECK(searchable_most_between(horn, 32) < 32);
        CHECK(searchable_most_between(horn, 4) == 4);
        PlanRequest request;
        request.most_between = 32;
        const SetList list = random_list(random, 3);
        const auto plan = plan_set_list(horn, list, kAir, request);
        REQUIRE(plan.has_value());
        CHECK(plan->searched_between < 32);
        CHECK(plan->not_searched.find("were not searched") != std::string::npos);
        CHECK(plan->not_searched.find("--most-between") != std::string::npos);
        const BuildAnswer ways =
            ways_to_build(horn, {{list.numbers[0].key, 430.0, kAir}, 5.0, 32, std::nullopt, 5});
        CHECK(ways.searched_between < 32);
        // A small box is searched whole.
        const HornLengths small = random_horn(random, 2, 3, 2);
        const auto all = plan_set_list(small, list, kAir, request);
        REQUIRE(all.has_value());
        CHECK(all->not_searched.empty());
    }

    TEST_CASE("a change longer than its rest is marked, and one without a margin too") {
        HornLengths horn;
        horn.body_m = 2.5;
        horn.slide = {0.05, 0.0, 2};
        horn.change_times.slide_s = 0.0;
        horn.crooks = {piece(PieceKind::terminal_crook, "F", 1.44, 0.1),
                       piece(PieceKind::terminal_crook, "Eb", 1.92, 0.1)};
        SetList list;
        list.numbers = {{"1", *horn::parse_crook("F"), {}, {}, {}, {}},
                        {"2", *horn::parse_crook("Eb"), 3.9, {}, {}, {}},
                        {"3", *horn::parse_crook("F"), 4.0, {}, {}, {}},
                        {"4", *horn::parse_crook("Eb"), 7.0, {}, {}, {}}};
        const auto plan = plan_set_list(horn, list, kAir, {});
        REQUIRE(plan.has_value());
        CHECK(plan->too_short == 1);
        CHECK(plan->tight == 1);
        CHECK(plan->steps[1].too_short);
        CHECK_FALSE(plan->steps[2].too_short); // "4 s of 4 s"
        CHECK(plan->steps[2].tight);
        CHECK_FALSE(plan->steps[3].tight); // 4 s, a quarter more, 2 s: 7 s
        CHECK(plan->change_s == doctest::Approx(12.0));
    }

    TEST_CASE("moving the slide takes time: it stays where both keys are in tune") {
        HornLengths horn;
        horn.body_m = 2.5;
        horn.slide = {0.05, 0.0, 2};
        // F asks for 3.940 m, E flat for 4.423 (computed); exact pulls of 10 and 16 mm, both within 5 cents at 13.
        horn.crooks = {piece(PieceKind::terminal_crook, "F", 1.420, 0.1),
                       piece(PieceKind::terminal_crook, "Eb", 1.891, 0.1)};
        SetList list;
        list.numbers = {{"1", *horn::parse_crook("F"), {}, {}, {}, {}},
                        {"2", *horn::parse_crook("Eb"), 60.0, {}, {}, {}},
                        {"3", *horn::parse_crook("F"), 60.0, {}, {}, {}}};
        const auto plan = plan_set_list(horn, list, kAir, {});
        REQUIRE(plan.has_value());
        CHECK(plan->slide_moves == 0);
        CHECK(plan->slide_places_m.size() == 1);
        horn.change_times.slide_s = 0.0; // then the last cent decides
        const auto free = plan_set_list(horn, list, kAir, {});
        CHECK(free->slide_moves == 2);
        CHECK(std::fabs(free->steps[0].way.slide.left_cents) < 0.5);
    }

    TEST_CASE("times between two tenths: plan and marks count alike") {
        HornLengths horn;
        horn.body_m = 2.5;
        horn.slide = {0.05, 0.0, 2};
        horn.couplers = 1;
        horn.change_times = {4.05, 2.05, 2.05, 0.0}; // counted as 4.1, 2.1, 2.1
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

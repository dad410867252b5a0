#include "support/planner_reference.h"

#include "instrument/lengths.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <functional>
#include <set>
#include <tuple>

namespace bellhand::test {

namespace {

using instrument::Choose;
using instrument::HornLengths;
using instrument::HornPiece;
using instrument::Number;
using instrument::PieceKind;
using instrument::PieceSet;
using instrument::Plan;
using instrument::PlanRequest;
using instrument::SetList;
using instrument::Stack;
using instrument::Target;
using instrument::Way;

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

/// The slide at a whole number of millimetres.
double cents_at(const HornLengths& horn, const Stack& stack, const Target& target, int pull_mm) {
    const double length_m = tube_m(horn, stack) + 2.0 * pull_mm / 1000.0 / horn.tube_factor;
    return 1200.0 * std::log2(instrument::speed_of_sound_m_s(target.air) / (2.0 * length_m) /
                              wanted_hz(target));
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

} // namespace

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

double cents_left(const HornLengths& horn, const Stack& stack, const Target& target) {
    const double length_m = tube_m(horn, stack);
    const double speed = instrument::speed_of_sound_m_s(target.air);
    const double in_hz = speed / (2.0 * length_m);
    const double out_hz =
        speed / (2.0 * (length_m + 2.0 * horn.slide.longest_pull_m / horn.tube_factor));
    if (in_hz < wanted_hz(target)) {
        return 1200.0 * std::log2(in_hz / wanted_hz(target));
    }
    return out_hz > wanted_hz(target) ? 1200.0 * std::log2(out_hz / wanted_hz(target)) : 0.0;
}

std::vector<Stack>
all_in_tune(const HornLengths& horn, const Target& target, double tolerance_cents, int most) {
    return all_stacks(horn, most, [&](const Stack& stack) {
        return std::fabs(cents_left(horn, stack, target)) <= tolerance_cents;
    });
}

std::optional<Worth> best_of_all_sequences(Choose choose,
                                           const HornLengths& horn,
                                           const SetList& list,
                                           const PlanRequest& request,
                                           double most_sequences,
                                           const std::vector<int>& allowed_marks) {
    std::vector<std::vector<Stack>> choices;
    std::vector<std::vector<std::vector<Played>>> played; // number, stack, mark
    double sequences = 1.0;
    for (const Number& number : list.numbers) {
        const Target target{number.key, list.a4_hz, kPlannerAir};
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
            cents_at(horn, way.stack, {list.numbers[i].key, list.a4_hz, kPlannerAir}, mark_mm);
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

} // namespace bellhand::test

#include "instrument/planner/assembly.h"

#include "core/cents.h"
#include "horn/tuning.h"
#include "instrument/lengths.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace bellhand::instrument {

namespace {

constexpr double kGravity_m_s2 = 9.80665; // standard acceleration of free fall (ISO 80000-3)

// Beyond these a stack is told to be long or heavy (common practice, no source).
constexpr double kLongReach_m = 0.40;
constexpr double kHeavyStack_kg = 0.8;

template <typename Visit>
void each_between(PieceSet set, Visit visit) {
    for (; set != 0; set &= set - 1) {
        visit(static_cast<std::size_t>(std::countr_zero(set)));
    }
}

/// Order on the horn, from the body outwards.
std::vector<const HornPiece*> in_order(const HornLengths& horn, const Stack& stack) {
    std::vector<const HornPiece*> pieces;
    each_between(stack.between, [&](std::size_t i) { pieces.push_back(&horn.between[i]); });
    std::stable_sort(pieces.begin(), pieces.end(), [](const HornPiece* a, const HornPiece* b) {
        const bool a_bit = a->kind == PieceKind::tuning_bit;
        const bool b_bit = b->kind == PieceKind::tuning_bit;
        return a_bit != b_bit ? b_bit : a->acoustic_m > b->acoustic_m;
    });
    if (stack.crook >= 0) {
        pieces.push_back(&horn.crooks[static_cast<std::size_t>(stack.crook)]);
    }
    return pieces;
}

std::vector<NearKey>
keys_near(const HornLengths& horn, const Assembly& assembly, double a4_hz, double speed) {
    std::vector<NearKey> keys;
    const double bare_m = assembly.acoustic_m - horn.slide_adds_m(assembly.pull_m);
    for (const horn::Crook& key : horn::all_crooks()) {
        const double key_hz = horn::fundamental_hz({key, a4_hz, {}});
        NearKey near{key, cents_between(assembly.f1_hz, key_hz), std::nullopt};
        const double pull_m =
            (acoustic_length_m(key_hz, speed) - bare_m) * horn.tube_factor / horn.slide.legs;
        if (pull_m >= 0.0 && pull_m <= horn.slide.longest_pull_m) {
            near.pull_m = pull_m;
        }
        keys.push_back(near);
    }
    std::stable_sort(keys.begin(), keys.end(), [](const NearKey& a, const NearKey& b) {
        return std::fabs(a.cents) < std::fabs(b.cents);
    });
    keys.resize(3);
    return keys;
}

tl::unexpected<Error> no_such_piece(const HornLengths& horn, const std::string& name) {
    std::string sentence =
        "There is no piece \"" + name.substr(0, 60) + "\" in this profile; it has";
    const char* separator = " ";
    for (const auto* pieces : {&horn.crooks, &horn.between}) {
        for (const HornPiece& piece : *pieces) {
            sentence += separator + ("\"" + piece.name + "\"");
            separator = ", ";
        }
    }
    return usage_error(sentence + ".");
}

Result<Stack> mountable(const HornLengths& horn, const Stack& stack) {
    if (stack.crook < 0 && !horn.plays_without_crook) {
        return usage_error("No crook is named, and this body does not play without one.");
    }
    if (!fits(horn, stack)) {
        return usage_error("Couplers do not fit " +
                           (stack.crook < 0
                                ? std::string("the body without a crook")
                                : "\"" + horn.crooks[static_cast<std::size_t>(stack.crook)].name +
                                      "\" (takes_couplers is false)") +
                           ".");
    }
    return stack;
}

} // namespace

double pushed_in_m(const HornLengths& horn, const Stack& stack) noexcept {
    double length_m = horn.body_m;
    if (stack.crook >= 0) {
        length_m += horn.crooks[static_cast<std::size_t>(stack.crook)].acoustic_m;
    }
    each_between(stack.between, [&](std::size_t i) { length_m += horn.between[i].acoustic_m; });
    return length_m;
}

double reach_of_m(const HornLengths& horn, const Stack& stack) noexcept {
    double reach_m =
        stack.crook >= 0 ? horn.crooks[static_cast<std::size_t>(stack.crook)].reach_m : 0.0;
    each_between(stack.between, [&](std::size_t i) { reach_m += horn.between[i].reach_m; });
    return reach_m;
}

double settled_sd_cents(const HornLengths& horn, const Stack& stack) noexcept {
    const std::size_t n = 1 + horn.crooks.size() + horn.between.size();
    if (horn.covariance_m2.size() != n * n) {
        return 0.0;
    }
    std::vector<std::size_t> of{0};
    if (stack.crook >= 0) {
        of.push_back(1 + static_cast<std::size_t>(stack.crook));
    }
    each_between(stack.between, [&](std::size_t i) { of.push_back(1 + horn.crooks.size() + i); });
    double variance_m2 = 0.0;
    for (const std::size_t row : of) {
        for (const std::size_t column : of) {
            variance_m2 += horn.covariance_m2[row * n + column];
        }
    }
    return 1200.0 / std::log(2.0) * std::sqrt(std::max(0.0, variance_m2)) /
           pushed_in_m(horn, stack);
}

bool fits(const HornLengths& horn, const Stack& stack) noexcept {
    if (stack.crook < 0) {
        // Couplers are made for a crook's tail; only bits go straight on the mouthpiece.
        const PieceSet couplers = (PieceSet{1} << horn.couplers) - 1;
        return horn.plays_without_crook && (stack.between & couplers) == 0;
    }
    const PieceSet couplers = (PieceSet{1} << horn.couplers) - 1;
    return horn.crooks[static_cast<std::size_t>(stack.crook)].takes_couplers ||
           (stack.between & couplers) == 0;
}

std::vector<std::string> names_of(const HornLengths& horn, const Stack& stack) {
    std::vector<std::string> names;
    const auto pieces = in_order(horn, stack);
    names.reserve(pieces.size());
    std::transform(pieces.rbegin(),
                   pieces.rend(),
                   std::back_inserter(names),
                   [](const HornPiece* piece) { return piece->name; });
    return names;
}

std::string describe(const HornLengths& horn, const Stack& stack) {
    std::string text;
    for (const std::string& name : names_of(horn, stack)) {
        text += (text.empty() ? "" : " + ") + name;
    }
    return text.empty() ? "body alone" : text;
}

Result<Stack> stack_of(const HornLengths& horn, std::span<const std::string> names) {
    Stack stack;
    for (const std::string& name : names) {
        const auto named = [&](const HornPiece& piece) { return piece.name == name; };
        const auto crook = std::find_if(horn.crooks.begin(), horn.crooks.end(), named);
        if (crook != horn.crooks.end()) {
            if (stack.crook >= 0) {
                return usage_error("\"" + name + "\" is a second crook: only one fits at a time.");
            }
            stack.crook = static_cast<int>(crook - horn.crooks.begin());
            continue;
        }
        const auto between = std::find_if(horn.between.begin(), horn.between.end(), named);
        if (between == horn.between.end()) {
            return no_such_piece(horn, name);
        }
        const PieceSet bit = PieceSet{1} << (between - horn.between.begin());
        if ((stack.between & bit) != 0) {
            return usage_error("\"" + name + "\" is named twice: it can be mounted only once.");
        }
        stack.between |= bit;
    }
    return mountable(horn, stack);
}

Assembly assemble(const HornLengths& horn,
                  const Stack& stack,
                  double pull_m,
                  double a4_hz,
                  const AirInHorn& air) {
    Assembly assembly;
    assembly.stack = stack;
    assembly.pull_m = pull_m;
    assembly.acoustic_m = pushed_in_m(horn, stack) + horn.slide_adds_m(pull_m);
    const double speed = speed_of_sound_m_s(air);
    assembly.f1_hz = f1_of_length_hz(assembly.acoustic_m, speed);
    assembly.sd_cents = settled_sd_cents(horn, stack);
    assembly.joints = pieces_in(stack);
    LeftHandLoad load;
    bool masses_known = true;
    double at_m = 0.0;
    for (const HornPiece* piece : in_order(horn, stack)) {
        assembly.pieces.push_back(
            {piece->name, piece->kind, at_m, at_m + piece->reach_m, piece->tape_m});
        masses_known = masses_known && piece->mass_kg.has_value();
        load.mass_kg += piece->mass_kg.value_or(0.0);
        load.moment_nm +=
            kGravity_m_s2 * piece->mass_kg.value_or(0.0) * (at_m + 0.5 * piece->reach_m);
        at_m += piece->reach_m;
        assembly.reach_estimated = assembly.reach_estimated || piece->reach_estimated;
    }
    assembly.reach_m = at_m;
    if (masses_known) {
        assembly.load = load;
    }
    assembly.near_keys = keys_near(horn, assembly, a4_hz, speed);
    if (assembly.reach_m > kLongReach_m || (masses_known && load.mass_kg > kHeavyStack_kg)) {
        assembly.caution = "A long or heavy stack loads the left arm: set the horn down between "
                           "numbers, stop at pain, and ask a teacher or physician if it returns.";
    }
    return assembly;
}

} // namespace bellhand::instrument

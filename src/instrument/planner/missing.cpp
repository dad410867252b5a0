#include "instrument/planner/missing.h"

#include "instrument/lengths.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>
#include <vector>

namespace bellhand::instrument {

namespace {

constexpr double kShortestCrook_m = 0.05; // a socket at either end
constexpr double kShortestPiece_m = 0.015;
constexpr double kLongestCoupler_m = 2.0;
constexpr double kBitUpTo_m = 0.10;
constexpr double kFactorSd = 0.009; // of tape over acoustic length, as in settle_lengths

std::string metres(double value_m) {
    char text[32];
    std::snprintf(text, sizeof text, "%.2f m", value_m);
    return text;
}

std::string millimetres(double value_m) {
    char text[32];
    std::snprintf(text, sizeof text, "%.0f mm", 1000.0 * value_m);
    return text;
}

/// Half out, but no further than players like to stand.
double middle_pull_m(const HornLengths& horn) {
    return std::min(0.5 * horn.slide.longest_pull_m, 0.015);
}

double sd_m(const HornLengths& horn, const Stack& stack, double changed_m) {
    const double known = settled_sd_cents(horn, stack) * std::numbers::ln2 / 1200.0;
    return std::hypot(known * pushed_in_m(horn, stack) * horn.tube_factor, kFactorSd * changed_m);
}

/// Bare crooks (and the body alone), then each with one piece.
std::vector<Stack> short_stacks(const HornLengths& horn, bool with_pieces) {
    std::vector<Stack> stacks;
    for (int crook = -1; crook < static_cast<int>(horn.crooks.size()); ++crook) {
        for (std::size_t i = 0; i <= (with_pieces ? horn.between.size() : 0); ++i) {
            const Stack stack{crook, i == 0 ? 0 : PieceSet{1} << (i - 1)};
            if (fits(horn, stack)) {
                stacks.push_back(stack);
            }
        }
    }
    return stacks;
}

std::optional<PieceToMake>
shorter_crook(const HornLengths& horn, const Stack& shortest, double target_m) {
    if (shortest.crook < 0) {
        return std::nullopt; // the body alone is too long
    }
    const HornPiece& crook = horn.crooks[static_cast<std::size_t>(shortest.crook)];
    const double pull_m = middle_pull_m(horn);
    const double less_m =
        (pushed_in_m(horn, shortest) + horn.slide_adds_m(pull_m) - target_m) * horn.tube_factor;
    PieceToMake make{PieceKind::terminal_crook,
                     crook.acoustic_m * horn.tube_factor - less_m,
                     sd_m(horn, shortest, less_m),
                     shortest,
                     pull_m};
    return make.tape_m < kShortestCrook_m ? std::nullopt : std::optional(make);
}

/// On the longest of these stacks that leaves room for a piece.
std::optional<PieceToMake>
piece_on(const HornLengths& horn, const std::vector<Stack>& stacks, double target_m) {
    const double pull_m = middle_pull_m(horn);
    std::optional<PieceToMake> best;
    for (const Stack& stack : stacks) {
        const double tape_m =
            (target_m - pushed_in_m(horn, stack) - horn.slide_adds_m(pull_m)) * horn.tube_factor;
        const bool bit = tape_m < kBitUpTo_m;
        const bool takes_it =
            bit ||
            (stack.crook >= 0 && horn.crooks[static_cast<std::size_t>(stack.crook)].takes_couplers);
        if (tape_m >= kShortestPiece_m && tape_m <= kLongestCoupler_m && takes_it &&
            (!best || tape_m < best->tape_m)) {
            best = PieceToMake{bit ? PieceKind::tuning_bit : PieceKind::coupler,
                               tape_m,
                               sd_m(horn, stack, tape_m),
                               stack,
                               pull_m};
        }
    }
    return best;
}

} // namespace

Missing what_is_missing(const HornLengths& horn, const BuildRequest& request) {
    Missing missing;
    const double target_m = target_length_m(request.target);
    const std::vector<Stack> bare = short_stacks(horn, false);
    const auto shortest =
        std::min_element(bare.begin(), bare.end(), [&](const Stack& a, const Stack& b) {
            return pushed_in_m(horn, a) < pushed_in_m(horn, b);
        });
    BuildRequest one = request;
    one.most_ways = 1;
    const BuildAnswer answer = ways_to_build(horn, one);
    if (answer.ways.empty() || shortest == bare.end()) {
        return missing;
    }
    const Way& nearest = answer.ways.front();
    missing.nearest = nearest.stack;
    missing.by_cents = nearest.slide.left_cents;
    const double stands_m =
        pushed_in_m(horn, nearest.stack) + horn.slide_adds_m(nearest.slide.pull_m);
    missing.by_m = (target_m - stands_m) * horn.tube_factor;
    const double excess_m = pushed_in_m(horn, *shortest) - target_m;
    if (excess_m > 0.0) {
        missing.too_long = true;
        missing.nearest = *shortest;
        missing.by_m = excess_m * horn.tube_factor;
        missing.make = shorter_crook(horn, *shortest, target_m);
        return missing;
    }
    missing.make = piece_on(horn, bare, target_m);
    if (!missing.make) {
        missing.make = piece_on(horn, short_stacks(horn, true), target_m);
    }
    return missing;
}

std::string in_words(const HornLengths& horn, const horn::Crook& key, const Missing& missing) {
    std::string text;
    const std::string label = key.label;
    if (missing.too_long) {
        text = "Nothing you own reaches " + label + ": the shortest stack, " +
               describe(horn, missing.nearest) + ", is " + metres(missing.by_m) +
               " of tube too long for it. ";
        if (!missing.make) {
            return text + "The body itself is too long: no crook can be so short.";
        }
        return text + "That needs a shorter crook: " + metres(missing.make->tape_m) +
               " of tube (± " + metres(2.0 * missing.make->sd_m) + ") instead of " +
               describe(horn, missing.make->on) + ", with the slide " +
               millimetres(missing.make->pull_m) + " out.";
    }
    char cents[32];
    std::snprintf(cents, sizeof cents, "%.0f cents", std::fabs(missing.by_cents));
    text = "Nothing you own reaches " + label + ": the nearest stack, " +
           describe(horn, missing.nearest) + ", stays " + cents +
           (missing.by_cents > 0.0 ? " too high (" : " too low (") +
           millimetres(std::fabs(missing.by_m)) +
           (missing.by_cents > 0.0 ? " of tube too short). " : " of tube too long). ");
    if (!missing.make) {
        return text + "No single coupler does it: that needs a longer crook.";
    }
    return text + (missing.make->kind == PieceKind::tuning_bit ? "A bit of " : "A coupler of ") +
           millimetres(missing.make->tape_m) + " of tube (± " +
           millimetres(2.0 * missing.make->sd_m) + ") on " + describe(horn, missing.make->on) +
           " would do it, with the slide " + millimetres(missing.make->pull_m) + " out.";
}

} // namespace bellhand::instrument

#include "words/balance.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace bellhand::words {

namespace {

constexpr double kDrift_cents_per_s = 0.3; // less is none
constexpr double kRestless_cents =
    10.0; // what only larger jolts stand out of tells nothing of a horn

const char* way_of(double cents) {
    return cents < 0.0 ? "down" : "up";
}

} // namespace

std::string balance_words(const hand::Balance& balance) {
    if (!balance.known) {
        return "That tone was too short, or never stood still: hold it for a second before the "
               "hand moves, and for a second after.";
    }
    if (balance.moves.empty()) {
        return fmt::format(
            "A quiet long tone: the pitch stood to {:.1f} cents, and no change of the "
            "hand was heard.",
            balance.wobble_cents);
    }
    const auto told = std::count_if(balance.moves.begin(),
                                    balance.moves.end(),
                                    [](const hand::HandMove& move) { return move.slow; });
    const auto jolts = std::count_if(balance.moves.begin(),
                                     balance.moves.end(),
                                     [](const hand::HandMove& move) { return move.jolted; });
    if (told == 0) {
        return "The hand moved too quickly to hear a jolt apart from it: take a second and more.";
    }
    const auto least = std::max_element(
        balance.moves.begin(), balance.moves.end(), [](const auto& one, const auto& other) {
            return (one.slow ? one.hearable_cents : 0.0) <
                   (other.slow ? other.hearable_cents : 0.0);
        });
    if (jolts == 0 && least->hearable_cents > kRestless_cents) {
        return fmt::format("The pitch was too restless to hear a jolt of less than {:.0f} cents.",
                           std::ceil(least->hearable_cents));
    }
    if (jolts == 0) {
        return told == 1
                   ? "The hand moved, and no jolt was heard beside it."
                   : fmt::format("The hand moved {} times, and no jolt was heard beside it.", told);
    }
    return fmt::format("A jolt was heard at {} of {} slow {} of the hand.",
                       jolts,
                       told,
                       told == 1 ? "change" : "changes");
}

MoveWords move_words(const hand::HandMove& move) {
    MoveWords words;
    words.bend = fmt::format("{}{:.0f} cents in {:.1f} s",
                             move.bend_cents < 0.0 ? "−" : "+",
                             std::fabs(move.bend_cents),
                             move.to_s - move.from_s);
    if (!move.slow) {
        words.jolt = "too quick to tell";
    } else if (move.jolted) {
        words.jolt = fmt::format("a jolt of {:.0f} cents {}, {:.2f} s long",
                                 std::fabs(move.jolt_cents),
                                 way_of(move.jolt_cents),
                                 move.jolt_s);
    } else {
        words.jolt = fmt::format("no jolt above {:.0f} cents", std::ceil(move.hearable_cents));
    }
    return words;
}

std::string still_words(const hand::Balance& balance) {
    std::string words =
        fmt::format("wobble {:.1f} cents where the hand stood", balance.wobble_cents);
    const double drift = balance.drift_cents_per_s;
    if (std::fabs(drift) >= kDrift_cents_per_s) {
        words += fmt::format(
            ", {} by {:.1f} cents a second", drift < 0.0 ? "sinking" : "rising", std::fabs(drift));
    }
    return words;
}

const char* balance_basis() noexcept {
    return "This rests on pitch alone. The hand bends it by itself, 70 to 200 cents in a full "
           "closing: "
           "that bend is taken for one smooth movement, and your lips for as restless as they are "
           "where the hand stands. What is left beside both is a jolt. Whether lips, arm or horn "
           "made it cannot be heard; nor a jolt longer than a third of a second, nor one inside a "
           "movement quicker than a second.";
}

} // namespace bellhand::words

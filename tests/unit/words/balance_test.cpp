#include "words/balance.h"

#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

hand::Balance with(std::vector<hand::HandMove> moves) {
    hand::Balance balance;
    balance.known = true;
    balance.wobble_cents = 1.24;
    balance.drift_cents_per_s = -0.5;
    balance.moves = std::move(moves);
    return balance;
}

hand::HandMove slow(double jolt_cents, bool jolted, double hearable_cents = 3.4) {
    hand::HandMove move;
    move.from_s = 1.0;
    move.to_s = 3.1;
    move.bend_cents = -120.0;
    move.jolt_cents = jolt_cents;
    move.jolt_s = 0.16;
    move.jolted = jolted;
    move.hearable_cents = hearable_cents;
    move.slow = true;
    return move;
}

} // namespace

TEST_SUITE("words/balance") {
    TEST_CASE("a tone is told by what was heard, and by what could not be") {
        CHECK(words::balance_words({}).find("too short") != std::string::npos);
        CHECK(words::balance_words(with({})).find("stood to 1.2 cents") != std::string::npos);
        CHECK(words::balance_words(with({slow(1.0, false)})) ==
              "The hand moved, and no jolt was heard beside it.");
        CHECK(words::balance_words(with({slow(8.0, true), slow(1.0, false)})) ==
              "A jolt was heard at 1 of 2 slow changes of the hand.");
        CHECK(words::balance_words(with({slow(1.0, false), slow(1.0, false, 24.2)})) ==
              "The pitch was too restless to hear a jolt of less than 25 cents.");
        hand::HandMove quick = slow(9.0, false);
        quick.slow = false;
        CHECK(words::balance_words(with({quick})).find("too quickly") != std::string::npos);
        CHECK(words::still_words(with({})) ==
              "wobble 1.2 cents where the hand stood, sinking by 0.5 cents a second");
    }

    TEST_CASE("a change is told by its bend and by the jolt beside it, or by the least that would "
              "be heard") {
        const words::MoveWords jolted = words::move_words(slow(-8.2, true));
        CHECK(jolted.bend == "−120 cents in 2.1 s");
        CHECK(jolted.jolt == "a jolt of 8 cents down, 0.16 s long");
        CHECK(words::move_words(slow(2.0, false)).jolt == "no jolt above 4 cents");
        hand::HandMove quick = slow(9.0, false);
        quick.slow = false;
        CHECK(words::move_words(quick).jolt == "too quick to tell");
    }
}

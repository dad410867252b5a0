#include "desk/model/heard_hand.h"

#include "support/fake_practice.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

constexpr double kHop_s = 256.0 / 48000.0;
constexpr horn::Note kWrittenB4{71, 0}; // half-stopped from partial 8

trainer::Reading heard(double time_s, horn::Note written, double low, double high, int partial) {
    trainer::Reading reading = test::reading_of(time_s, written, 0.0);
    hand::Position& position = reading.hand.position;
    position.known = true;
    position.partial = partial;
    position.partial_share = 1.0;
    position.low = low;
    position.high = high;
    position.closure = 0.5 * (low + high);
    position.confidence = 0.9;
    return reading;
}

} // namespace

TEST_SUITE("gui/heard hand") {
    TEST_CASE(
        "what the chart asks of the hand: the usual way, a full stop counted to the branch above") {
        CHECK(asked_of(kWrittenB4).partial == 8);
        CHECK(asked_of(kWrittenB4).hand == horn::Hand::half);
        CHECK(asked_of({72, 0}).hand == horn::Hand::open);
        CHECK(asked_of({200, 0}).partial == 0);
    }

    TEST_CASE("a range appears when the note has stood, and moves calmly towards what is heard") {
        HeardHand hand;
        double now_s = 1.0;
        for (; now_s < 1.08; now_s += kHop_s) {
            hand.add(heard(now_s, kWrittenB4, 0.25, 0.5, 8));
            CHECK_FALSE(hand.shown());
        }
        for (; now_s < 1.2; now_s += kHop_s) {
            hand.add(heard(now_s, kWrittenB4, 0.25, 0.5, 8));
        }
        REQUIRE(hand.shown());
        CHECK(hand.shown()->sounding);
        CHECK(hand.shown()->estimate.position.partial == hand.shown()->asked.partial);
        CHECK(hand.shown()->estimate.position.low == doctest::Approx(0.25));
        hand.add(heard(now_s, kWrittenB4, 0.75, 1.0, 8));
        CHECK(hand.shown()->estimate.position.low < 0.3);
        for (int i = 0; i < 190; ++i) {
            now_s += kHop_s;
            hand.add(heard(now_s, kWrittenB4, 0.75, 1.0, 8));
        }
        CHECK(hand.shown()->estimate.position.low == doctest::Approx(0.75).epsilon(0.01));
        CHECK(hand.shown()->estimate.position.high == doctest::Approx(1.0).epsilon(0.01));
    }

    TEST_CASE(
        "another partial is shown at once: a range halfway between two branches means nothing") {
        HeardHand hand;
        double now_s = 0.0;
        for (; now_s < 0.2; now_s += kHop_s) {
            hand.add(heard(now_s, kWrittenB4, 0.25, 0.5, 8));
        }
        hand.add(heard(now_s, kWrittenB4, 0.9, 1.0, 9));
        CHECK(hand.shown()->estimate.position.low == doctest::Approx(0.9));
        CHECK(hand.shown()->estimate.position.partial == 9);
    }

    TEST_CASE(
        "the ended note stays with what it has betrayed as a whole, until the next one has stood") {
        HeardHand hand;
        double now_s = 0.0;
        for (; now_s < 0.3; now_s += kHop_s) {
            hand.add(heard(now_s, kWrittenB4, 0.0, 1.0, 8));
        }
        for (; now_s < 0.7; now_s += kHop_s) {
            hand.add(test::silence_at(now_s));
        }
        trainer::PlayedNote played;
        played.written = kWrittenB4;
        played.finished = true;
        played.heard.heard = true;
        played.heard.intent = asked_of(kWrittenB4);
        played.heard.estimate = heard(0.0, kWrittenB4, 0.4, 0.6, 8).hand;
        hand.ended(played);
        REQUIRE(hand.shown());
        CHECK_FALSE(hand.shown()->sounding);
        CHECK(hand.shown()->estimate.position.low == doctest::Approx(0.4));
        hand.add(heard(now_s, {72, 0}, 0.0, 0.1, 8));
        CHECK(hand.shown()->asked.hand == horn::Hand::half);
        for (int i = 0; i < 20; ++i) {
            now_s += kHop_s;
            hand.add(heard(now_s, {72, 0}, 0.0, 0.1, 8));
        }
        CHECK(hand.shown()->asked.hand == horn::Hand::open);
        CHECK(hand.shown()->sounding);
    }

    TEST_CASE("the end of the note before does not cover the slurred note that is shown already") {
        HeardHand hand;
        double now_s = 0.0;
        for (; now_s < 0.3; now_s += kHop_s) {
            hand.add(heard(now_s, {72, 0}, 0.0, 0.1, 8));
        }
        trainer::PlayedNote before;
        before.written = kWrittenB4;
        before.heard.heard = true;
        before.heard.intent = asked_of(kWrittenB4);
        before.heard.estimate = heard(0.0, kWrittenB4, 0.4, 0.6, 8).hand;
        hand.ended(before);
        CHECK(hand.shown()->asked.hand == horn::Hand::open);
        hand.fall_silent();
        CHECK_FALSE(hand.shown()->sounding);
    }
}

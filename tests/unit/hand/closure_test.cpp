#include "hand/advice.h"
#include "horn/hand_response.h"
#include "support/model_hand.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;
using hand::AdviceKind;

namespace {

struct Horn {
    horn::Tuning tuning{};
    horn::HandResponse response = test::known_hand(tuning);
    hand::TimbreModel model = *hand::load_timbre_model();
    hand::ClosureGrid grid{response, hand::calibrated_trust(), model};
    hand::GridLogs evidence{};

    hand::Position at(double cents, double log_odds = 0.0) {
        grid.look({cents, 0.5, log_odds}, evidence);
        return hand::position_of(grid.prior(), evidence);
    }
    [[nodiscard]] double place(int partial, double closure) const {
        return grid.place_cents(partial, closure);
    }
    [[nodiscard]] hand::Intent intent(int partial, horn::Hand hand, double target) const {
        return {partial, hand, hand, target, 8.0};
    }
    hand::Advice advice(const hand::Intent& intent, double cents, double log_odds = 0.0) {
        const auto position = at(cents, log_odds);
        return hand::advise_note(intent, grid, evidence, position, cents);
    }
};

} // namespace

TEST_SUITE("hand/closure") {
    TEST_CASE("the grid lies where the hand response lies") {
        const Horn horn;
        for (const int partial : {2, 4, 8, 12, 24}) {
            for (const double closure : {0.0, 0.25, 0.5, 0.75, 1.0}) {
                CHECK(horn.place(partial, closure) ==
                      doctest::Approx(1200.0 * std::log2(partial) +
                                      horn::response_at(horn.response, partial, closure)));
            }
        }
    }

    TEST_CASE("every degree on the lower partials is found from pitch alone, partial included") {
        Horn horn;
        for (int partial = 3; partial <= 7; ++partial) {
            for (int degree = 0; degree < hand::kDegrees; ++degree) {
                CAPTURE(partial);
                CAPTURE(degree);
                const auto found = horn.at(horn.place(partial, 0.25 * degree));
                CHECK(found.partial == partial);
                CHECK(static_cast<int>(found.degree) == degree);
                // Both ends are places of the grid, the closure lies between places.
                constexpr double kHalfStep = 0.5 / (hand::kClosures - 1);
                CHECK(found.low <= found.closure + kHalfStep);
                CHECK(found.closure - kHalfStep <= found.high);
            }
        }
    }

    TEST_CASE("the range runs from the 10th to the 90th percentile of the closure") {
        Horn horn;
        for (const double closure : {0.0, 0.3, 0.5, 0.8, 1.0}) {
            for (const int partial : {4, 5, 8, 11}) {
                CAPTURE(closure);
                CAPTURE(partial);
                const auto found = horn.at(horn.place(partial, closure));
                const auto row = static_cast<std::size_t>(found.partial - hand::kFirstPartial);
                double sum = 0.0;
                double below_low = 0.0;
                double to_low = 0.0;
                double below_high = 0.0;
                double to_high = 0.0;
                for (std::size_t c = 0; c < hand::kClosures; ++c) {
                    const double share =
                        std::exp(horn.grid.prior()[row][c] + horn.evidence[row][c]);
                    const double place = static_cast<double>(c) / (hand::kClosures - 1);
                    sum += share;
                    below_low += place < found.low - 1e-9 ? share : 0.0;
                    to_low += place < found.low + 1e-9 ? share : 0.0;
                    below_high += place < found.high - 1e-9 ? share : 0.0;
                    to_high += place < found.high + 1e-9 ? share : 0.0;
                }
                CHECK(below_low < 0.1 * sum);
                CHECK(to_low > 0.0999 * sum);
                CHECK(below_high < 0.9 * sum);
                CHECK(to_high > 0.8999 * sum);
            }
        }
    }

    TEST_CASE("high up pitch cannot tell half from full, and the range says so") {
        Horn horn;
        const auto low = horn.at(horn.place(5, 0.75));
        const auto high = horn.at(horn.place(12, 0.75));
        CHECK(high.high - high.low > low.high - low.low);
        CHECK(high.high - high.low >= 0.35);
        CHECK(high.confidence < 0.6);
        CHECK(low.confidence > 0.8);
    }

    TEST_CASE("timbre settles what pitch leaves open") {
        Horn horn;
        const double cents = horn.place(11, 0.8);
        CHECK(horn.at(cents, 4.0).degree == horn::Hand::full);
        CHECK(horn.at(cents, 4.0).degrees[4] > horn.at(cents, 0.0).degrees[4]);
        CHECK(horn.at(cents, -4.0).degrees[4] < horn.at(cents, 0.0).degrees[4]);
    }

    TEST_CASE("probabilities are probabilities") {
        Horn horn;
        for (double cents = 1000.0; cents < 5000.0; cents += 7.3) {
            const auto found = horn.at(cents, 1.0);
            double sum = 0.0;
            for (const double share : found.degrees) {
                sum += share;
            }
            CHECK(sum == doctest::Approx(1.0).epsilon(1e-6));
            CHECK(found.partial_share <= 1.0 + 1e-9);
            CHECK(found.confidence <= found.partial_share + 1e-9);
        }
    }

    TEST_CASE("a pitch between two branches, where no hand leads, is not believed") {
        Horn horn;
        // Open partial 3 lies at 1902; the full stop of partial 4 lands about a semitone above it: between lie lips only.
        CHECK(horn.at(1952.0).confidence < 0.7);
    }

    TEST_CASE(
        "a modelled hand is believed less than a measured one, the further the more it falls") {
        Horn horn;
        const hand::ClosureGrid modelled(
            horn::hand_response(horn.tuning), hand::modelled_trust(), horn.model);
        const double cents = horn.place(4, 0.5);
        hand::GridLogs evidence{};
        modelled.look({cents, 0.5, 0.0}, evidence);
        const auto guessed = hand::position_of(modelled.prior(), evidence);
        const auto known = horn.at(cents);
        CHECK(guessed.partial == 4);
        CHECK(guessed.high - guessed.low > known.high - known.low);
        CHECK(guessed.confidence < known.confidence);
    }

    TEST_CASE("degrees of closures") {
        CHECK(hand::degree_of(0.0) == horn::Hand::open);
        CHECK(hand::degree_of(0.12) == horn::Hand::open);
        CHECK(hand::degree_of(0.26) == horn::Hand::quarter);
        CHECK(hand::degree_of(0.7) == horn::Hand::three_quarters);
        CHECK(hand::degree_of(0.95) == horn::Hand::full);
    }
}

TEST_SUITE("hand/advice") {
    TEST_CASE("flat on a low partial half-stopped: the hand is further closed than half") {
        Horn horn;
        const auto intent = horn.intent(4, horn::Hand::half, horn.place(4, 0.5));
        const auto advice = horn.advice(intent, horn.place(4, 0.6));
        CHECK(advice.kind == AdviceKind::hand_closed);
        CHECK(advice.confidence >= hand::kAdviceConfidence);
        CHECK(advice.hand_cents + advice.lips_cents == doctest::Approx(advice.deviation_cents));
        CHECK(advice.hand_cents < 0.8 * advice.deviation_cents);
        const auto words = hand::advice_text(advice, intent, horn.at(horn.place(4, 0.6)));
        CHECK(words.find("further closed than half") != std::string::npos);
        CHECK(words.find("flat") != std::string::npos);
    }

    TEST_CASE("sharp on the same note: not closed far enough") {
        Horn horn;
        const auto intent = horn.intent(4, horn::Hand::three_quarters, horn.place(4, 0.75));
        CHECK(horn.advice(intent, horn.place(4, 0.65)).kind == AdviceKind::hand_open);
    }

    TEST_CASE("flat on a high partial, where the hand moves the pitch by little: the lips") {
        Horn horn;
        const auto intent = horn.intent(12, horn::Hand::half, horn.place(12, 0.5));
        CHECK(horn.advice(intent, horn.place(12, 0.5) - 22.0).kind == AdviceKind::lips_low);
    }

    TEST_CASE("the hand is never called right beside another hand that is shown as sure") {
        Horn horn;
        for (int partial = 3; partial <= 12; ++partial) {
            for (int degree = 0; degree < hand::kDegrees; ++degree) {
                const auto meant = static_cast<horn::Hand>(degree);
                const auto intent = horn.intent(partial, meant, horn.place(partial, 0.25 * degree));
                for (double off = -60.0; off <= 60.0; off += 3.0) {
                    const double cents = intent.target_cents + off;
                    const auto position = horn.at(cents);
                    const auto kind =
                        hand::advise_note(intent, horn.grid, horn.evidence, position, cents).kind;
                    const bool called_right =
                        kind == AdviceKind::lips_low || kind == AdviceKind::lips_high;
                    const bool shown_elsewhere =
                        position.degree != meant && position.confidence >= hand::kAdviceConfidence;
                    CHECK_FALSE((called_right && shown_elsewhere));
                }
            }
        }
    }

    TEST_CASE("where both could have done it, it says so instead of guessing") {
        Horn horn;
        const auto intent = horn.intent(8, horn::Hand::half, horn.place(8, 0.5));
        CHECK(horn.advice(intent, horn.place(8, 0.5) - 14.0).kind == AdviceKind::hand_or_lips);
    }

    TEST_CASE("in tune and as meant: no advice") {
        Horn horn;
        const auto intent = horn.intent(5, horn::Hand::open, horn.place(5, 0.0));
        const auto advice = horn.advice(intent, horn.place(5, 0.0) + 2.0, -4.0);
        CHECK(advice.kind == AdviceKind::nothing);
        CHECK(hand::advice_text(advice, intent, horn.at(horn.place(5, 0.0))).empty());
    }

    TEST_CASE("right pitch from another position is told with the partial below, but not by colour "
              "alone") {
        Horn horn;
        const auto intent = horn.intent(11, horn::Hand::quarter, horn.place(11, 1.0));
        const double cents = horn.place(11, 1.0);
        const auto position = horn.at(cents, 5.0);
        auto advice = hand::advise_note(intent, horn.grid, horn.evidence, position, cents);
        CHECK(advice.kind == AdviceKind::nothing); // one source of colour accuses nobody
        advice.kind = AdviceKind::other_position;
        CHECK(hand::advice_text(advice, intent, position) ==
              "Right pitch, but stopped above partial 10, not quarter-stopped from partial 11.");
    }

    TEST_CASE("another partial is told only when that is sure enough") {
        Horn horn;
        const auto intent = horn.intent(6, horn::Hand::half, horn.place(6, 0.5));
        const double cents = horn.place(5, 0.0);
        auto position = horn.at(cents, -5.0);
        REQUIRE(position.partial == 5);
        position.partial_share = hand::kAdviceConfidence - 0.01;
        auto advice = hand::advise_note(intent, horn.grid, horn.evidence, position, cents);
        CHECK(advice.kind == AdviceKind::unsure);
        CHECK(advice.confidence == doctest::Approx(position.partial_share));
        position.partial_share = hand::kAdviceConfidence + 0.01;
        advice = hand::advise_note(intent, horn.grid, horn.evidence, position, cents);
        CHECK(advice.kind == AdviceKind::other_position);
        position.degree = horn::Hand::open;
        CHECK(hand::advice_text(advice, intent, position).find("open on partial 5") !=
              std::string::npos);
    }

    TEST_CASE("a full stop named from the partial below is the branch above it") {
        horn::HandWay way;
        way.partial = 10;
        way.hand = way.hand_to = horn::Hand::full;
        way.shift_cents = 100.0;
        CHECK(hand::intent_of(way).partial == 11);
        way.shift_cents = -300.0;
        CHECK(hand::intent_of(way).partial == 10);
    }
}

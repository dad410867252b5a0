#include "hand/advice.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>

namespace bellhand::hand {

namespace {

// How surely a player finds the closure that was meant: standard deviation, open and anything else, and how often the
// hand is somewhere else altogether (common practice, no source).
constexpr double kOpenSd = 0.04;
constexpr double kClosedSd = 0.12;
constexpr double kElsewhere = 0.05;
constexpr double kLeastPartialShare = 0.6;

horn::HandResponse as_response(const ClosureGrid& grid, int partial) {
    horn::HandResponse out;
    const auto at = static_cast<std::size_t>(partial - 1);
    const double natural = cents_between(static_cast<double>(partial), 1.0);
    out.open_cents[at] = grid.place_cents(partial, 0.0) - natural;
    for (std::size_t degree = 0; degree < kDegrees; ++degree) {
        out.fall_cents[at][degree] = grid.place_cents(partial, 0.25 * static_cast<double>(degree)) -
                                     grid.place_cents(partial, 0.0);
    }
    return out;
}

/// The closure that would bring the note home without help from the lips, within the range that is usual.
double meant_closure(const Intent& intent, const ClosureGrid& grid) {
    const double natural = cents_between(static_cast<double>(intent.partial), 1.0);
    const double wanted = intent.target_cents - natural;
    const horn::HandResponse response = as_response(grid, intent.partial);
    const int low = std::max(0, static_cast<int>(intent.hand) - 1);
    const int high = std::min(kDegrees - 1, static_cast<int>(intent.hand_to) + 1);
    if (intent.hand == horn::Hand::open) {
        return 0.0;
    }
    return horn::nearest_closure(response,
                                 intent.partial,
                                 static_cast<horn::Hand>(low),
                                 static_cast<horn::Hand>(high),
                                 wanted);
}

std::string cents_word(double cents) {
    return std::to_string(static_cast<int>(std::lround(std::fabs(cents)))) +
           (std::lround(std::fabs(cents)) == 1 ? " cent " : " cents ") +
           (cents < 0.0 ? "flat" : "sharp");
}

std::string place_word(int partial, horn::Hand hand) {
    if (hand == horn::Hand::full) {
        return "stopped above partial " + std::to_string(partial - 1);
    }
    if (hand == horn::Hand::open) {
        return "open on partial " + std::to_string(partial);
    }
    const std::string label = horn::hand_label(hand);
    return label + "-stopped from partial " + std::to_string(partial);
}

} // namespace

Intent intent_of(const horn::HandWay& way) noexcept {
    Intent out;
    out.partial = way.partial;
    out.hand = way.hand;
    out.hand_to = std::max(way.hand, way.hand_to);
    if (way.hand == horn::Hand::full && way.shift_cents > 0.0) {
        ++out.partial;
    }
    return out;
}

Advice advise_note(const Intent& intent,
                   const ClosureGrid& grid,
                   const GridLogs& evidence,
                   const Position& position,
                   double cents) noexcept {
    Advice out;
    out.deviation_cents = cents - intent.target_cents;
    if (intent.partial < kFirstPartial || intent.partial > kLastPartial || !position.known) {
        return out;
    }
    const bool in_tune = std::fabs(out.deviation_cents) <= intent.tolerance_cents;
    const bool usual_hand = position.degree >= intent.hand && position.degree <= intent.hand_to;
    if (position.partial != intent.partial) {
        out.confidence = position.partial_share;
        if (position.partial_share >= kAdviceConfidence) {
            out.kind = AdviceKind::other_position;
        }
        return out;
    }
    if (position.partial_share < kLeastPartialShare) {
        out.confidence = position.partial_share;
        return out;
    }

    // The same evidence against where this hand was meant to be.
    const double meant = meant_closure(intent, grid);
    const double sd = intent.hand == horn::Hand::open ? kOpenSd : kClosedSd;
    const double home = grid.place_cents(intent.partial, meant);
    // What even the right hand leaves to the lips belongs to neither.
    const double left_to_lips = intent.target_cents - home;
    const auto& row = evidence[static_cast<std::size_t>(intent.partial - kFirstPartial)];
    const float best = *std::max_element(row.begin(), row.end());
    double total = 0.0;
    double hand_sum = 0.0;
    double hand_leads = 0.0;
    for (std::size_t c = 0; c < kClosures; ++c) {
        const double closure = closure_at(static_cast<int>(c));
        const double off = (closure - meant) / sd;
        const double prior =
            (1.0 - kElsewhere) * std::exp(-0.5 * off * off) / (sd * 2.5066) + kElsewhere;
        const double weight = prior * static_cast<double>(std::exp(row[c] - best));
        const double by_hand = grid.place_cents(intent.partial, closure) - home;
        const double by_lips = cents - home - by_hand - left_to_lips;
        total += weight;
        hand_sum += weight * by_hand;
        hand_leads += std::fabs(by_hand) > std::fabs(by_lips) ? weight : 0.0;
    }
    out.hand_cents = hand_sum / total;
    out.lips_cents = out.deviation_cents - out.hand_cents;
    const double hand_share = hand_leads / total;
    if (in_tune) {
        const bool elsewhere =
            !usual_hand && position.confidence >= kAdviceConfidence &&
            std::abs(static_cast<int>(position.degree) - static_cast<int>(intent.hand)) > 1;
        out.kind = elsewhere ? AdviceKind::other_position : AdviceKind::nothing;
        out.confidence = elsewhere ? position.confidence : position.partial_share;
        return out;
    }
    const bool flat = out.deviation_cents < 0.0;
    // Never "the hand is right" beside another hand that is shown as sure.
    const bool seen_elsewhere = !usual_hand && position.confidence >= kAdviceConfidence;
    if (hand_share >= kAdviceConfidence) {
        out.kind = flat ? AdviceKind::hand_closed : AdviceKind::hand_open;
        out.confidence = hand_share * position.partial_share;
    } else if (1.0 - hand_share >= kAdviceConfidence && !seen_elsewhere) {
        out.kind = flat ? AdviceKind::lips_low : AdviceKind::lips_high;
        out.confidence = (1.0 - hand_share) * position.partial_share;
    } else {
        out.kind = AdviceKind::hand_or_lips;
        out.confidence = position.partial_share;
    }
    if (out.confidence < kAdviceConfidence) {
        out.kind = AdviceKind::unsure;
    }
    return out;
}

std::string range_text(const Position& position) {
    if (!position.known) {
        return "not heard";
    }
    const horn::Hand low = degree_of(position.low);
    const horn::Hand high = degree_of(position.high);
    if (low == high) {
        return horn::hand_label(low);
    }
    return std::string(horn::hand_label(low)) + " to " + horn::hand_label(high);
}

std::string advice_text(const Advice& advice, const Intent& intent, const Position& position) {
    const std::string off = cents_word(advice.deviation_cents) + ": ";
    const std::string meant = horn::hand_label(intent.hand_to);
    switch (advice.kind) {
    case AdviceKind::nothing:
        return {};
    case AdviceKind::hand_closed:
        return off + (intent.hand == horn::Hand::open
                          ? "the hand covers the bell; draw it back a little."
                          : "the hand is further closed than " + meant + "; open it a little.");
    case AdviceKind::hand_open:
        return off + (intent.hand == horn::Hand::open
                          ? "the hand stands too far out of the bell; lay it in its usual place."
                          : "the hand is not closed as far as " + meant + "; close it a little.");
    case AdviceKind::lips_low:
        return off + "the hand is right; the lips pull the note down.";
    case AdviceKind::lips_high:
        return off + "the hand is right; the lips push the note up.";
    case AdviceKind::other_position:
        if (std::fabs(advice.deviation_cents) <= intent.tolerance_cents) {
            return "Right pitch, but " + place_word(position.partial, position.degree) + ", not " +
                   place_word(intent.partial, intent.hand) + ".";
        }
        return off + "it sounds " + place_word(position.partial, position.degree) + ", not " +
               place_word(intent.partial, intent.hand) + ".";
    case AdviceKind::hand_or_lips:
        return off + "hand or lips, the sound does not tell which.";
    case AdviceKind::unsure:
        break;
    }
    return "Not clear enough to say what the hand did.";
}

} // namespace bellhand::hand

#include "drill/judge.h"

#include "core/cents.h"
#include "hand/steadiness.h"

#include <algorithm>
#include <cmath>

namespace bellhand::drill {

namespace {

/// Shorter notes are attack and nothing else, unless their pitch is known all the same.
constexpr double kLeastHeld_s = 0.160;
/// Where starts and ends of notes are heard (starts within 30 ms, ends within 70 ms of the score).
constexpr double kBoundary_s = 0.070;
/// Spread is judged where steadiness is not known but the note is long enough.
constexpr double kLeastSteady_s = 0.400;
/// A note that is unsteady is so for long enough to be spread by this share of what is allowed.
constexpr double kAlsoSpread = 0.4;
/// Nearest partials lie at most a fifth apart: what was heard further off is the ear's mistake in the first moments.
constexpr double kNoAttack_cents = 750.0;
// In a room that rings on between notes a word takes more than elsewhere: what is left of the note before beats with the
// first part of this one, draws its first moments to the pitch before, and hides where it ends.
constexpr double kLeastSteadyInRoom_s = 0.600;
constexpr double kUnsteadyInRoom = 1.5; // times what is allowed, by spread and by steadiness
constexpr double kPitchInRoom_cents = 1.5;
constexpr double kPitchOfSpreadInRoom = 0.4;
constexpr double kRingsOn_s = 1.0;
constexpr double kHandInRoom = 0.95; // what is left of other notes colours this one
constexpr int kHighestRatio = 8;     // that the ear mistakes a note for
constexpr double kRatio_cents = 40.0;
constexpr int kLeastChanges = 4;
constexpr double kUnevenTrill = 0.4;
constexpr double kClosingShare =
    0.85; // of the way to the modelled full stop, which differs from player to player
constexpr double kClosingJump_cents = 70.0;
constexpr double kClosingBack_cents = 25.0;

/// Where pitch is known only so far, nothing is said of what lies within.
double unknown_cents(const trainer::PlayedNote& note) noexcept {
    return note.duration_s < kLeastHeld_s || !note.pitch_known() ? note.known_within_cents : 0.0;
}

bool pitch_can_be_judged(const trainer::PlayedNote& note) noexcept {
    return note.duration_s >= kLeastHeld_s || (note.known_within_cents > 0.0 && note.pitch_known());
}

/// Probability that the hand stood elsewhere than asked, by the sound. A quarter of a closure beside the asked range
/// passes: the chart's degrees are no finer than that.
double hand_elsewhere(const Asked& asked, const hand::NoteHand& heard) noexcept {
    const hand::Position& position = heard.estimate.position;
    if (!heard.heard || !heard.estimate.timbre_known || heard.estimate.narrow_band ||
        !position.known || position.partial != asked.partial) {
        return 0.0;
    }
    const int low = static_cast<int>(asked.hand) - 1;
    const int high = static_cast<int>(asked.hand_to) + 1;
    double share = 0.0;
    for (int degree = 0; degree < horn::kHandDegrees; ++degree) {
        if (degree < low || degree > high) {
            share += position.degrees[static_cast<std::size_t>(degree)];
        }
    }
    return share * position.partial_share;
}

class Verdict {
public:
    Verdict(const Asked& asked, const Circumstances& around, Judgement& out)
        : asked_(asked), around_(around), allowed_(around.tolerances), out_(out) {}

    void add_if(bool wrong, Fault fault) {
        if (wrong) {
            out_.faults.push_back(fault);
        }
    }

    void hand() {
        const double sure = out_.note.in_ringing_room
                                ? std::max(allowed_.hand_confidence, kHandInRoom)
                                : allowed_.hand_confidence;
        if (hand_elsewhere(asked_, out_.note.heard) >= sure) {
            out_.faults.push_back(Fault::wrong_hand);
            out_.heard_hand = out_.note.heard.estimate.position.degree;
        }
    }

    void pitch() {
        if (pitch_can_be_judged(out_.note)) {
            const double in_room_cents =
                out_.note.in_ringing_room
                    ? kPitchInRoom_cents + kPitchOfSpreadInRoom * out_.note.spread_cents
                    : 0.0;
            const double passes_cents =
                asked_.tolerance_cents + std::max(unknown_cents(out_.note), in_room_cents);
            // What the whole horn is off is said once, of all notes, and held against none.
            const double held = out_.held_cents - out_.note.heard.common_cents;
            add_if(held < -passes_cents, Fault::flat);
            add_if(held > passes_cents, Fault::sharp);
        }
        const double before_held = out_.attack_cents - out_.held_cents;
        // In a slur the attack is the way over from the note before.
        if (!asked_.slurred && !out_.note.start_unsure && out_.note.pitch_known() &&
            std::fabs(before_held) < kNoAttack_cents) {
            add_if(before_held < -allowed_.attack_cents, Fault::attack_flat);
            add_if(before_held > allowed_.attack_cents, Fault::attack_sharp);
        }
    }

    void steadiness() {
        const hand::Steadiness& steady = out_.note.heard.steadiness;
        const double unsteady =
            out_.note.heard.heard && steady.known ? steady.unsteady_cents : out_.note.spread_cents;
        if (out_.note.in_ringing_room) {
            add_if(out_.note.duration_s >= kLeastSteadyInRoom_s &&
                       std::min(unsteady, out_.note.spread_cents) >
                           kUnsteadyInRoom * allowed_.unsteady_cents,
                   Fault::unsteady);
            return;
        }
        // What lies outside the middle two thirds may be the room's: another note that rings into this one.
        add_if(out_.note.duration_s >= kLeastSteady_s && unsteady > allowed_.unsteady_cents &&
                   out_.note.spread_cents > kAlsoSpread * allowed_.unsteady_cents,
               Fault::unsteady);
    }

    void time() {
        if (out_.timing_s) {
            add_if(*out_.timing_s < -allowed_.timing_s, Fault::early);
            add_if(*out_.timing_s > allowed_.timing_s, Fault::late);
        }
        const double written_s = (asked_.quarters + around_.more_quarters) * around_.quarter_s;
        if (written_s > 0.0) {
            out_.length_share = out_.note.duration_s / written_s;
            const double slack_s = allowed_.length_share * written_s + kBoundary_s;
            const double rings_s = out_.note.in_ringing_room ? kRingsOn_s : 0.0;
            add_if(out_.note.duration_s < written_s - slack_s, Fault::too_short);
            add_if(!asked_.fermata && out_.note.duration_s > written_s + slack_s + rings_s,
                   Fault::too_long);
        }
    }

    void loudness() {
        if (around_.neighbours_dbfs) {
            out_.level_db = out_.note.level_dbfs - *around_.neighbours_dbfs;
            add_if(*out_.level_db > allowed_.level_db, Fault::too_loud);
            add_if(*out_.level_db < -allowed_.level_db, Fault::too_soft);
        }
        const hand::Match& match = out_.note.heard.match;
        // Between an open and a stopped note two octaves of brightness are published of good players, and a second source of
        // muted tones tells nothing: of them colour is not judged, and the note beside is not blamed either.
        add_if(around_.colour_as_before && match.known && !out_.note.heard.match_open_and_stopped &&
                   std::fabs(match.centroid_octaves) > allowed_.colour_octaves,
               Fault::uneven_colour);
        if (const auto followed =
                hairpin_followed(around_.inside, asked_.hairpin, allowed_.hairpin_db)) {
            add_if(!*followed, Fault::hairpin);
        }
    }

    void manner() {
        if (around_.inside.empty() || !asked_.other_hz) {
            return;
        }
        if (asked_.manner == Manner::slow_closing) {
            const ClosingHeard closing =
                closing_of(around_.inside, asked_.target_hz, *asked_.other_hz);
            add_if(closing.reached_share < kClosingShare ||
                       closing.largest_jump_cents > kClosingJump_cents ||
                       closing.back_cents > kClosingBack_cents,
                   Fault::manner);
        } else {
            const TrillHeard trill = trill_of(around_.inside, asked_.target_hz, *asked_.other_hz);
            add_if(trill.changes < kLeastChanges || trill.rate_hz < allowed_.trill_hz ||
                       trill.uneven > kUnevenTrill,
                   Fault::manner);
        }
    }

private:
    const Asked& asked_;
    const Circumstances& around_;
    const Tolerances& allowed_;
    Judgement& out_;
};

Fault fault_of(Relation relation) noexcept {
    switch (relation) {
    case Relation::other_partial:
        return Fault::wrong_partial;
    case Relation::other_hand:
        return Fault::wrong_hand;
    default:
        return Fault::wrong_note;
    }
}

/// A pitch that is known roughly is another note only when all of what it may be is.
Relation relation_to(const Asked& asked, const trainer::PlayedNote& note) noexcept {
    const Relation relation = relation_of(asked, note.f0_hz);
    const double unknown = unknown_cents(note);
    if (relation == Relation::right || unknown <= 0.0) {
        return relation;
    }
    const double off_cents = cents_between(note.f0_hz, asked.target_hz);
    const double nearest_cents = off_cents - std::clamp(off_cents, -unknown, unknown);
    return relation_of(asked, asked.target_hz * ratio_of_cents(nearest_cents));
}

/// The position whose pitch comes nearest to what sounded.
std::optional<horn::Hand> hand_at(const Asked& asked, double f0_hz) noexcept {
    std::optional<horn::Hand> nearest;
    double off_cents = 1e9;
    for (std::size_t i = 0; i < asked.other_hands.size(); ++i) {
        const double cents = std::fabs(cents_between(f0_hz, asked.other_hands_hz[i]));
        if (cents < off_cents) {
            off_cents = cents;
            nearest = asked.other_hands[i];
        }
    }
    return nearest;
}

} // namespace

Judgement judged(const Asked& asked, const trainer::PlayedNote& note, const Circumstances& around) {
    Judgement out;
    out.step = asked.step;
    out.played = true;
    out.note = note;
    out.tolerance_cents = asked.tolerance_cents;
    out.held_cents = cents_between(note.f0_hz, asked.target_hz);
    out.attack_cents = note.attack_cents + cents_between(note.target_hz, asked.target_hz);
    out.timing_s = around.timing_s;
    const Relation relation = relation_to(asked, note);
    if (relation != Relation::right) {
        out.faults.push_back(fault_of(relation));
        if (relation == Relation::other_hand) {
            out.heard_hand = hand_at(asked, note.f0_hz);
        }
        return out;
    }
    out.note.written = asked.written;
    out.note.partial = asked.partial;
    out.note.hand = asked.hand;
    out.note.target_hz = asked.target_hz;
    out.note.deviation_cents = out.held_cents;
    out.note.attack_cents = out.attack_cents;
    Verdict verdict(asked, around, out);
    if (asked.manner == Manner::plain) {
        verdict.hand();
        verdict.pitch();
        verdict.steadiness();
    }
    verdict.manner();
    verdict.time();
    verdict.loudness();
    return out;
}

bool mistaken_in_room(double asked_hz, const trainer::PlayedNote& note) noexcept {
    if (!note.in_ringing_room) {
        return false;
    }
    const double off_cents = std::fabs(cents_between(note.f0_hz, asked_hz));
    for (int n = 2; n <= kHighestRatio; ++n) {
        if (std::fabs(off_cents - cents_between(n, 1.0)) < kRatio_cents) {
            return true;
        }
    }
    return false;
}

bool is_wrong(const Judgement& judgement) noexcept {
    return std::any_of(judgement.faults.begin(), judgement.faults.end(), [](Fault fault) {
        return fault <= Fault::wrong_hand;
    });
}

} // namespace bellhand::drill

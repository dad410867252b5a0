#include "hand/hand_ear.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>

namespace bellhand::hand {

namespace {

// Evidence of neighbouring hops is nearly the same evidence: it is averaged with forgetting, never multiplied up, so that
// a long note is not believed more than its pitch deserves.
constexpr double kMemory_s = 0.080;
constexpr double kNewPitch_cents = 35.0; // a jump starts the memory afresh
constexpr double kAttack_s = 0.100;
constexpr double kRelease_s = 0.030;
constexpr double kColourDelay_s = 0.012; // colour of a frame describes sound this much earlier
// Where the modelled colour speaks too, the same harmonics would count twice.
constexpr double kSharedWeight = 0.5;
constexpr double kNarrow_hz = 13000.0;
constexpr int kLeastHops = 4;
constexpr double kNeighbour_s = 0.5;  // a longer rest, and notes are not compared
constexpr double kTogether_s = 0.040; // a longer one, and it is no slur
// An open note is learnt when pitch alone says open with this probability and no slip of the tongue is near.
constexpr double kSurelyOpen = 0.7;
constexpr double kLearnDuration_s = 0.25;
// What is left of the confidence in a closed position while the sound is surely open, or tells nothing, and no open note
// has shown yet that the horn is the right one; and of any position while the notes speak against it (this program's
// choice).
constexpr double kUnproven = 0.7;
constexpr double kContradicted = 0.4;
// A note tells of the horn when it held its pitch.
constexpr double kStableDuration_s = 0.12;
constexpr double kStableSpread_cents = 20.0;
// Where the horn as a whole lies is taken from what all notes say, once they say so this surely and this differently.
constexpr double kOwnError_cents = 15.0;
constexpr double kOffsetKnown_cents = 6.0;
constexpr double kOffsetNew_cents = 8.0;

} // namespace

HandEar::HandEar(double sample_rate_hz) : bands_(sample_rate_hz), reference_(unknown_player()) {
    const auto model = load_timbre_model();
    const auto hand_colour = load_hand_colour();
    if (model && hand_colour) {
        model_ = *model;
        hand_colour_ = *hand_colour;
    } else {
        trouble_ = model ? hand_colour.error().message : model.error().message;
    }
}

void HandEar::new_stream(double sample_rate_hz) {
    bands_ = BandMeter(sample_rate_hz);
    following_ = false;
}

void HandEar::set_horn(const horn::HandResponse& response, const PitchTrust& trust, double f1_hz) {
    grid_ = ClosureGrid(response, trust, model_);
    f1_hz_ = f1_hz;
    finder_.set_horn(f1_hz,
                     trust.measured ? std::span<const double>(response.open_cents)
                                    : std::span<const double>());
    reference_.offset_cents = 0.0; // another tube lies elsewhere
    reference_.offset_variance = unknown_player().offset_variance;
    following_ = false;
    has_last_ = false;
}

double HandEar::cents_from_f1(double hz) const noexcept {
    return cents_between(hz, f1_hz_) - reference_.offset_cents;
}

/// What pitch and colour say together.
Heard HandEar::heard_in(double hz, const Colour& colour) const noexcept {
    Heard heard;
    heard.cents = cents_from_f1(hz);
    heard.log_odds = combined_log_odds(evidence_of(colour, model_),
                                       model_,
                                       reference_.envelope_shift(colour, model_),
                                       reference_.bright_shift_db(colour, model_));
    const OwnColour own = reference_.own_colour(colour, model_);
    heard.by_degree = colour_logs(own, colour.f0_hz, hand_colour_);
    heard.stop_like_weight = own.any() ? kSharedWeight : 1.0;
    return heard;
}

HandEstimate HandEar::hear(const pitch::PitchFrame& frame) noexcept {
    const Bands& bands = bands_.look();
    Hop hop;
    hop.time_s = frame.time_s;
    hop.voiced = frame.voiced && !frame.doubtful && frame.f0_hz > 0.0;
    hop.level_dbfs = static_cast<double>(frame.level_dbfs);
    HandEstimate out;
    out.bandwidth_hz = bands.bandwidth_hz;
    out.narrow_band = bands.bandwidth_hz < kNarrow_hz;
    const double passed_s = std::clamp(frame.time_s - last_time_s_, 0.0, 0.1);
    last_time_s_ = frame.time_s;
    if (!hop.voiced) {
        hops_.add(hop);
        following_ = false;
        return out;
    }
    hop.live_cents = cents_between(frame.f0_hz, 1.0);
    if (frame.judged_hz > 0.0) {
        hop.judged_cents = cents_between(frame.judged_hz, 1.0);
        hop.judged_time_s = frame.judged_time_s;
        hop.judged_sd_cents = frame.judged_sd_cents;
    }
    hop.colour = colour_of(frame, bands);
    hops_.add(hop);

    Heard heard = heard_in(frame.f0_hz, hop.colour);
    heard.sd_cents = std::min(frame.f0_sd_cents, 50.0);
    grid_.look(heard, now_);
    if (!following_ || frame.onset ||
        std::fabs(hop.live_cents - followed_cents_) > kNewPitch_cents) {
        smoothed_ = now_;
        followed_cents_ = hop.live_cents;
        following_ = true;
    } else {
        const auto pace = static_cast<float>(1.0 - std::exp(-passed_s / kMemory_s));
        for (std::size_t row = 0; row < kGridPartials; ++row) {
            for (std::size_t c = 0; c < kClosures; ++c) {
                smoothed_[row][c] += pace * (now_[row][c] - smoothed_[row][c]);
            }
        }
        followed_cents_ += static_cast<double>(pace) * (hop.live_cents - followed_cents_);
    }
    out.position = position_of(grid_.prior(), smoothed_);
    out.timbre_log_odds = heard.log_odds;
    out.timbre_known = evidence_of(hop.colour, model_).known;
    doubt_closed(out);
    return out;
}

HandEar::HeldPart HandEar::held_part(double from_s, double to_s) const noexcept {
    HeldPart out;
    std::array<int, kGroups> known{};
    double power = 0.0;
    double above = 0.0;
    int slopes = 0;
    const std::size_t oldest = hops_.since(from_s);
    if (oldest >= hops_.size()) {
        return out;
    }
    Colour& mean = out.colour;
    mean.f0_hz = mean.centroid_harmonic = 0.0;
    for (std::size_t back = oldest + 1; back-- > 0;) {
        const Hop& hop = hops_.back(back);
        const double at = hop.time_s - kColourDelay_s;
        if (at > to_s) {
            break;
        }
        const Colour& one = hop.colour;
        if (!hop.voiced || !one.known || at < from_s) {
            continue;
        }
        ++out.hops;
        mean.f0_hz += one.f0_hz;
        mean.centroid_harmonic += one.centroid_harmonic;
        mean.slope_db_per_octave += one.slope_known ? one.slope_db_per_octave : 0.0;
        slopes += one.slope_known ? 1 : 0;
        mean.high_minus_low_db += one.high_minus_low_db;
        mean.bandwidth_hz = one.bandwidth_hz;
        mean.bands_known = one.bands_known;
        above += one.above_5_khz_db;
        power += std::pow(10.0, 0.1 * one.level_dba);
        for (std::size_t g = 0; g < kGroups; ++g) {
            if (one.group_known[g]) {
                mean.group_db[g] += one.group_db[g];
                ++known[g];
            }
        }
    }
    if (out.hops == 0) {
        return out;
    }
    const double n = out.hops;
    mean.known = true;
    mean.f0_hz /= n;
    mean.centroid_harmonic /= n;
    mean.slope_known = 2 * slopes > out.hops;
    mean.slope_db_per_octave /= std::max(slopes, 1);
    mean.high_minus_low_db /= n;
    mean.above_5_khz_db = above / n;
    mean.level_dba = out.level_dba = 10.0 * std::log10(power / n + 1e-20);
    for (std::size_t g = 0; g < kGroups; ++g) {
        mean.group_known[g] = 2 * known[g] > out.hops;
        mean.group_db[g] /= std::max(known[g], 1);
    }
    return out;
}

NoteHand HandEar::note(const NoteSpan& span) noexcept {
    NoteHand out;
    const horn::ChartEntry* entry = horn::chart_entry(span.written);
    const double end_s = span.start_s + span.duration_s;
    const double from_s = span.start_s + std::min(kAttack_s, 0.3 * span.duration_s);
    const double to_s = end_s - std::min(kRelease_s, 0.2 * span.duration_s);
    const HeldPart held = held_part(from_s, to_s);
    if (held.hops < kLeastHops || entry == nullptr || !(span.f0_hz > 0.0)) {
        has_last_ = false;
        return out;
    }
    out.heard = true;
    Heard heard = heard_in(span.f0_hz, held.colour);
    out.estimate.timbre_log_odds = heard.log_odds;
    out.estimate.timbre_known = evidence_of(held.colour, model_).known;
    find_horn(span, out.estimate);
    heard.cents = cents_from_f1(span.f0_hz); // the horn as a whole may lie elsewhere by now
    grid_.look(heard, now_);
    out.estimate.position = position_of(grid_.prior(), now_);
    out.estimate.bandwidth_hz = held.colour.bandwidth_hz;
    out.estimate.narrow_band = held.colour.bandwidth_hz < kNarrow_hz;

    out.horn = finder_.fit();
    out.common_cents = out.horn.offset_matters ? out.horn.offset_cents : 0.0;
    doubt_closed(out.estimate);

    out.intent = intent_of(entry->usual());
    out.intent.target_cents = cents_from_f1(span.target_hz) + reference_.offset_cents;
    out.intent.tolerance_cents = span.tolerance_cents;
    // A horn that is flat as a whole is the slide's fault, not the hand's: that is said once, of all notes.
    const double whole_horn = reference_.offset_cents - out.common_cents;
    if (!out.horn.doubted() &&
        !own_error_likely(heard.cents + reference_.offset_cents - out.intent.target_cents)) {
        out.advice =
            advise_note(out.intent, grid_, now_, out.estimate.position, heard.cents + whole_horn);
    }

    out.attack_cents = span.attack_cents;
    out.attack_known = span.duration_s > 2.0 * kAttack_s;
    if (out.attack_known && !out.horn.doubted() && !own_error_likely(span.attack_cents)) {
        Heard attack = heard;
        attack.cents = cents_from_f1(span.target_hz) + span.attack_cents;
        grid_.look(attack, now_);
        const Position position = position_of(grid_.prior(), now_);
        out.attack = advise_note(out.intent, grid_, now_, position, attack.cents + whole_horn);
    }
    out.colour = {true,
                  held.level_dba,
                  held.colour.centroid_harmonic * span.f0_hz,
                  held.colour.slope_db_per_octave};
    out.steadiness = steadiness_of(hops_, from_s, to_s);
    compare_with_last(span, out);
    learn(span, out, held.colour);
    return out;
}

void HandEar::find_horn(const NoteSpan& span, const HandEstimate& estimate) noexcept {
    if (span.duration_s < kStableDuration_s || span.spread_cents > kStableSpread_cents) {
        return;
    }
    finder_.add({span.f0_hz, estimate.timbre_known ? -estimate.timbre_log_odds : 0.0});
    follow_offset();
}

/// Far off before anything is known of the horn: sooner another horn or pitch than the player's lips.
bool HandEar::own_error_likely(double deviation_cents) const noexcept {
    return finder_.fit().verdict == HornVerdict::unknown && !grid_.trust().measured &&
           std::fabs(deviation_cents) > kOwnError_cents;
}

/// A horn at another pitch than was set would have every open note heard as a closed hand, or as lips that pull. Where
/// each partial of this player's horn was measured, open notes alone move it (`learn_open_note`).
void HandEar::follow_offset() noexcept {
    if (grid_.trust().measured) {
        return;
    }
    const HornFit& fit = finder_.fit();
    const double off = fit.offset_cents - finder_.measured_cents();
    if (fit.verdict == HornVerdict::fits && fit.offset_sd_cents <= kOffsetKnown_cents &&
        std::fabs(off - reference_.offset_cents) > kOffsetNew_cents) {
        reference_.offset_cents = off;
        reference_.offset_variance = kOffsetKnown_cents * kOffsetKnown_cents;
    }
}

/// Pitch names a closed hand and timbre an open one: that is a dull stopped note, or a horn that the program was not told.
void HandEar::doubt_closed(HandEstimate& estimate) const noexcept {
    const HornFit& fit = finder_.fit();
    Position& position = estimate.position;
    estimate.horn_doubted = fit.doubted();
    double left = 1.0;
    if (fit.doubted()) {
        left = kContradicted;
    } else if (fit.verdict == HornVerdict::unknown && !grid_.trust().measured &&
               position.degree >= horn::Hand::half) {
        const double sounds_open =
            estimate.timbre_known ? 1.0 / (1.0 + std::exp(estimate.timbre_log_odds)) : 1.0;
        left = 1.0 - (1.0 - kUnproven) * sounds_open;
    }
    position.confidence *= left;
    position.partial_share *= left;
}

void HandEar::compare_with_last(const NoteSpan& span, NoteHand& out) noexcept {
    const horn::Hand hand = out.intent.hand;
    const double gap_s =
        has_last_ ? span.start_s - last_span_.start_s - last_span_.duration_s : 1e9;
    if (gap_s < kNeighbour_s) {
        out.match = match_of(last_colour_, out.colour);
        out.match_open_and_stopped = (hand == horn::Hand::open) != (last_hand_ == horn::Hand::open);
        if (out.match.known && out.match_open_and_stopped) {
            best_uneven_db_ = best_uneven_db_ < 0.0
                                  ? out.match.uneven_db
                                  : std::min(best_uneven_db_, out.match.uneven_db);
        }
        out.match.best_uneven_db = std::max(best_uneven_db_, 0.0);
    }
    if (gap_s < kTogether_s) {
        out.change = change_of(hops_,
                               {last_span_.start_s,
                                cents_between(last_span_.f0_hz, 1.0),
                                span.start_s,
                                span.start_s + span.duration_s - kRelease_s,
                                cents_between(span.f0_hz, 1.0)});
    }
    has_last_ = true;
    last_span_ = span;
    last_colour_ = out.colour;
    last_hand_ = hand;
}

/// Open notes teach what this player, microphone and room sound like. Only pitch decides what is open: near an open
/// partial no other hand position lies, unless the lips bend it there.
void HandEar::learn(const NoteSpan& span, NoteHand& note, const Colour& colour) noexcept {
    if (note.horn.doubted() || note.intent.hand != horn::Hand::open ||
        span.duration_s < kLearnDuration_s) {
        return;
    }
    const double cents = cents_from_f1(span.f0_hz);
    Heard heard;
    heard.cents = cents;
    grid_.look(heard, now_);
    const Position by_pitch = position_of(grid_.prior(), now_);
    const double open_share = by_pitch.degrees[0] * by_pitch.partial_share;
    if (by_pitch.partial != note.intent.partial || open_share < kSurelyOpen) {
        return;
    }
    const double off = cents + reference_.offset_cents - grid_.place_cents(by_pitch.partial, 0.0);
    learn_open_note(reference_, colour, model_, off, grid_.trust().lip_sd_cents);
    note.taught = colour;
}

void HandEar::learn_own_notes(std::span<const Colour> notes) noexcept {
    reference_ = unknown_player();
    for (const Colour& note : notes) {
        learn_open_colour(reference_, note, model_);
    }
}

} // namespace bellhand::hand

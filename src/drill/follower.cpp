#include "drill/follower.h"

#include "drill/relation.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace bellhand::drill {

namespace {

constexpr double kNever = -std::numeric_limits<double>::infinity();

// How often players do what next. Measured nowhere; chosen so that one wrong note is rather
// a badly played step than a jump, and a jump is believed once two notes fit it.
constexpr double kNext = 0.90;
constexpr double kNextAfterMiss = 0.55;
constexpr double kTryAgain = 0.38;
constexpr double kSameAgain = 0.001; // rather a miss that happens to land there
constexpr double kTrillGoesOn = 0.5; // one trill is heard as several notes
constexpr double kLeaveOut = 0.005;  // the first step; each further one a factor e rarer
constexpr double kFewBack = 0.0004;
constexpr double kBarAgain = 0.0012;
constexpr double kBeginningAgain = 0.0004;
constexpr double kAnywhere = 0.0004;   // to all places together
constexpr double kAnywhereBar = 0.001; // to all beginnings of bars together
constexpr double kExtra = 0.02;
constexpr double kMissShare = 0.24; // thrice what they make: rather that than praise
constexpr double kCameOut = 1.0 - kMissShare;
constexpr double kAfterStop = 1.5;     // starting again is likelier then by e to the power of this
constexpr double kAfterKnownGap = 0.5; // the same where the silence is weighed by itself
/// A jump away from a note that was itself reached by leaving out or by a jump is rarer by e to the power of this: that
/// note was rather a wrong one on the straight way.
constexpr double kUnconfirmed = 2.0;
constexpr double kStop_s = 0.5;
constexpr std::uint32_t kFew = 4;
constexpr int kBarsBack = 3;

constexpr double kTempoMemory = 8.0;
constexpr double kUsualQuarter_s = 0.6; // where no tempo is said

/// Paths this much less probable than the best (e to the power of) do not count.
constexpr double kDoubt = 6.0;
/// Another passage within this fits as well as the best.
constexpr double kAsGood = 3.0;
/// A note is settled when this many are unsettled, whatever the doubt.
constexpr std::uint32_t kMostUnsettled = 5;

} // namespace

Follower::Follower(
    std::vector<Asked> plan, int passes, int notes_behind, double quarter_s, std::uint32_t start)
    : plan_(std::move(plan)),
      n_(static_cast<std::uint32_t>(plan_.size())),
      passes_(static_cast<std::uint32_t>(std::max(passes, 1))),
      behind_(static_cast<std::size_t>(std::clamp(notes_behind, 0, 4))),
      restart_until_(n_, 0),
      scores_(3 * n_ + 1, kNever),
      reached_(n_),
      places_(n_ + 1),
      history_(kHistory, std::vector<From>(3 * n_ + 1)),
      durations_s_(kHistory),
      settled_state_(2 * n_ + std::min(start, n_ - 1)) {
    scores_[settled_state_] = 0.0; // before the step that is begun with
    tempo_said_ = quarter_s > 0.0;
    if (tempo_said_) {
        log_quarter_ = std::log(quarter_s);
        tempo_notes_ = kTempoNotes;
    }
    beats_.assign(3 * n_ + 1, {std::log(tempo_said_ ? quarter_s : kUsualQuarter_s), 0});
    beats_before_ = beats_;
    doubt_beats(tempo_said_);
    for (std::uint32_t bar = 0; bar < n_; ++bar) {
        if (!plan_[bar].bar_begins) {
            continue;
        }
        ++bars_;
        int bars = 0;
        std::uint32_t until = bar + 1;
        while (until < n_ && (!plan_[until].bar_begins || ++bars < kBarsBack)) {
            ++until;
        }
        restart_until_[bar] = until;
    }
    events_.reserve(kHistory + std::size_t{2} * n_);
    group_alike();
}

std::uint32_t Follower::place_after(std::uint32_t state) const noexcept {
    return is_extra(state) ? state - 2 * n_ : step_of(state) + 1;
}

std::uint32_t Follower::best_state() const noexcept {
    return static_cast<std::uint32_t>(
        std::distance(scores_.begin(), std::max_element(scores_.begin(), scores_.end())));
}

std::uint32_t Follower::best_confirmed() const noexcept {
    std::uint32_t best = best_state();
    if (heard_ == 0) {
        return best;
    }
    const std::vector<From>& from = history_[(heard_ - 1) % kHistory];
    double score = kNever;
    for (std::uint32_t state = 0; state < scores_.size(); ++state) {
        if (!from[state].jumped && scores_[state] > score) {
            score = scores_[state];
            best = state;
        }
    }
    return best;
}

bool Follower::may_wrap() const noexcept {
    return pass_ + 1 < passes_;
}

void Follower::gather_places() const {
    for (std::uint32_t place = 0; place <= n_; ++place) {
        const std::uint32_t extra = 2 * n_ + place;
        Place& here = places_[place];
        here = {scores_[extra], extra, scores_[extra] + std::log(kNext), extra};
        if (place == 0) {
            continue;
        }
        for (const std::uint32_t state : {place - 1, n_ + place - 1}) {
            const double next =
                scores_[state] + (state < n_ ? std::log(kNext) : std::log(kNextAfterMiss));
            if (scores_[state] >= here.score) {
                here.score = scores_[state];
                here.state = state;
            }
            if (next >= here.next_score) {
                here.next_score = next;
                here.next_state = state;
            }
        }
    }
}

/// The newest note got there by leaving out or by a jump: nothing has confirmed yet that it was meant so.
bool Follower::leapt_to(std::uint32_t state) const noexcept {
    const From& from = history_[(heard_ - 1) % kHistory][state];
    return from.jumped || from.skipped;
}

void Follower::take(double score, const From& from, Arrival& best) noexcept {
    if (score > best.score) {
        best = {score, from};
    }
}

/// By going on, leaving out, or playing the step once more.
void Follower::arrive_near(std::uint32_t step, double stop, Arrival& best) const noexcept {
    take(places_[step].next_score + span_weight(places_[step].next_state, step, 0),
         {places_[step].next_state, false, false, false},
         best);
    if (step == 0 && may_wrap()) {
        take(places_[n_].next_score, {places_[n_].next_state, true, false, false}, best);
    }
    for (std::uint32_t left_out = 1; left_out <= kLongestSkip; ++left_out) {
        const double price = std::log(kLeaveOut) - (left_out - 1.0);
        if (left_out <= step) {
            const Place& place = places_[step - left_out];
            take(place.score + price + span_weight(place.state, step, left_out),
                 {place.state, false, true, false},
                 best);
        }
        // The first steps of the next pass, with or without the last ones of this pass.
        if (left_out >= step && left_out <= n_ + step && may_wrap()) {
            const Place& place = places_[n_ + step - left_out];
            take(place.score + price, {place.state, true, true, false}, best);
        }
    }
    const bool plain = plan_[step].manner == Manner::plain;
    take(scores_[step] + (plain ? std::log(kSameAgain) + stop : std::log(kTrillGoesOn)),
         {step, false, false, false},
         best);
    take(scores_[n_ + step] + std::log(kTryAgain), {n_ + step, false, false, false}, best);
}

/// By starting again somewhere before, or going on anywhere; `furthest` is the most probable place of all.
void Follower::arrive_far(std::uint32_t step,
                          double stop,
                          const Place& furthest,
                          Arrival& best) const noexcept {
    const auto jump_from = [&](const Place& place, double share) {
        const bool confirmed = heard_ == 0 || !leapt_to(place.state);
        const double price = std::log(share) + stop - (confirmed ? 0.0 : kUnconfirmed);
        take(place.score + price, {place.state, false, false, true}, best);
    };
    jump_from(furthest, plan_[step].bar_begins ? kAnywhereBar / bars_ : kAnywhere / n_);
    for (std::uint32_t back = 2; back <= kFew && step + back <= n_; ++back) {
        jump_from(places_[step + back], kFewBack);
    }
    for (std::uint32_t place = step + 1; place <= restart_until_[step]; ++place) {
        jump_from(places_[place], kBarAgain);
    }
    if (step == 0) {
        jump_from(furthest, kBeginningAgain);
    }
}

/// Best way to each step, and from which state.
void Follower::arrive(const Sound& sound, std::vector<From>* from) const {
    gather_places();
    take_span(sound);
    const double after_stop = sound.gap_s ? kAfterKnownGap : kAfterStop;
    const double stop = sound.silence_s > kStop_s ? after_stop : 0.0;
    const Place furthest =
        *std::max_element(places_.begin(), places_.end(), [](const Place& a, const Place& b) {
            return a.score < b.score;
        });
    for (std::uint32_t step = 0; step < n_; ++step) {
        Arrival best{kNever, {}};
        arrive_near(step, stop, best);
        arrive_far(step, stop, furthest, best);
        reached_[step] = best.score;
        if (from != nullptr) {
            (*from)[step] = (*from)[n_ + step] = best.from;
        }
    }
    if (from != nullptr) {
        for (std::uint32_t place = 0; place <= n_; ++place) {
            (*from)[2 * n_ + place] = {places_[place].state, false, false, false};
        }
    }
}

/// Follows the tempo slowly: the mean over the last notes that came out.
void Follower::learn_tempo(std::uint32_t step, double duration_s) {
    if (!(plan_[step].quarters > 0.0) || !(duration_s > 0.0)) {
        return;
    }
    const double found = std::log(duration_s / plan_[step].quarters);
    ++tempo_notes_;
    const double share = 1.0 / std::min<double>(tempo_notes_, kTempoMemory);
    log_quarter_ += share * std::clamp(found - log_quarter_, -1.0 / share, 1.0);
}

void Follower::hear(const Sound& sound) {
    arrive(sound, &history_[heard_ % kHistory]);
    carry_beats(history_[heard_ % kHistory]);
    durations_s_[heard_ % kHistory] = sound.duration_s;
    weigh(sound);
    double best = kNever;
    for (std::uint32_t step = 0; step < n_; ++step) {
        const Weight& pitch = pitch_weights_[pitches_.of[step]];
        const Weight& length = length_weights_[lengths_.of[step]];
        scores_[step] = reached_[step] + std::log(kCameOut) + pitch.right + length.right;
        scores_[n_ + step] = reached_[step] + std::log(kMissShare) + pitch.wrong + length.wrong;
        best = std::max({best, scores_[step], scores_[n_ + step]});
    }
    for (std::uint32_t place = 0; place <= n_; ++place) {
        const std::uint32_t near = std::min(place, n_ - 1);
        // Behind the very last step nothing is asked: any note is as likely as another.
        const bool behind_all = place == n_ && !may_wrap();
        const double pitch =
            behind_all ? std::log(any_density()) : pitch_weights_[pitches_.of[near]].extra;
        scores_[2 * n_ + place] = places_[place].score + std::log(kExtra) + pitch +
                                  length_weights_[lengths_.of[near]].extra;
        best = std::max(best, scores_[2 * n_ + place]);
    }
    for (double& score : scores_) {
        score -= best;
    }
    ++heard_;
    while (heard_ - settled_ > behind_ &&
           (behind_ == 0 || heard_ - settled_ >= kMostUnsettled || agreed(heard_ - settled_ - 1))) {
        settle_oldest(best_state());
    }
}

std::uint32_t Follower::state_back(std::uint32_t state, std::size_t notes) const noexcept {
    for (std::size_t back = 0; back < notes; ++back) {
        state = history_[(heard_ - 1 - back) % kHistory][state].state;
    }
    return state;
}

bool Follower::same_passage(std::uint32_t a, std::uint32_t b) const noexcept {
    const std::uint32_t at = place_after(a);
    const std::uint32_t other = place_after(b);
    return std::max(at, other) - std::min(at, other) <= kOtherPassage;
}

bool Follower::agreed(std::size_t notes_back) const noexcept {
    const std::uint32_t meant = state_back(best_state(), notes_back);
    for (std::uint32_t state = 0; state < scores_.size(); ++state) {
        if (scores_[state] > -kDoubt && state_back(state, notes_back) != meant) {
            return false;
        }
    }
    return true;
}

void Follower::settle_oldest(std::uint32_t by_state) {
    const std::size_t back = heard_ - settled_ - 1;
    const std::uint32_t state = state_back(by_state, back);
    const bool wrapped = history_[settled_ % kHistory][state].wrapped && may_wrap();
    const std::uint32_t before = place_after(settled_state_);
    if (is_extra(state)) {
        events_.push_back({Aligned::Kind::extra, settled_, state - 2 * n_, pass_, false});
    } else {
        const std::uint32_t step = step_of(state);
        if (wrapped) {
            tell_skipped(before, n_);
            ++pass_;
            tell_skipped(0, step);
        } else if (step > before && step - before <= kOtherPassage) {
            tell_skipped(before, step); // further on it is a cut
        }
        const bool next_in_turn = wrapped ? before == n_ && step == 0 : step == before;
        const bool begun = settled_ > 0 && !is_extra(settled_state_);
        events_.push_back({Aligned::Kind::played, settled_, step, pass_, next_in_turn && begun});
    }
    if (state < n_) {
        learn_tempo(state, durations_s_[settled_ % kHistory]);
    }
    // What is settled stays so: paths that say otherwise end here, but for another passage altogether that fits just as
    // well, which may turn out to be the one that is played.
    for (std::uint32_t other = 0; other < scores_.size(); ++other) {
        if (scores_[other] > kNever) {
            const std::uint32_t meant = state_back(other, back);
            const bool as_good = scores_[other] > -kAsGood && !same_passage(meant, state);
            if (meant != state && !as_good) {
                scores_[other] = kNever;
            }
        }
    }
    settled_state_ = state;
    ++settled_;
}

void Follower::tell_skipped(std::uint32_t from, std::uint32_t to) {
    for (std::uint32_t asked = from; asked < to; ++asked) {
        events_.push_back({Aligned::Kind::skipped, settled_, asked, pass_, false});
    }
}

void Follower::settle() {
    if (heard_ == settled_) {
        return;
    }
    const From& newest = history_[(heard_ - 1) % kHistory][best_state()];
    if (!newest.jumped && !newest.skipped) {
        settle_all();
    }
}

void Follower::settle_all() {
    const std::uint32_t by_state = best_confirmed();
    while (settled_ < heard_) {
        settle_oldest(by_state);
    }
}

void Follower::finish() {
    settle_all();
    if (!finished_) {
        finished_ = true;
        tell_skipped(place_after(settled_state_), n_);
    }
}

bool Follower::next(Aligned& out) {
    if (next_event_ == events_.size()) {
        events_.clear();
        next_event_ = 0;
        return false;
    }
    out = events_[next_event_++];
    return true;
}

std::uint32_t Follower::place_of(double f0_hz) const {
    arrive({}, nullptr);
    for (std::size_t kind = 0; kind < sounding_weights_.size(); ++kind) {
        const Asked& asked = plan_[pitches_.first[kind]];
        sounding_weights_[kind] = std::log(
            std::max(right_density(asked, f0_hz), kMissShare * wrong_density(asked, f0_hz)));
    }
    std::uint32_t best = 0;
    double best_score = kNever;
    for (std::uint32_t step = 0; step < n_; ++step) {
        const double score = reached_[step] + sounding_weights_[pitches_.of[step]];
        if (score > best_score) {
            best_score = score;
            best = step;
        }
    }
    return best;
}

std::optional<std::uint32_t> Follower::last() const noexcept {
    if (heard_ == 0) {
        return std::nullopt;
    }
    const std::uint32_t state = best_state();
    const std::uint32_t place = place_after(state);
    return place > 0 ? place - 1 : 0;
}

std::optional<std::uint32_t> Follower::or_else() const noexcept {
    if (heard_ == 0) {
        return std::nullopt;
    }
    const std::uint32_t best = best_state();
    std::optional<std::uint32_t> found;
    double score = -kAsGood;
    for (std::uint32_t state = 0; state < n_; ++state) {
        if (scores_[state] > score && !same_passage(state, best)) {
            score = scores_[state];
            found = state;
        }
    }
    return found;
}

std::uint32_t Follower::upcoming() const noexcept {
    const std::uint32_t place = place_after(best_state());
    return place == n_ && may_wrap() ? 0 : place;
}

double Follower::quarter_s() const noexcept {
    const Beat& beat = beats_[best_state()];
    return tempo_said_ || beat.notes >= kTempoNotes ? std::exp(beat.log_s) : 0.0;
}

bool Follower::at_end() const noexcept {
    return heard_ > 0 && !may_wrap() && place_after(best_confirmed()) == n_;
}

} // namespace bellhand::drill

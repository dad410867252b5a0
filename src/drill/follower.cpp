#include "drill/follower.h"

#include "drill/relation.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace bellhand::drill {

namespace {

constexpr double kNever = -std::numeric_limits<double>::infinity();

// Natural logarithms of how often players do what next. Measured nowhere; chosen so that one wrong note is rather
// a badly played step than a jump, and a jump is believed once two notes fit it.
const double kNext = std::log(0.86);
const double kLeave_out = std::log(0.02); // the first step; each further one a factor e rarer
const double kSame_again = std::log(0.06);
const double kTrill_goes_on = std::log(0.5); // one trill is heard as several notes
const double kFew_back = std::log(0.006);
const double kBar_again = std::log(0.02);
const double kBeginning_again = std::log(0.012);
const double kAnywhere = std::log(0.004); // to all places together
const double kExtra = std::log(0.03);
constexpr double kAfter_stop = 1.5; // by this much likelier is starting again after a stop
constexpr double kStop_s = 1.0;
constexpr std::uint32_t kFew = 4;
constexpr int kBars_back = 3;

/// Paths this much less probable than the best (e to the power of) do not count.
constexpr double kDoubt = 5.0;
/// A note is settled when this many are unsettled, whatever the doubt.
constexpr std::uint32_t kMost_unsettled = 5;

} // namespace

Follower::Follower(std::vector<Asked> plan, int passes, int notes_behind)
    : plan_(std::move(plan)),
      n_(static_cast<std::uint32_t>(plan_.size())),
      passes_(static_cast<std::uint32_t>(std::max(passes, 1))),
      behind_(static_cast<std::size_t>(std::clamp(notes_behind, 0, 4))),
      restart_until_(n_, 0),
      scores_(2 * n_ + 1, kNever),
      reached_(n_),
      place_score_(n_ + 1),
      place_state_(n_ + 1),
      history_(kHistory, std::vector<From>(2 * n_ + 1)),
      settled_state_(n_) {
    scores_[n_] = 0.0; // before the first step
    for (std::uint32_t bar = 0; bar < n_; ++bar) {
        if (!plan_[bar].bar_begins) {
            continue;
        }
        int bars = 0;
        std::uint32_t until = bar + 1;
        while (until < n_ && (!plan_[until].bar_begins || ++bars < kBars_back)) {
            ++until;
        }
        restart_until_[bar] = until;
    }
    events_.reserve(2 * n_ + kHistory);
}

std::uint32_t Follower::place_after(std::uint32_t state) const noexcept {
    return state < n_ ? state + 1 : state - n_;
}

std::uint32_t Follower::best_state() const noexcept {
    return static_cast<std::uint32_t>(
        std::distance(scores_.begin(), std::max_element(scores_.begin(), scores_.end())));
}

bool Follower::may_wrap() const noexcept {
    return pass_ + 1 < passes_;
}

/// Best way to each step and from which state, and best score of each place.
void Follower::arrive(double silence_s, std::vector<From>* from) const {
    const double stop = silence_s > kStop_s ? kAfter_stop : 0.0;
    std::uint32_t best_place = 0;
    for (std::uint32_t place = 0; place <= n_; ++place) {
        std::uint32_t state = n_ + place;
        if (place > 0 && scores_[place - 1] >= scores_[state]) {
            state = place - 1;
        }
        place_state_[place] = state;
        place_score_[place] = scores_[state];
        if (place_score_[place] > place_score_[best_place]) {
            best_place = place;
        }
    }
    const double anywhere = kAnywhere - std::log(n_) + stop;
    for (std::uint32_t step = 0; step < n_; ++step) {
        double best = place_score_[best_place] + anywhere;
        From way{place_state_[best_place], false};
        const auto consider = [&](std::uint32_t place, double log_share, bool wrapped) {
            const double score = place_score_[place] + log_share;
            if (score > best) {
                best = score;
                way = {place_state_[place], wrapped};
            }
        };
        consider(step, kNext, false);
        for (std::uint32_t left_out = 1; left_out <= kLongest_skip; ++left_out) {
            const double share = kLeave_out - (left_out - 1.0);
            if (step >= left_out) {
                consider(step - left_out, share, false);
            } else if (may_wrap() && n_ + step >= left_out) {
                consider(n_ + step - left_out, share, true);
            }
        }
        if (step == 0 && may_wrap()) {
            consider(n_, kNext, true);
        }
        consider(
            step + 1, plan_[step].manner == Manner::plain ? kSame_again : kTrill_goes_on, false);
        for (std::uint32_t back = 2; back <= kFew && step + back <= n_; ++back) {
            consider(step + back, kFew_back + stop, false);
        }
        for (std::uint32_t place = step + 1; place <= restart_until_[step]; ++place) {
            consider(place, kBar_again + stop, false);
        }
        if (step == 0) {
            consider(best_place, kBeginning_again + stop, false);
        }
        reached_[step] = best;
        if (from != nullptr) {
            (*from)[step] = way;
        }
    }
    if (from != nullptr) {
        for (std::uint32_t place = 0; place <= n_; ++place) {
            (*from)[n_ + place] = {place_state_[place], false};
        }
    }
}

void Follower::hear(double f0_hz, double silence_s) {
    arrive(silence_s, &history_[heard_ % kHistory]);
    const double extra = kExtra + std::log(kAnyPitch_per_cent);
    double best = kNever;
    for (std::uint32_t step = 0; step < n_; ++step) {
        scores_[step] = reached_[step] + std::log(density_of(plan_[step], f0_hz));
        best = std::max(best, scores_[step]);
    }
    for (std::uint32_t place = 0; place <= n_; ++place) {
        scores_[n_ + place] = place_score_[place] + extra;
        best = std::max(best, scores_[n_ + place]);
    }
    for (double& score : scores_) {
        score -= best;
    }
    ++heard_;
    while (heard_ - settled_ > behind_ && (behind_ == 0 || heard_ - settled_ >= kMost_unsettled ||
                                           agreed(heard_ - settled_ - 1))) {
        settle_oldest();
    }
}

std::uint32_t Follower::state_back(std::uint32_t state, std::size_t notes) const noexcept {
    for (std::size_t back = 0; back < notes; ++back) {
        state = history_[(heard_ - 1 - back) % kHistory][state].state;
    }
    return state;
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

void Follower::settle_oldest() {
    const std::size_t back = heard_ - settled_ - 1;
    const std::uint32_t state = state_back(best_state(), back);
    const bool wrapped = history_[settled_ % kHistory][state].wrapped && may_wrap();
    const std::uint32_t before = place_after(settled_state_);
    if (state >= n_) {
        events_.push_back({Aligned::Kind::extra, settled_, state - n_, pass_, false});
    } else {
        if (wrapped) {
            tell_skipped(before, n_);
            ++pass_;
            tell_skipped(0, state);
        } else if (state > before) {
            tell_skipped(before, state);
        }
        const bool next_in_turn = wrapped ? before == n_ && state == 0 : state == before;
        const bool begun = settled_ > 0 && settled_state_ < n_;
        events_.push_back({Aligned::Kind::played, settled_, state, pass_, next_in_turn && begun});
    }
    // What is settled stays so: paths that say otherwise end here.
    for (std::uint32_t other = 0; other < scores_.size(); ++other) {
        if (scores_[other] > kNever && state_back(other, back) != state) {
            scores_[other] = kNever;
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
    while (settled_ < heard_) {
        settle_oldest();
    }
}

void Follower::finish() {
    settle();
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
    arrive(0.0, nullptr);
    std::uint32_t best = 0;
    double best_score = kNever;
    for (std::uint32_t step = 0; step < n_; ++step) {
        const double score = reached_[step] + std::log(density_of(plan_[step], f0_hz));
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
    return state < n_ ? state : (place > 0 ? place - 1 : 0);
}

std::uint32_t Follower::upcoming() const noexcept {
    const std::uint32_t place = place_after(best_state());
    return place == n_ && may_wrap() ? 0 : place;
}

bool Follower::at_end() const noexcept {
    return heard_ > 0 && !may_wrap() && place_after(best_state()) == n_;
}

} // namespace bellhand::drill

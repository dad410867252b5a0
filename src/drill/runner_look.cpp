// Where the player is between notes, and what follows from silence.
#include "drill/runner_state.h"

#include <algorithm>

namespace bellhand::drill {

namespace {

constexpr double kPlaying_s = 0.150; // of silence, between tongued notes
constexpr double kSettle_s = 1.0;  // of silence beyond what is asked: the player rests and may read
constexpr double kStopped_s = 2.0; // the same: the program waits
constexpr double kEnd_s = 1.5;     // after the last note: nothing follows
constexpr std::size_t kTowardsEnd = 4;
constexpr double kTrillOver_s = 0.1; // of silence
constexpr double kGone_s = 0.5;      // without a word of the sounding note

} // namespace

/// Silence that stands in the exercise after the newest note.
double Runner::State::rest_asked_s() const {
    const auto last = follower->last();
    const std::vector<Asked>& plan = follower->plan();
    if (!last || *last + 1 >= plan.size()) {
        return 0.0;
    }
    const Asked& now = plan[*last];
    return std::max(0.0, plan[*last + 1].at_quarters - now.at_quarters - now.quarters) *
           quarter_now_s();
}

double Runner::State::quarter_now_s() const {
    return quarter_s > 0.0 ? pulse.quarter_s() : follower->quarter_s();
}

void Runner::State::look() {
    if (where.phase == Phase::finished) {
        return;
    }
    const double silent_s = std::max(0.0, now_s - std::max(last_end_s, last_sound_s));
    where.sounding = where.sounding && silent_s < kGone_s; // a tone that turned out to be no note
    where.silent_s = any_sound ? silent_s : 0.0;
    where.pass = follower->pass();
    where.quarter_s = quarter_now_s();
    where.rest_bars = where.rest_bar = 0;
    where.or_step.reset();
    if (const auto other = exercise.steps.front().in_part ? follower->or_else() : std::nullopt) {
        where.or_step = follower->plan()[*other].step;
    }
    if (silent_s >= kTrillOver_s && last_sound_s > last_end_s + kTrillOver_s && !where.sounding) {
        take_trill(now_s);
    }
    if (where.sounding) {
        where.phase = Phase::playing;
    } else if (heard == 0) {
        look_before_first_note();
    } else {
        look_in_silence(silent_s, silent_s - rest_asked_s());
    }
}

void Runner::State::look_before_first_note() {
    where.next = follower->plan()[follower->upcoming()].step;
    if (where.repeating_missed) {
        where.phase = Phase::resting;
    } else if (where.part > 0) {
        where.phase = Phase::new_crook;
    } else {
        where.phase = click.beats() > 0 ? Phase::count_in : Phase::waiting;
    }
}

/// `beyond_s`: of the silence, what goes beyond the rest that is written.
void Runner::State::look_in_silence(double silent_s, double beyond_s) {
    const std::vector<Asked>& plan = follower->plan();
    const std::uint32_t last = *follower->last();
    const auto upcoming =
        static_cast<std::uint32_t>(std::min<std::size_t>(follower->upcoming(), plan.size() - 1));
    where.step = plan[last].step;
    where.next = plan[upcoming].step;
    where.phase = silent_s < kPlaying_s   ? Phase::playing
                  : beyond_s < kStopped_s ? Phase::resting
                                          : Phase::stopped;
    if (silent_s >= kPlaying_s) {
        count_rest(silent_s);
        if (!(plan[upcoming].crook == plan[last].crook)) {
            where.phase = Phase::new_crook;
        }
        listen_on(plan[upcoming].crook);
    }
    if (beyond_s >= kSettle_s) {
        follower->settle();
        drain();
        close_open();
        withheld.release();
        tell();
    }
    // The end of a part is reached by playing towards it, not by some notes that sound like it.
    const bool came_there =
        !exercise.steps.front().in_part || in_a_row >= std::min(kTowardsEnd, plan.size() - 1);
    if (follower->at_end() && came_there && silent_s >= kEnd_s) {
        end_round();
        look();
    }
}

void Runner::State::count_rest(double silent_s) {
    if (!exercise.steps[where.next].in_part) {
        return;
    }
    const int before = exercise.steps[where.step].in_part->bar;
    double left_s = silent_s;
    int bar = before;
    for (std::uint32_t step = where.step + 1; step < where.next; ++step) {
        const int here = exercise.steps[step].in_part->bar;
        left_s -= quarters_of(exercise, exercise.steps[step]) * quarter_now_s();
        where.rest_bars += here > bar ? 1 : 0;
        if (here > bar && where.rest_bar == 0 && left_s < 0.0) {
            where.rest_bar = where.rest_bars;
        }
        bar = here;
    }
    // The bar of the entry is no bar of rest.
    const bool enters_inside = bar > before && bar == exercise.steps[where.next].in_part->bar;
    where.rest_bars -= enters_inside ? 1 : 0;
    where.rest_bar =
        where.rest_bar == 0 ? where.rest_bars : std::min(where.rest_bar, where.rest_bars);
}

} // namespace bellhand::drill

#include "app/demo_player.h"

#include "app/demo.h"

#include <algorithm>
#include <utility>

namespace bellhand::app {

namespace {

constexpr double kBreath_s = 1.0;  // before a block, a new crook, bars that are asked again
constexpr double kNoBeats_s = 2.5; // for so long a metronome that is silent is waited for
constexpr int kTimesAsked = 5; // a note that a lesson asks for, until the faults come round again

} // namespace

DemoPlayer::DemoPlayer(std::uint64_t seed, const horn::Tuning& tuning)
    : seed_(seed), stand_(std::make_shared<audio::MusicStand>()) {
    play_alone(tuning);
}

void DemoPlayer::play_alone(const horn::Tuning& tuning) {
    if (alone_on_ == tuning && !asked_) {
        return;
    }
    alone_on_ = tuning;
    asked_.reset();
    planted_.reset();
    playing_.reset();
    ready_s_.reset();
    stand_->lay(demo_score(tuning, seed_).sound);
}

void DemoPlayer::play_asked(const AskedNote& asked, const horn::Tuning& tuning) {
    if (alone_on_ == tuning && asked_ == asked) {
        return;
    }
    drill::Exercise exercise;
    exercise.quarters_per_minute = 60.0;
    drill::Step note;
    note.written = asked.written;
    note.partial = asked.partial;
    note.hand = asked.hand;
    note.quarters = 2.0;
    for (int time = 0; time < kTimesAsked; ++time) {
        exercise.steps.push_back(note);
        exercise.steps.emplace_back(); // a rest
    }
    drill::PlanSettings settings;
    settings.tuning = tuning;
    const std::vector<drill::Asked> plan = drill::plan_of(exercise, settings);
    if (plan.empty()) { // a note that the hand chart does not know
        play_alone(tuning);
        return;
    }
    DemoTask task;
    task.exercise = &exercise;
    task.asked = &plan;
    task.first_s = kBreath_s;
    task.seed = seed_ * 1000 + ++parts_;
    part_ = demo_part(task);
    planted_ = part_.planted;
    playing_.reset();
    ready_s_.reset();
    alone_on_ = tuning;
    asked_ = asked;
    audio::SynthScore sound = part_.sound;
    sound.repeat = true;
    stand_->lay(std::move(sound));
}

void DemoPlayer::rest() {
    const bool silent = !alone_on_ && !playing_;
    ready_s_.reset();
    if (silent) {
        return;
    }
    alone_on_.reset();
    asked_.reset();
    playing_.reset();
    audio::SynthScore silence;
    silence.seed = seed_;
    silence.repeat = true;
    stand_->lay(std::move(silence));
}

void DemoPlayer::follow(const run::State* state,
                        const horn::Tuning& tuning,
                        double now_s,
                        const std::optional<AskedNote>& asked) {
    if (state == nullptr) {
        if (asked) {
            play_asked(*asked, tuning);
        } else {
            play_alone(tuning);
        }
        return;
    }
    const Place here{state->block, state->where.part, state->where.repeating_missed};
    switch (state->stage) {
    case run::Stage::ready:
        if (ready_s_ && playing_ == here) {
            return; // its first note is on the way
        }
        wait_for_beat(*state, now_s);
        break;
    case run::Stage::playing:
        ready_s_.reset();
        if (playing_ != here) { // after a pause too
            play(*state, kBreath_s);
        }
        break;
    default:
        rest();
        break;
    }
}

/// Where beats are counted in, the first note comes on the beat after them.
void DemoPlayer::wait_for_beat(const run::State& state, double now_s) {
    if (!ready_s_) {
        rest();
        ready_s_ = now_s;
        beats_to_go_ = state.where.beats_to_go;
    }
    const drill::Exercise& exercise = state.now->exercise;
    const bool counted =
        std::exchange(beats_to_go_, state.where.beats_to_go) > 0 && state.where.beats_to_go == 0;
    const bool beats = state.where.phase == drill::Phase::count_in;
    if (counted && exercise.quarters_per_minute > 0.0) {
        play(state, 60.0 / exercise.quarters_per_minute);
    } else if (!beats &&
               now_s - *ready_s_ >= (exercise.quarters_per_minute > 0.0 ? kNoBeats_s : 0.0)) {
        play(state, kBreath_s);
    }
}

void DemoPlayer::play(const run::State& state, double first_s) {
    DemoTask task;
    task.exercise = &state.now->exercise;
    task.asked = state.asked;
    task.from_step = state.where.next;
    task.passes = std::max(1, static_cast<int>(state.where.passes - state.where.pass));
    task.first_s = first_s;
    task.faults = state.where.pass == 0 && state.where.part == 0 && !state.where.repeating_missed;
    task.seed = seed_ * 1000 + ++parts_;
    part_ = demo_part(task);
    if (task.faults) {
        planted_ = part_.planted;
    }
    playing_ = Place{state.block, state.where.part, state.where.repeating_missed};
    alone_on_.reset();
    asked_.reset();
    audio::SynthScore sound = part_.sound;
    // What comes after it is silence: the end of a score that does not repeat would be the end of the sound.
    sound.length_s += 3600.0;
    stand_->lay(std::move(sound));
}

std::string DemoPlayer::sentence() const {
    if (!planted_) {
        return {};
    }
    constexpr const char* kHowMany[] = {"no fault is", "one fault is", "two faults are"};
    return std::string("This is the demo player: ") + kHowMany[std::clamp(*planted_, 0, 2)] +
           (asked_ ? " planted among five times of what is asked." : " planted in the exercise.");
}

} // namespace bellhand::app

#pragma once

#include "drill/judge.h"
#include "drill/runner.h"

#include <cmath>
#include <string>
#include <vector>

#include <doctest/doctest.h>

// Exercises as the tests of the runner ask for them, and a player who plays what the test says.
namespace bellhand::test {

inline horn::Tuning on_f() {
    horn::Tuning tuning;
    tuning.crook = *horn::parse_crook("F");
    return tuning;
}

inline drill::Exercise tune(const std::vector<const char*>& names,
                            double quarters_per_minute = 0.0) {
    drill::Exercise exercise;
    exercise.title = "tune";
    exercise.quarters_per_minute = quarters_per_minute;
    for (const char* const name : names) {
        drill::Step step;
        if (name[0] != '-') {
            step.written = *horn::parse_note(name);
        }
        exercise.steps.push_back(step);
    }
    return exercise;
}

/// A player who plays what the test says.
class Hands {
public:
    Hands(const drill::Exercise& exercise, drill::RunSettings settings)
        : tuning_(settings.tuning), runner_(*drill::Runner::make(exercise, settings)) {}

    void play(const char* name, double cents = 0.0, double length_s = 0.6) {
        play_hz(horn::target_hz(*horn::parse_note(name), tuning_) * std::exp2(cents / 1200.0),
                length_s);
    }
    void play_hz(double hz, double length_s = 0.6) {
        trainer::PlayedNote note;
        note.f0_hz = hz;
        const auto reading = horn::read_pitch(hz, tuning_);
        REQUIRE(reading);
        note.written = reading->written;
        note.target_hz = reading->target_hz;
        note.deviation_cents = reading->deviation_cents;
        note.attack_cents = reading->deviation_cents + attack_cents;
        note.spread_cents = 1.0;
        note.level_dbfs = level_dbfs;
        note.in_ringing_room = ringing_room;
        note.start_s = now_s + 0.05;
        note.duration_s = length_s - 0.05;
        note.finished = true;
        now_s += length_s;
        runner_.finished(note);
        collect();
    }
    void rest(double length_s) {
        now_s += length_s;
        runner_.advance(now_s);
        collect();
    }
    void finish() {
        runner_.finish();
        collect();
    }
    void collect() {
        drill::Judgement judgement;
        while (runner_.next(judgement)) {
            judged.push_back(judgement);
        }
    }
    /// "0 1 2flat 3missed 4?": steps with the first fault of each, or undecided.
    [[nodiscard]] std::string story() const {
        std::string text;
        for (const drill::Judgement& judgement : judged) {
            text += (text.empty() ? "" : " ") + std::to_string(judgement.step);
            text += judgement.extra         ? "extra"
                    : judgement.good()      ? ""
                    : judgement.undecided() ? "?"
                                            : drill::fault_id(judgement.faults.front());
        }
        return text;
    }
    drill::Runner& runner() { return runner_; }

    std::vector<drill::Judgement> judged;
    double now_s = 0.0;
    double attack_cents = 0.0;
    double level_dbfs = -20.0;
    bool ringing_room = false;

private:
    horn::Tuning tuning_;
    drill::Runner runner_;
};

inline drill::RunSettings once() {
    drill::RunSettings settings;
    settings.tuning = on_f();
    settings.repeat_missed = 0;
    return settings;
}

} // namespace bellhand::test

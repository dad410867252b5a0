#pragma once

#include "run/run.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <utility>
#include <vector>

// Exercises as the tests of a run ask for them, and a player who plays what the test says.
namespace bellhand::test {

inline drill::Exercise tune(std::initializer_list<const char*> names, int repetitions = 1) {
    drill::Exercise exercise;
    exercise.id = "tune";
    exercise.title = "Tune";
    exercise.repetitions = repetitions;
    for (const char* const name : names) {
        drill::Step step;
        step.written = *horn::parse_note(name);
        exercise.steps.push_back(step);
    }
    return exercise;
}

inline skill::PlannedBlock
block(drill::Exercise exercise, double play_s = 60.0, const char* crook = "F") {
    skill::PlannedBlock block;
    block.exercise = std::move(exercise);
    block.crook = *horn::parse_crook(crook);
    block.play_s = play_s;
    block.rest_s = play_s;
    block.why = "because";
    return block;
}

/// A player at a run; time goes on in steps of 50 ms.
struct Player {
    run::Run running;
    double now_s = 0.0;
    std::vector<run::Record> records;

    explicit Player(std::vector<skill::PlannedBlock> blocks, run::Options options = {})
        : running(*run::Run::make(std::move(blocks), {}, options)) {}

    [[nodiscard]] const run::State& state() const { return running.state(); }
    void wait(double length_s) {
        for (const double until_s = now_s + length_s; now_s < until_s - 1e-9;) {
            now_s = std::min(until_s, now_s + 0.05);
            running.advance(now_s);
        }
        collect();
    }
    hand::HornFit horn; ///< what is heard with every note
    void play(const char* name, double cents = 0.0, double length_s = 0.5) {
        trainer::PlayedNote note;
        note.heard.heard = horn.verdict != hand::HornVerdict::unknown;
        note.heard.horn = horn;
        note.written = *horn::parse_note(name);
        note.target_hz = horn::target_hz(note.written, running.tuning());
        note.f0_hz = note.target_hz * std::exp2(cents / 1200.0);
        note.deviation_cents = cents;
        note.attack_cents = cents;
        note.start_s = now_s + 0.05;
        note.duration_s = length_s - 0.05;
        for (const double until_s = now_s + length_s; now_s < until_s - 1e-9;) {
            now_s = std::min(until_s, now_s + 0.05);
            running.advance(now_s);
            if (now_s < until_s - 0.04 && now_s > note.start_s) {
                trainer::PlayedNote so_far = note;
                so_far.duration_s = now_s - note.start_s;
                running.sounding(so_far);
            }
        }
        note.finished = true;
        running.finished(note);
        collect();
    }
    void play_all(std::initializer_list<const char*> names) {
        for (const char* const name : names) {
            play(name);
        }
    }
    void collect() {
        run::Record record;
        while (running.next(record)) {
            records.push_back(record);
        }
    }
    [[nodiscard]] std::vector<run::StepRecord> steps() const {
        std::vector<run::StepRecord> steps;
        for (const auto& record : records) {
            if (const auto* step = std::get_if<run::StepRecord>(&record)) {
                steps.push_back(*step);
            }
        }
        return steps;
    }
    [[nodiscard]] logbook::BlockRecord last_block() const {
        logbook::BlockRecord last;
        for (const auto& record : records) {
            if (const auto* block = std::get_if<logbook::BlockRecord>(&record)) {
                last = *block;
            }
        }
        return last;
    }
};

} // namespace bellhand::test

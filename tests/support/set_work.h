#pragma once

#include "homework/homework.h"

namespace bellhand::test {

/// Four bars of one note each beat, in quarters: C4 C4 C4 C4 | D4 ... | E4 ... | F4 ...
inline drill::Exercise four_bars() {
    drill::Exercise exercise;
    exercise.id = "four-bars";
    exercise.title = "Four bars";
    exercise.quarters_per_minute = 60.0;
    for (const char* const name : {"C4", "D4", "E4", "F4"}) {
        for (int i = 0; i < 4; ++i) {
            drill::Step step;
            step.written = *horn::parse_note(name);
            exercise.steps.push_back(step);
        }
    }
    return exercise;
}

/// A homework that can be given, of so many tasks.
inline homework::Homework set_work(int tasks = 1) {
    homework::Homework homework;
    homework.id = "week-one";
    homework.title = "Week one";
    homework.written_on = "2026-03-01";
    homework.due_on = "2026-03-08";
    homework.a4_hz = 430.0;
    homework.temperament = "vallotti";
    for (int i = 0; i < tasks; ++i) {
        homework::Task task;
        task.exercise = four_bars();
        task.exercise.title += " " + std::to_string(i + 1);
        homework.tasks.push_back(task);
    }
    return homework;
}

/// A note of an attempt, right unless a fault is named.
inline homework::StepResult judged(std::uint32_t step, std::vector<drill::Fault> faults = {}) {
    homework::StepResult result;
    result.step = step;
    result.asked = result.heard = *horn::parse_note("C4");
    result.start_s = step;
    result.duration_s = 0.9;
    result.faults = std::move(faults);
    return result;
}

} // namespace bellhand::test

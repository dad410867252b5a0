#include "homework/homework.h"

#include "core/calendar.h"
#include "drill/playable.h"
#include "drill/runner.h"

#include <algorithm>

namespace bellhand::homework {

namespace {

std::string problem_of(const Homework& homework, const Task& task) {
    const auto steps = static_cast<std::uint32_t>(task.exercise.steps.size());
    const std::uint32_t first = task.first_step.value_or(0);
    const std::uint32_t last = task.last_step.value_or(steps == 0 ? 0 : steps - 1);
    if (first > last || last >= steps) {
        return "asks for steps that the exercise does not have; choose them anew";
    }
    const drill::Exercise exercise = exercise_of(task);
    const horn::Crook crook = task.crook.value_or(horn::Crook{});
    if (task.crook) {
        if (const drill::Playable playable = drill::playable(exercise, crook); !playable.yes) {
            std::string why = playable.why;
            if (!why.empty() && why.back() == '.') {
                why.pop_back();
            }
            return "cannot be played on " + std::string(crook.label) + ": " + why;
        }
    }
    drill::RunSettings settings;
    settings.tuning = tuning_of(homework, task, crook);
    if (const auto runner = drill::Runner::make(exercise, settings); !runner) {
        std::string why = runner.error().message;
        if (!why.empty() && why.back() == '.') {
            why.pop_back();
        }
        return "cannot be run: " + why;
    }
    return {};
}

} // namespace

drill::Exercise exercise_of(const Task& task) {
    drill::Exercise exercise = task.exercise;
    const auto begin = exercise.steps.begin();
    const auto steps = static_cast<std::uint32_t>(exercise.steps.size());
    const std::uint32_t last = std::min(task.last_step.value_or(steps), steps == 0 ? 0 : steps - 1);
    const std::uint32_t first = std::min(task.first_step.value_or(0), last);
    exercise.steps = std::vector<drill::Step>(begin + first, steps == 0 ? begin : begin + last + 1);
    if (!exercise.steps.empty()) {
        exercise.steps.front().slurred = false; // what it was tied to is not played
    }
    if (task.crook) {
        exercise.crooks = {task.crook->transposition};
        exercise.each_crook = false;
    }
    exercise.quarters_per_minute = task.quarters_per_minute.value_or(exercise.quarters_per_minute);
    exercise.repetitions = task.repetitions.value_or(exercise.repetitions);
    if (task.tolerance_factor != 1.0) {
        for (drill::Step& step : exercise.steps) {
            if (step.tolerance_cents) {
                *step.tolerance_cents *= task.tolerance_factor;
            }
        }
    }
    return exercise;
}

horn::Tuning tuning_of(const Homework& homework, const Task& task, const horn::Crook& otherwise) {
    horn::Tuning tuning;
    tuning.crook = task.crook.value_or(otherwise);
    tuning.a4_hz = homework.a4_hz;
    if (const auto temperament = horn::parse_temperament(homework.temperament)) {
        tuning.temperament = *temperament;
    }
    tuning.footing = homework.footing;
    return tuning;
}

std::vector<std::string> problems(const Homework& homework) {
    std::vector<std::string> found;
    if (homework.title.empty()) {
        found.emplace_back("The homework has no title: say in a few words what it is.");
    }
    if (homework.tasks.empty()) {
        found.emplace_back("The homework asks for nothing yet: add an exercise.");
    }
    if (homework.tasks.size() > kMostTasks) {
        found.push_back("The homework has " + std::to_string(homework.tasks.size()) +
                        " tasks, more than the " + std::to_string(kMostTasks) +
                        " that fit: make two of it.");
    }
    if (!homework.due_on.empty() && !calendar::day_in(homework.due_on)) {
        found.push_back("The date \"" + homework.due_on.substr(0, 40) +
                        "\" is not a date: write year, month and day, such as 2026-03-01.");
    } else if (!homework.due_on.empty() && homework.due_on < homework.written_on) {
        found.push_back("The homework is due on " + homework.due_on + ", before it is written (" +
                        homework.written_on + "): choose a later day.");
    }
    for (std::size_t i = 0; i < homework.tasks.size() && i < kMostTasks; ++i) {
        const std::string problem = problem_of(homework, homework.tasks[i]);
        if (!problem.empty()) {
            found.push_back("Task " + std::to_string(i + 1) + " (" +
                            homework.tasks[i].exercise.title + ") " + problem + ".");
        }
    }
    return found;
}

} // namespace bellhand::homework

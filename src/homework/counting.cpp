#include "homework/counting.h"

#include "datafile/json_fields.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <utility>

namespace bellhand::homework {

int complete_passes(const drill::Exercise& exercise, const std::vector<CountedStep>& steps) {
    const auto asked = static_cast<std::size_t>(
        std::count_if(exercise.steps.begin(), exercise.steps.end(), [](const drill::Step& step) {
            return step.written.has_value();
        }));
    if (asked == 0) {
        return 0;
    }
    using Pass = std::pair<std::uint32_t, std::uint32_t>; // crook, pass
    std::map<Pass, std::set<std::uint32_t>> came;
    for (const CountedStep& step : steps) {
        if (step.played && step.step < exercise.steps.size()) {
            came[{step.crook, step.pass}].insert(step.step);
        }
    }
    const std::size_t least = asked < 10 ? asked : asked - asked / 10;
    const std::size_t crooks =
        exercise.each_crook ? std::max<std::size_t>(1, exercise.crooks.size()) : 1;
    std::vector<int> whole(crooks, 0);
    for (const auto& [pass, notes] : came) {
        if (pass.first < crooks && notes.size() >= least) {
            ++whole[pass.first];
        }
    }
    return *std::min_element(whole.begin(), whole.end());
}

int times_done(const Task& task, const std::vector<BlockDone>& blocks) {
    int passes = 0;
    int finished = 0;
    double all_s = 0.0;
    for (const BlockDone& block : blocks) {
        passes += block.passes;
        finished += block.finished ? 1 : 0;
        all_s += block.duration_s;
    }
    switch (task.time_is) {
    case TimeIs::once_through:
        return passes;
    case TimeIs::block:
        return finished;
    case TimeIs::minutes:
        break;
    }
    return task.minutes > 0.0 ? static_cast<int>(std::floor(all_s / (60.0 * task.minutes) + 1e-6))
                              : finished;
}

std::vector<int> times_done(const Homework& homework) {
    std::vector<std::vector<BlockDone>> blocks(homework.tasks.size());
    for (std::size_t i = 0; homework.returned && i < homework.returned->attempts.size(); ++i) {
        const Attempt& attempt = homework.returned->attempts[i];
        if (attempt.task < blocks.size()) {
            blocks[attempt.task].push_back({attempt.passes, attempt.finished, attempt.duration_s});
        }
    }
    std::vector<int> done;
    for (std::size_t i = 0; i < homework.tasks.size(); ++i) {
        done.push_back(times_done(homework.tasks[i], blocks[i]));
    }
    return done;
}

std::string times_words(const Task& task) {
    const std::string times = task.times == 1 ? "once" : std::to_string(task.times) + " times";
    switch (task.time_is) {
    case TimeIs::once_through:
        return times + " through";
    case TimeIs::block:
        return times + " a block of practice (so older files count)";
    case TimeIs::minutes:
        break;
    }
    return times + " " + datafile::plain_number(task.minutes) +
           (task.minutes == 1.0 ? " minute" : " minutes");
}

std::string attempt_words(const Task& task, const Attempt& attempt) {
    switch (task.time_is) {
    case TimeIs::once_through:
        return attempt.passes == 0   ? "not once through"
               : attempt.passes == 1 ? "once through"
                                     : std::to_string(attempt.passes) + " times through";
    case TimeIs::block:
        return attempt.finished ? "a block" : "broken off";
    case TimeIs::minutes:
        break;
    }
    return datafile::plain_number(std::round(attempt.duration_s / 6.0) / 10.0) + " minutes";
}

std::string done_words(const Task& task, int done) {
    return std::to_string(done) + " of " + std::to_string(task.times) +
           (task.times == 1 ? " time" : " times") + " played" +
           (done >= task.times ? ": done" : "");
}

} // namespace bellhand::homework

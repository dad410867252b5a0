#include "homework/teacher.h"

#include "datafile/json_text.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace bellhand::homework {

namespace {

constexpr std::size_t kMostUndo = 200;

struct Bars {
    std::vector<int> of_step; ///< in which it begins, from 1
    int count = 0;            ///< a last note may reach over further ones
};

/// Empty when notes have no length.
std::optional<Bars> bars_of_steps(const drill::Exercise& exercise) {
    Bars bars;
    double at = 0.0;
    const double bar = exercise.metre.quarters();
    for (const drill::Step& step : exercise.steps) {
        if (step.quarters <= 0.0 && step.written) {
            return std::nullopt;
        }
        bars.of_step.push_back(static_cast<int>(std::floor(at / bar + 1e-9)) + 1);
        at += step.quarters;
    }
    bars.count = static_cast<int>(std::ceil(at / bar - 1e-9));
    return bars;
}

} // namespace

Result<std::pair<std::uint32_t, std::uint32_t>>
steps_of_bars(const drill::Exercise& exercise, int first, int last) {
    const std::optional<Bars> bars = bars_of_steps(exercise);
    if (!bars) {
        return usage_error("\"" + exercise.title +
                           "\" has no bars, its notes last as long as one likes: give the "
                           "whole exercise.");
    }
    const std::vector<int>& of_step = bars->of_step; // rising
    const auto begin = std::lower_bound(of_step.begin(), of_step.end(), first);
    const auto end = std::upper_bound(of_step.begin(), of_step.end(), last);
    if (first < 1 || last < first || last > bars->count || begin >= end) {
        return usage_error("\"" + exercise.title + "\" has the bars 1 to " +
                           std::to_string(bars->count) + ", and " + std::to_string(first) + " to " +
                           std::to_string(last) + " were asked for.");
    }
    return std::pair(static_cast<std::uint32_t>(begin - of_step.begin()),
                     static_cast<std::uint32_t>(end - of_step.begin() - 1));
}

std::optional<int> bars_in(const drill::Exercise& exercise) {
    const auto bars = bars_of_steps(exercise);
    return bars ? std::optional(bars->count) : std::nullopt;
}

std::optional<std::pair<int, int>> bars_of(const Task& task) {
    const auto bars = bars_of_steps(task.exercise);
    if (!bars || bars->of_step.empty() || !(task.first_step || task.last_step)) {
        return std::nullopt;
    }
    const std::vector<int>& of_step = bars->of_step;
    const std::size_t end = of_step.size() - 1;
    const std::size_t first = task.first_step.value_or(0);
    const std::size_t last = task.last_step.value_or(static_cast<std::uint32_t>(end));
    if (last > end || first > last || (first > 0 && of_step[first - 1] == of_step[first]) ||
        (last < end && of_step[last + 1] == of_step[last])) {
        return std::nullopt;
    }
    return std::pair(of_step[first], last == end ? bars->count : of_step[last + 1] - 1);
}

std::string make_id(const Homework& homework) {
    std::string id;
    for (const char c : homework.title) {
        if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')) {
            id += c;
        } else if (c >= 'A' && c <= 'Z') {
            id += static_cast<char>(c - 'A' + 'a');
        } else if (!id.empty() && id.back() != '-') {
            id += '-';
        }
        if (id.size() >= 40) {
            break;
        }
    }
    while (!id.empty() && id.back() == '-') {
        id.pop_back();
    }
    Homework bare = homework;
    bare.id.clear();
    std::uint64_t hash = 14695981039346656037ULL; // FNV-1a (Fowler, Noll and Vo)
    for (const char c : homework_text(bare)) {
        hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
    }
    char digits[16];
    std::snprintf(digits, sizeof digits, "%08x", static_cast<unsigned>(hash ^ (hash >> 32U)));
    return (id.empty() ? "homework" : id) + "-" +
           (homework.written_on.empty() ? "" : homework.written_on + "-") + digits;
}

bool is_good(const StepResult& step) noexcept {
    return step.played && !step.extra && step.faults.empty();
}

bool is_undecided(const StepResult& step) noexcept {
    return !step.played && step.faults.empty();
}

AttemptFigures figures_of(const Attempt& attempt) {
    AttemptFigures figures;
    std::vector<double> off_cents;
    for (const StepResult& step : attempt.steps) {
        figures.steps += is_undecided(step) ? 0U : 1U;
        figures.good += is_good(step) ? 1U : 0U;
        if (step.played && !step.extra && step.known_within_cents <= 0.0) {
            off_cents.push_back(std::abs(step.held_cents));
        }
    }
    if (!off_cents.empty()) {
        const auto middle = off_cents.begin() + static_cast<std::ptrdiff_t>(off_cents.size() / 2);
        std::nth_element(off_cents.begin(), middle, off_cents.end());
        figures.median_off_cents = *middle;
    }
    return figures;
}

std::optional<InTake> heard_in(const Return& back, std::size_t attempt, const StepResult& step) {
    for (std::size_t take = 0; take < back.takes.size() && step.played; ++take) {
        const double at_s = step.start_s - back.takes[take].starts_s;
        if (back.takes[take].attempt == attempt && at_s >= 0.0 &&
            at_s < back.takes[take].duration_s) {
            return InTake{take, at_s};
        }
    }
    return std::nullopt;
}

std::vector<Wrong> what_went_wrong(const Homework& homework) {
    std::vector<Wrong> wrong;
    if (!homework.returned) {
        return wrong;
    }
    const Return& back = *homework.returned;
    for (std::size_t i = 0; i < back.attempts.size(); ++i) {
        for (const StepResult& step : back.attempts[i].steps) {
            if (is_good(step) || is_undecided(step)) {
                continue;
            }
            Wrong one{back.attempts[i].task, i, step, std::nullopt, 0.0};
            if (const auto heard = heard_in(back, i, step)) {
                one.take = heard->take;
                one.in_take_s = heard->at_s;
            }
            wrong.push_back(std::move(one));
        }
    }
    return wrong;
}

Result<void> add_comment(Homework& homework, Comment comment) {
    const std::string plain = datafile::plain_paragraphs(comment.text);
    if (std::count(plain.begin(), plain.end(), '?') !=
        std::count(comment.text.begin(), comment.text.end(), '?')) {
        return usage_error(
            "The comment contains control characters: write plain words, paragraphs are fine.");
    }
    comment.text = plain;
    const std::size_t takes = homework.returned ? homework.returned->takes.size() : 0;
    if (comment.text.empty() || comment.text.size() > kLongestWords) {
        return usage_error("A comment needs words, " + std::to_string(kLongestWords) +
                           " bytes at most.");
    }
    if (homework.comments.size() >= kMostComments) {
        return usage_error("The file holds " + std::to_string(kMostComments) +
                           " comments already, which is all it can.");
    }
    if (comment.take && *comment.take >= takes) {
        return usage_error("There is no take " + std::to_string(*comment.take + 1) +
                           "; the file holds " + std::to_string(takes) + ".");
    }
    if (comment.task && *comment.task >= homework.tasks.size()) {
        return usage_error("There is no task " + std::to_string(*comment.task + 1) +
                           "; the homework has " + std::to_string(homework.tasks.size()) + ".");
    }
    if (comment.take && !(comment.at_s >= 0.0 &&
                          comment.at_s <= homework.returned->takes[*comment.take].duration_s)) {
        return usage_error(
            "The take ends after " +
            std::to_string(static_cast<int>(homework.returned->takes[*comment.take].duration_s)) +
            " seconds: choose a place inside it.");
    }
    homework.comments.push_back(std::move(comment));
    return {};
}

Homework next_after(const Homework& homework) {
    Homework next = homework;
    next.follows = homework.id;
    next.id.clear();
    next.written_on.clear();
    next.due_on.clear();
    next.words.clear();
    next.returned.reset();
    next.comments.clear();
    std::vector<Task> weak;
    for (std::size_t i = 0; i < homework.tasks.size(); ++i) {
        const Attempt* newest = nullptr;
        if (homework.returned) {
            for (const Attempt& attempt : homework.returned->attempts) {
                newest = attempt.task == i ? &attempt : newest;
            }
        }
        const AttemptFigures figures = newest == nullptr ? AttemptFigures{} : figures_of(*newest);
        if (newest == nullptr || 10 * (figures.steps - figures.good) > figures.steps) {
            weak.push_back(homework.tasks[i]);
        }
    }
    if (!weak.empty()) {
        next.tasks = std::move(weak);
    }
    return next;
}

void Draft::change(Homework homework) {
    states_.resize(at_ + 1);
    states_.push_back(std::move(homework));
    if (states_.size() > kMostUndo) {
        states_.erase(states_.begin());
    }
    at_ = states_.size() - 1;
}

Result<void> Draft::check(std::size_t index) const {
    if (index < now().tasks.size()) {
        return {};
    }
    return usage_error("There is no task " + std::to_string(index + 1) + "; the homework has " +
                       std::to_string(now().tasks.size()) + ".");
}

Result<void> Draft::add_task(Task task) {
    if (now().tasks.size() >= kMostTasks) {
        return usage_error("A homework has at most " + std::to_string(kMostTasks) +
                           " tasks: make two of it.");
    }
    Homework next = now();
    next.tasks.push_back(std::move(task));
    change(std::move(next));
    return {};
}

Result<void> Draft::remove_task(std::size_t index) {
    if (auto there = check(index); !there) {
        return there;
    }
    Homework next = now();
    next.tasks.erase(next.tasks.begin() + static_cast<std::ptrdiff_t>(index));
    change(std::move(next));
    return {};
}

Result<void> Draft::move_task(std::size_t from, std::size_t to) {
    for (const std::size_t index : {from, to}) {
        if (auto there = check(index); !there) {
            return there;
        }
    }
    Homework next = now();
    Task task = std::move(next.tasks[from]);
    next.tasks.erase(next.tasks.begin() + static_cast<std::ptrdiff_t>(from));
    next.tasks.insert(next.tasks.begin() + static_cast<std::ptrdiff_t>(to), std::move(task));
    change(std::move(next));
    return {};
}

bool Draft::undo() noexcept {
    return at_ > 0 && (--at_, true);
}

bool Draft::redo() noexcept {
    return at_ + 1 < states_.size() && (++at_, true);
}

} // namespace bellhand::homework

#include "desk/model/lesson_summary.h"

#include "desk/model/lesson_words.h"
#include "words/verdict.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace bellhand::desk {

namespace {

bool same_way(const ToPractise& item, const LessonNote& note) {
    return item.asked.written.number == note.written.number &&
           item.asked.way.hand == note.asked.hand && item.asked.way.hand_to == note.asked.hand_to;
}

double median(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

drill::Step step_of(horn::Note written, double quarters) {
    drill::Step step;
    step.written = written;
    step.quarters = quarters;
    return step;
}

/// Into the note, the note held, and a breath: twice.
drill::Exercise exercise_for(const ToPractise& item) {
    drill::Exercise exercise;
    exercise.title = asked_words(item.asked);
    exercise.purpose = "From the lesson: the note in tune, with the hand that was asked.";
    exercise.family = "after the lesson";
    exercise.quarters_per_minute = 60.0;
    for (int time = 0; time < 2; ++time) {
        if (item.from) {
            exercise.steps.push_back(step_of(*item.from, 2.0));
        }
        drill::Step held = step_of(item.asked.written, item.from ? 4.0 : 6.0);
        held.hand = item.asked.way.hand_to;
        exercise.steps.push_back(held);
        drill::Step rest;
        rest.quarters = 2.0;
        exercise.steps.push_back(rest);
    }
    return exercise;
}

} // namespace

std::vector<ToPractise> what_to_practise(const std::vector<LessonNote>& notes, std::size_t most) {
    constexpr double kFollows_s = 0.5;
    std::vector<ToPractise> items;
    std::vector<std::vector<double>> cents;
    const bool remote = std::any_of(
        notes.begin(), notes.end(), [](const LessonNote& note) { return note.side == Side::call; });
    std::array<const LessonNote*, 2> last{};
    for (const LessonNote& note : notes) {
        const LessonNote* const before = std::exchange(last[place(note.side)], &note);
        // Who hears a call teaches: the student is there. What the teacher marked counts of both.
        const bool students = note.side == Side::call || !remote;
        if (note.asked.partial == 0 || !note.ended || (!students && !note.marked)) {
            continue;
        }
        auto item = std::find_if(items.begin(), items.end(), [&](const ToPractise& each) {
            return same_way(each, note);
        });
        if (item == items.end()) {
            item =
                items.insert(items.end(), ToPractise{{note.written, note.asked}, {}, 0, 0, 0, 0.0});
            cents.emplace_back();
        }
        item->marks += note.marked ? 1 : 0;
        const bool led = before != nullptr && note.start_s - before->end_s() < kFollows_s &&
                         before->written.number != note.written.number;
        if (led && (note.marked || item->marks == 0)) {
            item->from = before->written;
        }
        if (note.pitch_known() && students) {
            ++item->times;
            item->off += std::fabs(note.cents) > note.tolerance_cents ? 1 : 0;
            cents[static_cast<std::size_t>(item - items.begin())].push_back(note.cents);
        }
    }
    for (std::size_t i = 0; i < items.size(); ++i) {
        items[i].median_cents = cents[i].empty() ? 0.0 : median(cents[i]);
    }
    items.erase(std::remove_if(items.begin(),
                               items.end(),
                               [](const ToPractise& item) {
                                   const bool weak = item.off >= 2 && 2 * item.off >= item.times;
                                   return item.marks == 0 && !weak;
                               }),
                items.end());
    std::stable_sort(items.begin(), items.end(), [](const ToPractise& a, const ToPractise& b) {
        return a.marks != b.marks ? a.marks > b.marks : a.off > b.off;
    });
    items.resize(std::min(items.size(), most));
    return items;
}

std::string practise_words(const ToPractise& item) {
    std::string words = asked_words(item.asked) + ":";
    if (item.marks > 0) {
        words += item.marks == 1 ? " marked" : " marked " + std::to_string(item.marks) + " times";
    }
    if (item.times > 0) {
        words += (item.marks > 0 ? ", " : " ") + std::to_string(item.off) + " of " +
                 std::to_string(item.times) + " off, mostly " + words::off_pitch(item.median_cents);
    }
    return words;
}

homework::Homework homework_after(const std::vector<ToPractise>& items,
                                  const horn::Tuning& tuning,
                                  const std::string& today) {
    homework::Homework homework;
    homework.title = "After the lesson of " + today;
    homework.a4_hz = tuning.a4_hz;
    homework.temperament = tuning.temperament.id;
    homework.footing = tuning.footing;
    int number = 0;
    for (const ToPractise& item : items) {
        homework::Task task;
        task.exercise = exercise_for(item);
        task.exercise.id = "after-the-lesson-" + std::to_string(++number);
        task.crook = tuning.crook;
        task.times = 3;
        task.words = practise_words(item);
        homework.tasks.push_back(task);
    }
    return homework;
}

} // namespace bellhand::desk

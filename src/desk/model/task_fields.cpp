// The half of homework_fields.h that is about tasks.
#include "desk/model/homework_fields.h"
#include "desk/model/typed_number.h"
#include "homework/counting.h"
#include "homework/teacher.h"

#include <algorithm>
#include <array>
#include <optional>

namespace bellhand::desk {

namespace {

constexpr std::array kTolerances{0.2, 0.3, 0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 3.0, 5.0};
constexpr double kFastest = 300.0;   // quarter notes a minute, as the file's reader allows
constexpr double kTempoStep = 2.0;   // the same
constexpr double kUsualTempo = 72.0; // where an exercise is free (common practice, no source)
/// Lengths that a time can be stepped to; 0: once through.
constexpr std::array kMinutes{0.0, 1.0, 2.0, 3.0, 5.0, 10.0, 15.0, 20.0, 25.0};
constexpr int kMostTimes = 50;

template <class Choices>
int index_in(const Choices& choices, const auto& value) {
    return static_cast<int>(std::find(choices.begin(), choices.end(), value) - choices.begin());
}

struct Bars {
    int first = 1;
    int last = 1;
    int all = 1;
};

/// The bars that a task fills; empty when its exercise has none.
std::optional<Bars> bars_now(const homework::Task& task) {
    const auto all = homework::bars_in(task.exercise);
    if (!all) {
        return std::nullopt;
    }
    const auto some = homework::bars_of(task);
    return Bars{some ? some->first : 1, some ? some->second : *all, *all};
}

void put_bars(homework::Task& task, Bars bars) {
    bars.first = std::clamp(bars.first, 1, bars.all);
    bars.last = std::clamp(bars.last, bars.first, bars.all);
    task.first_step.reset();
    task.last_step.reset();
    if (bars.first == 1 && bars.last == bars.all) {
        return;
    }
    if (const auto steps = homework::steps_of_bars(task.exercise, bars.first, bars.last)) {
        task.first_step = steps->first;
        task.last_step = steps->second;
    }
}

void step_tempo(homework::Task& task, int step) {
    const double own = task.exercise.quarters_per_minute;
    const double now = task.quarters_per_minute.value_or(own);
    double next = now > 0.0 ? now + step * kTempoStep : (step > 0 ? kUsualTempo : 0.0);
    next = std::clamp(next, 0.0, kFastest);
    task.quarters_per_minute = next == own ? std::nullopt : std::optional(next);
}

/// 0: a time is once through.
void set_minutes(homework::Task& task, double minutes) {
    task.minutes = minutes;
    task.time_is = minutes > 0.0 ? homework::TimeIs::minutes : homework::TimeIs::once_through;
}

} // namespace

const char* name_of(TaskField field) noexcept {
    constexpr std::array kNames{"from bar",
                                "to bar",
                                "crook",
                                "tempo",
                                "tolerance",
                                "in a row",
                                "a time is",
                                "how often",
                                "words"};
    static_assert(kNames.size() == static_cast<std::size_t>(TaskField::count));
    return kNames[static_cast<std::size_t>(field)];
}

std::string text_of(const homework::Task& task, TaskField field) {
    switch (field) {
    case TaskField::first_bar:
    case TaskField::last_bar: {
        const auto bars = homework::bars_of(task);
        return !bars                          ? std::string()
               : field == TaskField::last_bar ? std::to_string(bars->second)
                                              : std::to_string(bars->first);
    }
    case TaskField::crook:
        return task.crook ? task.crook->id : "";
    case TaskField::tempo:
        return task.quarters_per_minute ? number_text(*task.quarters_per_minute) : "";
    case TaskField::tolerance:
        return task.tolerance_factor == 1.0 ? "" : number_text(task.tolerance_factor);
    case TaskField::repetitions:
        return task.repetitions ? std::to_string(*task.repetitions) : "";
    case TaskField::time:
        return task.time_is == homework::TimeIs::minutes ? number_text(task.minutes) : "";
    case TaskField::times:
        return std::to_string(task.times);
    default:
        return task.words;
    }
}

bool left_open(const homework::Task& task, TaskField field) {
    return text_of(task, field).empty();
}

std::string value_words(const homework::Task& task, TaskField field) {
    const auto bars = bars_now(task);
    switch (field) {
    case TaskField::first_bar:
        return bars ? std::to_string(bars->first) : "it has no bars";
    case TaskField::last_bar:
        return bars ? std::to_string(bars->last) + " of " + std::to_string(bars->all) : "all of it";
    case TaskField::crook:
        return task.crook ? std::string("in ") + task.crook->label
                          : "the exercise's, or the student's choice";
    case TaskField::tempo: {
        const double tempo = task.quarters_per_minute.value_or(task.exercise.quarters_per_minute);
        return (tempo > 0.0 ? number_text(tempo) + " quarters a minute" : "free") +
               (task.quarters_per_minute ? "" : ", the exercise's own");
    }
    case TaskField::tolerance:
        return task.tolerance_factor == 1.0
                   ? "as usual"
                   : number_text(task.tolerance_factor) + " times the usual";
    case TaskField::repetitions:
        return task.repetitions ? std::to_string(*task.repetitions) + " times in one block"
                                : "as many as a block holds";
    case TaskField::time:
        return task.time_is == homework::TimeIs::once_through ? "once through all its notes"
               : task.time_is == homework::TimeIs::block
                   ? "a block of practice, as older files count"
                   : number_text(task.minutes) + (task.minutes == 1.0 ? " minute" : " minutes");
    case TaskField::times:
        return homework::times_words(task);
    default:
        return task.words.empty() ? "none" : task.words;
    }
}

bool is_written(TaskField field) noexcept {
    return field != TaskField::crook;
}

Result<void> put_text(homework::Task& task, TaskField field, const std::string& text) {
    switch (field) {
    case TaskField::first_bar:
    case TaskField::last_bar: {
        auto bars = bars_now(task);
        if (!bars) {
            return usage_error("\"" + task.exercise.title + "\" has no bars: it is given whole.");
        }
        const bool first = field == TaskField::first_bar;
        const auto bar =
            text.empty() ? std::optional(first ? 1 : bars->all) : whole_in(text, 1, bars->all);
        if (!bar) {
            return usage_error("\"" + text + "\" is not one of its bars, 1 to " +
                               std::to_string(bars->all) + ".");
        }
        (first ? bars->first : bars->last) = *bar;
        if (!first) {
            bars->first = std::min(bars->first, bars->last);
        }
        put_bars(task, *bars);
        break;
    }
    case TaskField::tempo: {
        const auto tempo = number_in(text);
        if (!text.empty() && !(tempo && *tempo >= 0.0 && *tempo <= kFastest)) {
            return usage_error(
                "\"" + text +
                "\" is not a tempo: write quarter notes a minute up to 300, 0 for free.");
        }
        task.quarters_per_minute = tempo;
        break;
    }
    case TaskField::tolerance: {
        const auto factor = text.empty() ? std::optional(1.0) : number_in(text);
        if (!(factor && *factor >= kTolerances.front() && *factor <= kTolerances.back())) {
            return usage_error(
                "\"" + text +
                "\" is not a factor: write how many times the usual tolerance, 0.2 to 5.");
        }
        task.tolerance_factor = *factor;
        break;
    }
    case TaskField::time: {
        const auto minutes = number_in(text);
        if (!text.empty() && !(minutes && *minutes >= kMinutes[1] && *minutes <= kMinutes.back())) {
            return usage_error("\"" + text +
                               "\" are no minutes: write 1 to 25, or nothing for once through.");
        }
        set_minutes(task, minutes.value_or(0.0));
        break;
    }
    case TaskField::repetitions:
    case TaskField::times: {
        const auto number = whole_in(text, 1, kMostTimes);
        if (!text.empty() && !number) {
            return usage_error("\"" + text + "\" is not a number from 1 to 50.");
        }
        if (field == TaskField::repetitions) {
            task.repetitions = number;
        } else {
            task.times = number.value_or(1);
        }
        break;
    }
    case TaskField::words:
        if (text.size() > homework::kLongestWords) {
            return usage_error("That is too long: at most " +
                               std::to_string(homework::kLongestWords) + " bytes fit; shorten it.");
        }
        task.words = text;
        break;
    default:
        break;
    }
    return {};
}

bool is_stepped(TaskField field) noexcept {
    return field != TaskField::words;
}

void step_field(homework::Task& task, TaskField field, int step) {
    switch (field) {
    case TaskField::first_bar:
    case TaskField::last_bar:
        if (auto bars = bars_now(task)) {
            if (field == TaskField::first_bar) {
                bars->first = std::min(bars->first + step, bars->last);
            } else {
                bars->last += step;
            }
            put_bars(task, *bars);
        }
        break;
    case TaskField::crook: {
        // One round: any, then each.
        const auto all = horn::all_crooks();
        const auto count = static_cast<int>(all.size()) + 1;
        const int here = task.crook ? index_in(all, *task.crook) + 1 : 0;
        const int next = (here + step + count) % count;
        task.crook =
            next == 0 ? std::nullopt : std::optional(all[static_cast<std::size_t>(next - 1)]);
        break;
    }
    case TaskField::tempo:
        step_tempo(task, step);
        break;
    case TaskField::tolerance: {
        const auto above =
            std::upper_bound(kTolerances.begin(), kTolerances.end(), task.tolerance_factor + 1e-9);
        const auto at =
            std::lower_bound(kTolerances.begin(), kTolerances.end(), task.tolerance_factor - 1e-9);
        if (step > 0 && above != kTolerances.end()) {
            task.tolerance_factor = *above;
        } else if (step < 0 && at != kTolerances.begin()) {
            task.tolerance_factor = *(at - 1);
        }
        break;
    }
    case TaskField::repetitions: {
        const int next = std::clamp(task.repetitions.value_or(0) + step, 0, kMostTimes);
        task.repetitions = next == 0 ? std::nullopt : std::optional(next);
        break;
    }
    case TaskField::time: {
        const auto above = std::upper_bound(kMinutes.begin(), kMinutes.end(), task.minutes + 1e-9);
        const auto at = std::lower_bound(kMinutes.begin(), kMinutes.end(), task.minutes - 1e-9);
        if (step > 0 && above != kMinutes.end()) {
            set_minutes(task, *above);
        } else if (step < 0) {
            set_minutes(task, at == kMinutes.begin() ? 0.0 : *(at - 1));
        }
        break;
    }
    case TaskField::times:
        task.times = std::clamp(task.times + step, 1, kMostTimes);
        break;
    default:
        break;
    }
}

} // namespace bellhand::desk

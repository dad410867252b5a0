// The half of homework_fields.h that is about parts.
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

/// The bars that a part fills; empty when its exercise has none.
std::optional<Bars> bars_now(const homework::Part& part) {
    const auto all = homework::bars_in(part.exercise);
    if (!all) {
        return std::nullopt;
    }
    const auto some = homework::bars_of(part);
    return Bars{some ? some->first : 1, some ? some->second : *all, *all};
}

void put_bars(homework::Part& part, Bars bars) {
    bars.first = std::clamp(bars.first, 1, bars.all);
    bars.last = std::clamp(bars.last, bars.first, bars.all);
    part.first_step.reset();
    part.last_step.reset();
    if (bars.first == 1 && bars.last == bars.all) {
        return;
    }
    if (const auto steps = homework::steps_of_bars(part.exercise, bars.first, bars.last)) {
        part.first_step = steps->first;
        part.last_step = steps->second;
    }
}

void step_tempo(homework::Part& part, int step) {
    const double own = part.exercise.quarters_per_minute;
    const double now = part.quarters_per_minute.value_or(own);
    double next = now > 0.0 ? now + step * kTempoStep : (step > 0 ? kUsualTempo : 0.0);
    next = std::clamp(next, 0.0, kFastest);
    part.quarters_per_minute = next == own ? std::nullopt : std::optional(next);
}

/// 0: a time is once through.
void set_minutes(homework::Part& part, double minutes) {
    part.minutes = minutes;
    part.time_is = minutes > 0.0 ? homework::TimeIs::minutes : homework::TimeIs::once_through;
}

} // namespace

const char* name_of(PartField field) noexcept {
    constexpr std::array kNames{"from bar",
                                "to bar",
                                "crook",
                                "tempo",
                                "tolerance",
                                "in a row",
                                "a time is",
                                "how often",
                                "words"};
    static_assert(kNames.size() == static_cast<std::size_t>(PartField::count));
    return kNames[static_cast<std::size_t>(field)];
}

std::string text_of(const homework::Part& part, PartField field) {
    switch (field) {
    case PartField::first_bar:
    case PartField::last_bar: {
        const auto bars = homework::bars_of(part);
        return !bars                          ? std::string()
               : field == PartField::last_bar ? std::to_string(bars->second)
                                              : std::to_string(bars->first);
    }
    case PartField::crook:
        return part.crook ? part.crook->id : "";
    case PartField::tempo:
        return part.quarters_per_minute ? number_text(*part.quarters_per_minute) : "";
    case PartField::tolerance:
        return part.tolerance_factor == 1.0 ? "" : number_text(part.tolerance_factor);
    case PartField::repetitions:
        return part.repetitions ? std::to_string(*part.repetitions) : "";
    case PartField::time:
        return part.time_is == homework::TimeIs::minutes ? number_text(part.minutes) : "";
    case PartField::times:
        return std::to_string(part.times);
    default:
        return part.words;
    }
}

bool left_open(const homework::Part& part, PartField field) {
    return text_of(part, field).empty();
}

std::string value_words(const homework::Part& part, PartField field) {
    const auto bars = bars_now(part);
    switch (field) {
    case PartField::first_bar:
        return bars ? std::to_string(bars->first) : "it has no bars";
    case PartField::last_bar:
        return bars ? std::to_string(bars->last) + " of " + std::to_string(bars->all) : "all of it";
    case PartField::crook:
        return part.crook ? std::string("in ") + part.crook->label
                          : "the exercise's, or the student's choice";
    case PartField::tempo: {
        const double tempo = part.quarters_per_minute.value_or(part.exercise.quarters_per_minute);
        return (tempo > 0.0 ? number_text(tempo) + " quarters a minute" : "free") +
               (part.quarters_per_minute ? "" : ", the exercise's own");
    }
    case PartField::tolerance:
        return part.tolerance_factor == 1.0
                   ? "as usual"
                   : number_text(part.tolerance_factor) + " times the usual";
    case PartField::repetitions:
        return part.repetitions ? std::to_string(*part.repetitions) + " times in one block"
                                : "as many as a block holds";
    case PartField::time:
        return part.time_is == homework::TimeIs::once_through ? "once through all its notes"
               : part.time_is == homework::TimeIs::block
                   ? "a block of practice, as older files count"
                   : number_text(part.minutes) + (part.minutes == 1.0 ? " minute" : " minutes");
    case PartField::times:
        return homework::times_words(part);
    default:
        return part.words.empty() ? "none" : part.words;
    }
}

bool is_written(PartField field) noexcept {
    return field != PartField::crook;
}

Result<void> put_text(homework::Part& part, PartField field, const std::string& text) {
    switch (field) {
    case PartField::first_bar:
    case PartField::last_bar: {
        auto bars = bars_now(part);
        if (!bars) {
            return usage_error("\"" + part.exercise.title + "\" has no bars: it is given whole.");
        }
        const bool first = field == PartField::first_bar;
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
        put_bars(part, *bars);
        break;
    }
    case PartField::tempo: {
        const auto tempo = number_in(text);
        if (!text.empty() && !(tempo && *tempo >= 0.0 && *tempo <= kFastest)) {
            return usage_error(
                "\"" + text +
                "\" is not a tempo: write quarter notes a minute up to 300, 0 for free.");
        }
        part.quarters_per_minute = tempo;
        break;
    }
    case PartField::tolerance: {
        const auto factor = text.empty() ? std::optional(1.0) : number_in(text);
        if (!(factor && *factor >= kTolerances.front() && *factor <= kTolerances.back())) {
            return usage_error(
                "\"" + text +
                "\" is not a factor: write how many times the usual tolerance, 0.2 to 5.");
        }
        part.tolerance_factor = *factor;
        break;
    }
    case PartField::time: {
        const auto minutes = number_in(text);
        if (!text.empty() && !(minutes && *minutes >= kMinutes[1] && *minutes <= kMinutes.back())) {
            return usage_error("\"" + text +
                               "\" are no minutes: write 1 to 25, or nothing for once through.");
        }
        set_minutes(part, minutes.value_or(0.0));
        break;
    }
    case PartField::repetitions:
    case PartField::times: {
        const auto number = whole_in(text, 1, kMostTimes);
        if (!text.empty() && !number) {
            return usage_error("\"" + text + "\" is not a number from 1 to 50.");
        }
        if (field == PartField::repetitions) {
            part.repetitions = number;
        } else {
            part.times = number.value_or(1);
        }
        break;
    }
    case PartField::words:
        if (text.size() > homework::kLongestWords) {
            return usage_error("That is too long: at most " +
                               std::to_string(homework::kLongestWords) + " bytes fit; shorten it.");
        }
        part.words = text;
        break;
    default:
        break;
    }
    return {};
}

bool is_stepped(PartField field) noexcept {
    return field != PartField::words;
}

void step_field(homework::Part& part, PartField field, int step) {
    switch (field) {
    case PartField::first_bar:
    case PartField::last_bar:
        if (auto bars = bars_now(part)) {
            if (field == PartField::first_bar) {
                bars->first = std::min(bars->first + step, bars->last);
            } else {
                bars->last += step;
            }
            put_bars(part, *bars);
        }
        break;
    case PartField::crook: {
        // One round: any, then each.
        const auto all = horn::all_crooks();
        const auto count = static_cast<int>(all.size()) + 1;
        const int here = part.crook ? index_in(all, *part.crook) + 1 : 0;
        const int next = (here + step + count) % count;
        part.crook =
            next == 0 ? std::nullopt : std::optional(all[static_cast<std::size_t>(next - 1)]);
        break;
    }
    case PartField::tempo:
        step_tempo(part, step);
        break;
    case PartField::tolerance: {
        const auto above =
            std::upper_bound(kTolerances.begin(), kTolerances.end(), part.tolerance_factor + 1e-9);
        const auto at =
            std::lower_bound(kTolerances.begin(), kTolerances.end(), part.tolerance_factor - 1e-9);
        if (step > 0 && above != kTolerances.end()) {
            part.tolerance_factor = *above;
        } else if (step < 0 && at != kTolerances.begin()) {
            part.tolerance_factor = *(at - 1);
        }
        break;
    }
    case PartField::repetitions: {
        const int next = std::clamp(part.repetitions.value_or(0) + step, 0, kMostTimes);
        part.repetitions = next == 0 ? std::nullopt : std::optional(next);
        break;
    }
    case PartField::time: {
        const auto above = std::upper_bound(kMinutes.begin(), kMinutes.end(), part.minutes + 1e-9);
        const auto at = std::lower_bound(kMinutes.begin(), kMinutes.end(), part.minutes - 1e-9);
        if (step > 0 && above != kMinutes.end()) {
            set_minutes(part, *above);
        } else if (step < 0) {
            set_minutes(part, at == kMinutes.begin() ? 0.0 : *(at - 1));
        }
        break;
    }
    case PartField::times:
        part.times = std::clamp(part.times + step, 1, kMostTimes);
        break;
    default:
        break;
    }
}

} // namespace bellhand::desk

#include "gui/model/homework_fields.h"

#include "gui/model/phrases.h"
#include "homework/teacher.h"
#include "horn/temperament.h"
#include "progress/calendar.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <optional>

namespace bellhand::gui {

namespace {

constexpr std::array kTolerances{0.2, 0.3, 0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 3.0, 5.0};
constexpr double kFastest = 300.0;   // quarter notes a minute, as the file's reader allows
constexpr double kTempoStep = 2.0;   // the same
constexpr double kUsualTempo = 72.0; // where an exercise is free (common practice, no source)
constexpr int kMostTimes = 50;
constexpr int kUsualDays = 7; // from lesson to lesson (common practice, no source)
constexpr std::size_t kLongestName = 200;

std::string number_text(double number) {
    char text[32];
    std::snprintf(text, sizeof text, "%g", number);
    return text;
}

/// The whole text as a number; a comma is as good as a point.
std::optional<double> number_in(std::string text) {
    std::replace(text.begin(), text.end(), ',', '.');
    double number = 0.0;
    const char* const end = text.data() + text.size();
    const auto read = std::from_chars(text.data(), end, number);
    return read.ec == std::errc() && read.ptr == end && std::isfinite(number)
               ? std::optional(number)
               : std::nullopt;
}

std::optional<int> whole_in(const std::string& text, int least, int most) {
    const auto number = number_in(text);
    return number && *number == std::floor(*number) && *number >= least && *number <= most
               ? std::optional(static_cast<int>(*number))
               : std::nullopt;
}

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

void step_due(homework::Homework& homework, int step, const std::string& today) {
    const auto now = progress::parse_day(homework.due_on.empty() ? today : homework.due_on);
    const auto first = progress::parse_day(today);
    if (!now || !first) {
        return;
    }
    if (homework.due_on.empty()) {
        homework.due_on = step > 0 ? progress::iso_day(*now + kUsualDays) : "";
    } else {
        homework.due_on = *now + step < *first ? "" : progress::iso_day(*now + step);
    }
}

} // namespace

const char* name_of(HeadField field) noexcept {
    constexpr std::array kNames{
        "title", "teacher", "student", "due", "words", "pitch", "temperament"};
    static_assert(kNames.size() == static_cast<std::size_t>(HeadField::count));
    return kNames[static_cast<std::size_t>(field)];
}

const char* name_of(PartField field) noexcept {
    constexpr std::array kNames{
        "from bar", "to bar", "crook", "tempo", "tolerance", "repetitions", "how often", "words"};
    static_assert(kNames.size() == static_cast<std::size_t>(PartField::count));
    return kNames[static_cast<std::size_t>(field)];
}

std::string text_of(const homework::Homework& homework, HeadField field) {
    switch (field) {
    case HeadField::title:
        return homework.title;
    case HeadField::teacher:
        return homework.teacher;
    case HeadField::student:
        return homework.student;
    case HeadField::due:
        return homework.due_on;
    case HeadField::words:
        return homework.words;
    case HeadField::pitch:
        return hertz_text(homework.a4_hz);
    default:
        return homework.temperament;
    }
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
    case PartField::times:
        return std::to_string(part.times);
    default:
        return part.words;
    }
}

bool left_open(const homework::Homework& homework, HeadField field) {
    return text_of(homework, field).empty();
}

bool left_open(const homework::Part& part, PartField field) {
    return text_of(part, field).empty();
}

std::string value_words(const homework::Homework& homework, HeadField field) {
    switch (field) {
    case HeadField::due:
        if (const auto day = progress::parse_day(homework.due_on);
            !homework.due_on.empty() && day) {
            return progress::long_day_name(*day);
        }
        return "no day";
    case HeadField::pitch:
        return "A = " + hertz_text(homework.a4_hz);
    case HeadField::temperament: {
        const auto temperament = horn::parse_temperament(homework.temperament);
        return temperament ? temperament->label : homework.temperament;
    }
    default:
        break;
    }
    const std::string text = text_of(homework, field);
    return text.empty() ? "none" : text;
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
        return part.repetitions ? std::to_string(*part.repetitions) + " each time"
                                : "as many as fill a block";
    case PartField::times:
        return part.times == 1 ? "once" : std::to_string(part.times) + " times";
    default:
        return part.words.empty() ? "none" : part.words;
    }
}

bool is_written(HeadField field) noexcept {
    return field != HeadField::temperament;
}

bool is_written(PartField field) noexcept {
    return field != PartField::crook;
}

Result<void> put_text(homework::Homework& homework, HeadField field, const std::string& text) {
    const std::size_t longest = field == HeadField::words ? homework::kLongestWords : kLongestName;
    if (text.size() > longest) {
        return usage_error("That is too long: at most " + std::to_string(longest) +
                           " bytes fit; shorten it.");
    }
    switch (field) {
    case HeadField::title:
        homework.title = text;
        break;
    case HeadField::teacher:
        homework.teacher = text;
        break;
    case HeadField::student:
        homework.student = text;
        break;
    case HeadField::due:
        if (!text.empty() && !homework::is_date(text)) {
            return usage_error("\"" + text +
                               "\" is no day: write year, month and day, such as 2026-03-08.");
        }
        homework.due_on = text;
        break;
    case HeadField::words:
        homework.words = text;
        break;
    case HeadField::pitch: {
        const auto a4_hz = horn::checked_a4(number_in(text).value_or(0.0));
        if (!a4_hz) {
            return tl::unexpected(a4_hz.error());
        }
        homework.a4_hz = *a4_hz;
        break;
    }
    default:
        break;
    }
    return {};
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
            return usage_error("\"" + text + "\" is no bar of it: it has the bars 1 to " +
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
                "\" is no tempo: write quarter notes a minute up to 300, 0 for free.");
        }
        part.quarters_per_minute = tempo;
        break;
    }
    case PartField::tolerance: {
        const auto factor = text.empty() ? std::optional(1.0) : number_in(text);
        if (!(factor && *factor >= kTolerances.front() && *factor <= kTolerances.back())) {
            return usage_error(
                "\"" + text +
                "\" is no factor: write how many times the usual tolerance, 0.2 to 5.");
        }
        part.tolerance_factor = *factor;
        break;
    }
    case PartField::repetitions:
    case PartField::times: {
        const auto number = whole_in(text, 1, kMostTimes);
        if (!text.empty() && !number) {
            return usage_error("\"" + text + "\" is no number from 1 to 50.");
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

void step_field(homework::Homework& homework, HeadField field, int step, const std::string& today) {
    switch (field) {
    case HeadField::due:
        step_due(homework, step, today);
        break;
    case HeadField::pitch:
        homework.a4_hz =
            std::clamp(std::round(homework.a4_hz) + step, horn::kLowestA4Hz, horn::kHighestA4Hz);
        break;
    case HeadField::temperament: {
        const auto all = horn::all_temperaments();
        const auto count = static_cast<int>(all.size());
        const auto here = std::find_if(all.begin(), all.end(), [&](const horn::Temperament& each) {
            return each.id == homework.temperament;
        });
        const int next = (static_cast<int>(here - all.begin()) + step + count) % count;
        homework.temperament = all[static_cast<std::size_t>(next)].id;
        break;
    }
    default:
        break;
    }
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
    case PartField::times:
        part.times = std::clamp(part.times + step, 1, kMostTimes);
        break;
    default:
        break;
    }
}

} // namespace bellhand::gui

#include "desk/model/homework_fields.h"

#include "core/calendar.h"
#include "desk/model/phrases.h"
#include "desk/model/typed_number.h"
#include "horn/temperament.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace bellhand::desk {

namespace {

constexpr int kUsualDays = 7; // from lesson to lesson (common practice, no source)
constexpr std::size_t kLongestName = 200;

void step_due(homework::Homework& homework, int step, const std::string& today) {
    const auto now = calendar::parse_day(homework.due_on.empty() ? today : homework.due_on);
    const auto first = calendar::parse_day(today);
    if (!now || !first) {
        return;
    }
    if (homework.due_on.empty()) {
        homework.due_on = step > 0 ? calendar::iso_day(*now + kUsualDays) : "";
    } else {
        homework.due_on = *now + step < *first ? "" : calendar::iso_day(*now + step);
    }
}

} // namespace

const char* name_of(HeadField field) noexcept {
    constexpr std::array kNames{
        "title", "teacher", "student", "due", "words", "pitch", "temperament"};
    static_assert(kNames.size() == static_cast<std::size_t>(HeadField::count));
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

bool left_open(const homework::Homework& homework, HeadField field) {
    return text_of(homework, field).empty();
}

std::string value_words(const homework::Homework& homework, HeadField field) {
    switch (field) {
    case HeadField::due:
        if (const auto day = calendar::parse_day(homework.due_on);
            !homework.due_on.empty() && day) {
            return calendar::long_day_name(*day);
        }
        return "no date";
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

bool is_written(HeadField field) noexcept {
    return field != HeadField::temperament;
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
        if (!text.empty() && !calendar::day_in(text)) {
            return usage_error("\"" + text +
                               "\" is not a date: write year, month and day, such as 2026-03-08.");
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

bool is_stepped(HeadField field) noexcept {
    return field == HeadField::due || field == HeadField::pitch || field == HeadField::temperament;
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

} // namespace bellhand::desk

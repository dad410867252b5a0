#pragma once

#include "core/result.h"
#include "homework/homework.h"

#include <string>

namespace bellhand::desk {

// What of a homework and its tasks can be written or stepped while it is composed. Pure functions.

enum class HeadField { title, teacher, student, due, words, pitch, temperament, count };
enum class TaskField {
    first_bar,
    last_bar,
    crook,
    tempo,
    tolerance,
    repetitions,
    time,
    times,
    words,
    count
};

[[nodiscard]] const char* name_of(HeadField field) noexcept;
[[nodiscard]] const char* name_of(TaskField field) noexcept;

/// As it is shown: "A = 430", "Thu 3 Dec 2026", "free tempo"; of what is left open what that means.
[[nodiscard]] std::string value_words(const homework::Homework& homework, HeadField field);
[[nodiscard]] std::string value_words(const homework::Task& task, TaskField field);
/// Nothing was written there: the words say what that means, in soft ink.
[[nodiscard]] bool left_open(const homework::Homework& homework, HeadField field);
[[nodiscard]] bool left_open(const homework::Task& task, TaskField field);

/// As it is written; empty where it is left open.
[[nodiscard]] std::string text_of(const homework::Homework& homework, HeadField field);
[[nodiscard]] std::string text_of(const homework::Task& task, TaskField field);
/// False: it is only stepped.
[[nodiscard]] bool is_written(HeadField field) noexcept;
[[nodiscard]] bool is_written(TaskField field) noexcept;
/// Errors (usage): no such day, number, bar.
[[nodiscard]] Result<void>
put_text(homework::Homework& homework, HeadField field, const std::string& text);
[[nodiscard]] Result<void> put_text(homework::Task& task, TaskField field, const std::string& text);

/// False: it is only written.
[[nodiscard]] bool is_stepped(HeadField field) noexcept;
[[nodiscard]] bool is_stepped(TaskField field) noexcept;
/// One step up (1) or down (-1); what cannot be stepped stays. `today`: ISO date, for the due date.
void step_field(homework::Homework& homework, HeadField field, int step, const std::string& today);
void step_field(homework::Task& task, TaskField field, int step);

} // namespace bellhand::desk

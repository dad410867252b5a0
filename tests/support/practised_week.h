#pragma once

#include "logbook/logbook.h"

#include <cstdint>

namespace bellhand::test {

/// The Sunday that the invented week ends on, 2026-03-01.
inline constexpr std::int64_t kPractisedSunday = 20513;

/// Fills a log with an invented week of a student: four days, two crooks, exercises judged with two faults put in (B4
/// half-stopped flat, D5 late), a take with the teacher's comment, a session in the bin. `words`: put into every free
/// text.
void practise_a_week(logbook::Logbook& log, const std::string& words = "");

} // namespace bellhand::test

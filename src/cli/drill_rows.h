#pragma once

#include "cli/commands.h"
#include "drill/exercise.h"
#include "drill/judgement.h"
#include "practice/judge_recording.h"

#include <string>
#include <vector>

namespace bellhand::cli {

/// The columns of `bellhand drill --list`: name, title, family, notes, tempo, playable (yes, or why not on this crook).
[[nodiscard]] std::vector<Column> exercise_columns();
[[nodiscard]] std::vector<std::string> exercise_row(const drill::Exercise& exercise,
                                                    const horn::Crook& crook);

/// The columns of `bellhand drill --show`: step, note, played, quarters, hand, partial, target_hz, marks.
[[nodiscard]] std::vector<Column> step_columns();
[[nodiscard]] std::vector<std::vector<std::string>> step_rows(const drill::Exercise& exercise,
                                                              const horn::Tuning& tuning);

/// The columns of `bellhand drill NAME --input FILE`: step (from 1), pass (from 1), crook, asked, hand, heard, start_s,
/// held_cents, attack_cents, tolerance_cents, timing_ms, level_db, verdict ("good", "extra", or the faults). The names
/// are a contract; cells of what was not judged are empty.
[[nodiscard]] std::vector<Column> judgement_columns();
[[nodiscard]] std::vector<std::string> judgement_row(const drill::Exercise& exercise,
                                                     const drill::Judgement& judgement,
                                                     const horn::Tuning& tuning);

/// "12 of 16 notes right; 2 flat, 1 another partial, 1 not played." and, where the same written note went wrong more
/// than once, which.
[[nodiscard]] std::string summary_of(const drill::Exercise& exercise,
                                     const practice::JudgedRecording& judged);

} // namespace bellhand::cli

#pragma once

#include "practice/practice.h"
#include "run/run.h"

#include <string>
#include <vector>

namespace bellhand::terminal {

/// What the run's screen in a terminal shows besides the run.
struct RunScreenFacts {
    horn::Tuning tuning;
    audio::SourceStatus source;
    practice::LogStatus log;
    std::string player; ///< what is to be known of who plays, one sentence; empty: nothing
};

/// The screen as lines, never more than `columns` x `rows`. `utf8` false: ASCII only.
[[nodiscard]] std::string
run_screen(const run::State& state, const RunScreenFacts& facts, int columns, int rows, bool utf8);

/// The text as it is, or with letters for the signs that ASCII does not have.
[[nodiscard]] std::string plain_text(const std::string& text, bool utf8);

} // namespace bellhand::terminal

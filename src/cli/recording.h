#pragma once

#include "audio/source.h"
#include "cli/answer.h"
#include "cli/commands.h"
#include "practice/analysis.h"

#include <memory>
#include <optional>
#include <string>

namespace bellhand::cli {

/// The options of commands that explain a recording, as they were typed.
struct RecordingOptions {
    std::string file;
    TuningOptions tuning;
    std::optional<std::string> profile;
    int channel = 0;
};
void add_recording_options(const OptionSet& parser, RecordingOptions& options);

/// A recording ready to be heard.
struct Recording {
    horn::Tuning tuning;
    std::optional<practice::OwnHand> own; ///< this player's hand, when a profile was named
    std::unique_ptr<audio::Source> source;
};

/// The question of a command about a recording: tuning, profile and file.
[[nodiscard]] Question question_of(const RecordingOptions& options, const Recording& recording);

/// What the options name. Errors: as of `resolve_tuning` and `own_hand`; the file cannot be opened.
[[nodiscard]] Result<Recording> open_recording(const RecordingOptions& options);

/// Hears all of it. Errors: as of `practice::analyse`.
[[nodiscard]] Result<void> analyse(Recording& recording, practice::AnalysisSink& sink);

} // namespace bellhand::cli

#pragma once

#include "audio/source.h"
#include "cli/answer.h"
#include "cli/commands.h"
#include "practice/analysis.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

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

/// What the notes of a recording say of the horn that was named.
struct HornHeard {
    hand::HornFit fit;   ///< of the last notes
    bool proven = false; ///< for a while at least, that horn sounded
    void take(const hand::HornFit& latest) noexcept {
        fit = latest;
        proven = proven || latest.verdict == hand::HornVerdict::fits;
    }
    /// What was heard of hand and lips rests on a horn that perhaps never sounded.
    [[nodiscard]] bool doubted() const noexcept { return fit.doubted() && !proven; }
};

/// Hears all of it. Errors: as of `practice::analyse`.
[[nodiscard]] Result<HornHeard> analyse(Recording& recording, practice::AnalysisSink& sink);

/// Says on standard error, in one remark, when another horn fits the notes better or the whole horn is off.
void tell_horn(const HornHeard& heard, const horn::Tuning& tuning);

/// Takes back advice on notes that were judged before it was known that the horn is in doubt.
void take_back_advice(std::vector<trainer::PlayedNote>& notes);

} // namespace bellhand::cli

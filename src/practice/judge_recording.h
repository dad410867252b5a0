#pragma once

#include "drill/runner.h"
#include "practice/analysis.h"

#include <optional>
#include <vector>

namespace bellhand::practice {

/// An exercise as it was played in a recording.
struct JudgedRecording {
    std::vector<drill::Judgement> judgements; ///< in the order in which they were made
    std::vector<horn::Tuning> tunings;        ///< of each judgement's crook
    std::vector<drill::Remark> remarks;       ///< on the playing as a whole
    std::vector<hand::HornFit> horns;         ///< after each note that was heard, judged or not
    drill::Where end;                         ///< where the player had got to
};

/// Runs a whole source through ear and runner on the calling thread, as fast as the source delivers; what is heard and
/// judged is the same as live. `own`: this player's hand instead of the modelled one, on the crook of the settings.
/// Errors: the exercise cannot be run, the source cannot start or fails.
[[nodiscard]] Result<JudgedRecording>
judge_recording(audio::Source& source,
                const drill::Exercise& exercise,
                const drill::RunSettings& settings,
                const std::optional<OwnHand>& own = std::nullopt);

} // namespace bellhand::practice

#pragma once

#include "audio/source.h"
#include "core/result.h"
#include "horn/tuning.h"
#include "instrument/calibration/calibration.h"
#include "instrument/calibration/calibration_closing.h"

#include <functional>
#include <optional>
#include <vector>

namespace bellhand::app {

/// What a calibration needs of a recording.
struct Heard {
    std::vector<instrument::PlayedPitch> notes;      ///< held at least 0.6 s and steady
    std::vector<double> note_starts_s;               ///< of each
    std::vector<instrument::ClosingSample> readings; ///< judged pitch, hop by hop
    double ends_s = 0.0;
};

/// Listens to a whole source, or to its first `most_s` seconds, or until `enough` of it is heard, on the calling thread. `tuning` steers only between
/// octaves and the like. Errors: the source cannot start, fails, or
/// brings no sound for ten seconds.
[[nodiscard]] Result<Heard> hear(audio::Source& source,
                                 const horn::Tuning& tuning,
                                 std::optional<double> most_s = std::nullopt,
                                 const std::function<bool(const Heard&)>& enough = {});

/// Readings cut at silences of 0.4 s and more; pieces under a second are left out.
[[nodiscard]] std::vector<std::vector<instrument::ClosingSample>>
breaths(const std::vector<instrument::ClosingSample>& readings);

/// The open partial on which a closing begins: nearest to the first third of a second.
[[nodiscard]] int first_partial(const std::vector<instrument::ClosingSample>& breath, double f1_hz);

} // namespace bellhand::app

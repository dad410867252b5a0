#pragma once

#include "audio/synth.h"

#include <mutex>
#include <optional>
#include <utility>

namespace bellhand::audio {

/// What the synthetic player plays from: a score that is laid on it is played from its beginning, in place of the one
/// before. Any threads, none of them a device's.
class MusicStand {
public:
    explicit MusicStand(SynthScore score = {}) : score_(std::move(score)) {}

    void lay(SynthScore score) {
        const std::lock_guard<std::mutex> lock(mutex_);
        score_ = std::move(score);
    }
    /// The newest score, unless the player has it already.
    [[nodiscard]] std::optional<SynthScore> take() {
        const std::lock_guard<std::mutex> lock(mutex_);
        return std::exchange(score_, std::nullopt);
    }

private:
    std::mutex mutex_;
    std::optional<SynthScore> score_;
};

} // namespace bellhand::audio

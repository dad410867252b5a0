#pragma once

#include "audio/music_stand.h"
#include "audio/paced_source.h"
#include "audio/synth_player.h"

#include <memory>
#include <optional>
#include <span>

namespace bellhand::audio {

/// Samples of the synthetic player, from whatever lies on its stand; a score that `check_score` refuses is silence, and
/// one that does not repeat ends the feed.
class SynthFeed final : public SampleFeed {
public:
    SynthFeed(std::shared_ptr<MusicStand> stand, double sample_rate_hz);

    /// Never an error.
    Result<std::size_t> read(std::span<float> out) override;

private:
    /// One player with what is not used yet of its step.
    struct Voice {
        SynthPlayer player;
        SynthPlayer::Step step{};
        std::size_t used = 0;

        Voice(SynthScore score, double sample_rate_hz) : player(std::move(score), sample_rate_hz) {}
        [[nodiscard]] std::size_t read(std::span<float> out) noexcept;
    };

    void turn_page();
    void fade_out(std::span<float> out) noexcept;

    std::shared_ptr<MusicStand> stand_;
    double rate_hz_;
    std::optional<Voice> voice_;
    std::optional<Voice> fading_; ///< what was played when the page was turned
    std::size_t fade_left_ = 0;   ///< samples
};

} // namespace bellhand::audio

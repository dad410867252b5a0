#include "audio/synth_feed.h"

#include <algorithm>
#include <array>
#include <utility>

namespace bellhand::audio {

namespace {

constexpr double kFadeS = 0.03; // of a tone that the turning page cuts off

} // namespace

SynthFeed::SynthFeed(std::shared_ptr<MusicStand> stand, double sample_rate_hz)
    : stand_(std::move(stand)), rate_hz_(sample_rate_hz) {}

std::size_t SynthFeed::Voice::read(std::span<float> out) noexcept {
    std::size_t filled = 0;
    while (filled < out.size()) {
        if (used == step.count) {
            used = 0;
            player.next(step);
            if (step.count == 0) {
                break;
            }
        }
        const std::size_t count = std::min(out.size() - filled, step.count - used);
        std::copy_n(step.samples.begin() + static_cast<std::ptrdiff_t>(used),
                    count,
                    out.begin() + static_cast<std::ptrdiff_t>(filled));
        filled += count;
        used += count;
    }
    return filled;
}

void SynthFeed::turn_page() {
    auto score = stand_->take();
    if (!score) {
        return;
    }
    if (!check_score(*score, rate_hz_)) {
        score = SynthScore{};
        score->repeat = true;
    }
    fading_ = std::exchange(voice_, std::nullopt);
    fade_left_ = fading_ ? static_cast<std::size_t>(kFadeS * rate_hz_) : 0;
    voice_.emplace(std::move(*score), rate_hz_);
}

void SynthFeed::fade_out(std::span<float> out) noexcept {
    std::array<float, SynthPlayer::kStep> old{};
    const double whole = kFadeS * rate_hz_;
    for (std::size_t at = 0; at < out.size() && fade_left_ > 0;) {
        const std::size_t count = std::min({old.size(), out.size() - at, fade_left_});
        const std::size_t had = fading_->read(std::span(old).first(count));
        for (std::size_t i = 0; i < had; ++i) {
            const double share = static_cast<double>(fade_left_ - i) / whole;
            out[at + i] = std::clamp(out[at + i] + static_cast<float>(share) * old[i], -1.0F, 1.0F);
        }
        at += count;
        fade_left_ = had < count ? 0 : fade_left_ - count;
    }
    if (fade_left_ == 0) {
        fading_.reset();
    }
}

Result<std::size_t> SynthFeed::read(std::span<float> out) {
    turn_page();
    if (!voice_) {
        return std::size_t{0};
    }
    const std::size_t filled = voice_->read(out);
    if (fading_) {
        fade_out(out.first(filled));
    }
    return filled;
}

} // namespace bellhand::audio

#pragma once

#include "audio/latest_value.h"
#include "audio/reference_player.h"
#include "audio/source.h"
#include "audio/stream_end.h"

#include <array>
#include <atomic>
#include <cstdint>
#include <memory>

namespace bellhand::audio {

/// What all the playbacks of one output share, one after the other.
struct PlaybackShared {
    LatestValue<ReferenceSound> wanted; ///< written by the program
    ReferenceSound sounding;            ///< the device's thread only: the newest that was read
    ReferencePlayer player;
    std::atomic<std::uint64_t> played{0};
    std::atomic<std::uint64_t> underruns{0};
};

/// Where a device's callback gets what it is to play.
class Playback final : public StreamEnd {
public:
    Playback(std::shared_ptr<PlaybackShared> shared, PlayedRing* played, std::uint32_t stream);
    void prepare(const StreamFormat& format) override;

private:
    void
    run(const float* heard, float* to_play, std::size_t frames, bool trouble) noexcept override;
    void hush(float* to_play, std::size_t frames) noexcept override;

    std::shared_ptr<PlaybackShared> shared_;
    PlayedRing* ring_;
    std::size_t channels_ = 2;
    PlayedBlock block_; // stream, rate and position of what is played next
    std::array<float, kBlockSamples> samples_{};
};

} // namespace bellhand::audio

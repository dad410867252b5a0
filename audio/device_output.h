#pragma once

#include "audio/kept_device.h"
#include "audio/output.h"
#include "audio/playback.h"

#include <memory>

namespace bellhand::audio {

/// A device as an output that looks after itself.
class DeviceOutput final : public Output {
public:
    DeviceOutput(const DeviceChoice& choice,
                 MakeDeviceDriver make_driver,
                 DevicePatience patience = {});
    ~DeviceOutput() override;
    DeviceOutput(const DeviceOutput&) = delete;
    DeviceOutput& operator=(const DeviceOutput&) = delete;

    [[nodiscard]] Result<void> start(PlayedRing* played) override;
    void stop() noexcept override { device_.stop(); }
    void play(const ReferenceSound& sound) noexcept override { shared_->wanted.write(sound); }
    [[nodiscard]] bool next_beat(Beat& beat) noexcept override {
        return shared_->player.beats().try_pop(beat);
    }
    [[nodiscard]] OutputStatus status() const override;

private:
    const std::shared_ptr<PlaybackShared> shared_ = std::make_shared<PlaybackShared>();
    KeptDevice device_;
};

} // namespace bellhand::audio

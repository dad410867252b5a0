#pragma once

#include "audio/device_supervisor.h"
#include "audio/output.h"
#include "audio/playback.h"

#include <atomic>
#include <cstdint>
#include <memory>
#include <mutex>

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
    void stop() noexcept override;
    void play(const ReferenceSound& sound) noexcept override { shared_->wanted.write(sound); }
    [[nodiscard]] bool next_beat(Beat& beat) noexcept override {
        return shared_->player.beats().try_pop(beat);
    }
    [[nodiscard]] OutputStatus status() const override;

private:
    [[nodiscard]] std::shared_ptr<DeviceSupervisor> supervisor() const;

    const std::shared_ptr<DevicePicker> picker_;
    const MakeDeviceDriver make_driver_;
    const DevicePatience patience_;
    const std::shared_ptr<PlaybackShared> shared_ = std::make_shared<PlaybackShared>();
    const std::shared_ptr<std::atomic<std::uint32_t>> next_stream_ =
        std::make_shared<std::atomic<std::uint32_t>>(0);
    mutable std::mutex mutex_;
    std::shared_ptr<DeviceSupervisor> supervisor_; // while started
};

} // namespace bellhand::audio

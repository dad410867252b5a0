#pragma once

#include "audio/device_supervisor.h"

#include <atomic>
#include <cstdint>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>

namespace bellhand::audio {

/// What input and output have in common: a device that is kept in use from `start` to `stop` and may be asked how it is
/// from any thread.
class KeptDevice {
public:
    /// Makes the end of one attempt, which gets a number that no other attempt of this device has.
    using MakeEnd = std::function<std::shared_ptr<StreamEnd>(std::uint32_t attempt)>;

    /// `channel` as in `DeviceChoice`.
    KeptDevice(const DeviceChoice& choice,
               Direction direction,
               int channel,
               MakeDeviceDriver make_driver,
               DevicePatience patience);
    ~KeptDevice();
    KeptDevice(const KeptDevice&) = delete;
    KeptDevice& operator=(const KeptDevice&) = delete;

    /// False when it is in use already.
    [[nodiscard]] bool start(MakeEnd make_end);
    /// The device touches nothing of ours after this.
    void stop() noexcept;
    /// Empty while it is not in use.
    [[nodiscard]] std::optional<DeviceSupervisor::View> view() const;
    /// What is used, or wanted, for people.
    [[nodiscard]] std::string name() const { return picker_->name(); }

private:
    [[nodiscard]] std::shared_ptr<DeviceSupervisor> supervisor() const;

    const std::shared_ptr<DevicePicker> picker_;
    const int channel_;
    const MakeDeviceDriver make_driver_;
    const DevicePatience patience_;
    const std::shared_ptr<std::atomic<std::uint32_t>> next_attempt_ =
        std::make_shared<std::atomic<std::uint32_t>>(0);
    mutable std::mutex mutex_;
    std::shared_ptr<DeviceSupervisor> supervisor_; // while started
};

} // namespace bellhand::audio

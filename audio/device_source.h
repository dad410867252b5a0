#pragma once

#include "audio/capture.h"
#include "audio/device_supervisor.h"
#include "audio/source.h"

#include <atomic>
#include <cstdint>
#include <memory>
#include <mutex>

namespace bellhand::audio {

/// A device as a source that looks after itself.
class DeviceSource final : public Source {
public:
    DeviceSource(const DeviceChoice& choice,
                 MakeDeviceDriver make_driver,
                 DevicePatience patience = {});
    ~DeviceSource() override;
    DeviceSource(const DeviceSource&) = delete;
    DeviceSource& operator=(const DeviceSource&) = delete;

    [[nodiscard]] Result<void> start(BlockRing& ring) override;
    void stop() noexcept override;
    [[nodiscard]] SourceStatus status() const override;

private:
    [[nodiscard]] std::shared_ptr<DeviceSupervisor> supervisor() const;

    const int channel_;
    const std::shared_ptr<DevicePicker> picker_;
    const MakeDeviceDriver make_driver_;
    const DevicePatience patience_;
    const std::shared_ptr<CaptureCounts> counts_ = std::make_shared<CaptureCounts>();
    const std::shared_ptr<std::atomic<std::uint32_t>> next_stream_ =
        std::make_shared<std::atomic<std::uint32_t>>(0);
    mutable std::mutex mutex_;                     // status is asked for from several threads
    std::shared_ptr<DeviceSupervisor> supervisor_; // while started
};

} // namespace bellhand::audio

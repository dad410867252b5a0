#pragma once

#include "audio/capture.h"
#include "audio/kept_device.h"
#include "audio/source.h"

#include <memory>

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
    void stop() noexcept override { device_.stop(); }
    [[nodiscard]] SourceStatus status() const override;

private:
    const int channel_;
    const std::shared_ptr<CaptureCounts> counts_ = std::make_shared<CaptureCounts>();
    KeptDevice device_;
};

} // namespace bellhand::audio

#pragma once

#include "audio/device.h"
#include "audio/stream_end.h"

#include <cstddef>
#include <functional>
#include <memory>
#include <vector>

namespace bellhand::audio {

/// What a driver has opened.
struct OpenedDevice {
    Device device;
    StreamFormat format;
    double reported_latency_s = 0.0; ///< between the air and the callback, as the driver says
};

/// Picks one of the devices that are there now.
using PickDevice = std::function<Result<std::size_t>(const std::vector<Device>&)>;

/// One attempt to use a device: opened once, closed once, then thrown away. Every call may take long or for ever and
/// comes from one thread that does nothing else.
class DeviceDriver {
public:
    virtual ~DeviceDriver() = default;
    /// Looks at the devices afresh, opens and starts the picked one; `end.prepare` is called before, `end.exchange` from
    /// then on from a thread of the driver's. `channel` as in `DeviceChoice`.
    [[nodiscard]] virtual Result<OpenedDevice>
    open(const PickDevice& pick, int channel, StreamEnd& end) = 0;
    /// False when the driver itself knows that the device has stopped.
    [[nodiscard]] virtual bool alive() = 0;
    /// Harmless when nothing is open.
    virtual void close() noexcept = 0;
};

using MakeDeviceDriver = std::function<std::unique_ptr<DeviceDriver>()>;

} // namespace bellhand::audio

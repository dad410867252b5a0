#pragma once

#include "audio/capture.h"
#include "audio/device.h"

#include <cstddef>
#include <functional>
#include <memory>
#include <vector>

namespace bellhand::audio {

/// What a driver has opened.
struct OpenedDevice {
    Device device;
    double sample_rate_hz = 0.0;
    int channels = 0;                ///< as opened
    double reported_latency_s = 0.0; ///< from the air to the callback, as the driver says
};

/// Picks one of the devices that are there now.
using PickDevice = std::function<Result<std::size_t>(const std::vector<Device>&)>;

/// Tells the capture what is coming, just before the device starts.
using PrepareCapture = std::function<void(const OpenedDevice&)>;

/// One attempt to hear a device: opened once, closed once, then thrown away. Every call may take long or for ever and
/// comes from one thread that does nothing else.
class CaptureDriver {
public:
    virtual ~CaptureDriver() = default;
    /// Looks at the devices afresh, opens and starts the picked one; from then on `capture.hear` is called from a
    /// thread of the driver's. `channel` as in `DeviceChoice`.
    [[nodiscard]] virtual Result<OpenedDevice>
    open(const PickDevice& pick, int channel, const PrepareCapture& prepare, Capture& capture) = 0;
    /// False when the driver itself knows that the device has stopped.
    [[nodiscard]] virtual bool alive() = 0;
    /// Harmless when nothing is open.
    virtual void close() noexcept = 0;
};

using MakeCaptureDriver = std::function<std::unique_ptr<CaptureDriver>()>;

} // namespace bellhand::audio

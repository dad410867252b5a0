#pragma once

#include "audio/device_driver.h"

#include <memory>
#include <vector>

namespace bellhand::audio {

/// `Device::host_api` of what outputs play.
inline constexpr const char* kLoopbackHostApi = "Windows loopback";

/// One input for each output that is there, which hears what the output plays. Method: WASAPI's loopback recording
/// (Microsoft, Core Audio APIs).
[[nodiscard]] std::vector<Device> loopback_inputs();

/// Listens to one of them, whatever it is asked to pick.
[[nodiscard]] std::unique_ptr<DeviceDriver> make_loopback(const Device& device);

} // namespace bellhand::audio

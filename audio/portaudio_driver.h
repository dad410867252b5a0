#pragma once

#include "audio/device_driver.h"

namespace bellhand::audio {

/// PortAudio as a device driver for inputs, those of the sound server among them.
[[nodiscard]] std::unique_ptr<DeviceDriver> make_portaudio_input();

/// PortAudio as a device driver for outputs; the channel does not matter.
[[nodiscard]] std::unique_ptr<DeviceDriver> make_portaudio_output();

} // namespace bellhand::audio

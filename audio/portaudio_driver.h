#pragma once

#include "audio/capture_driver.h"

namespace bellhand::audio {

/// PortAudio as a capture driver, and the sound server's inputs through it.
[[nodiscard]] std::unique_ptr<CaptureDriver> make_portaudio_driver();

} // namespace bellhand::audio

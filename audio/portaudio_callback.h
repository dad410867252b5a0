#pragma once

#include <portaudio.h>

namespace bellhand::audio {

/// PortAudio's callback for input streams. `user` is a `Capture`, which says what may be done here.
int portaudio_callback(const void* input,
                       void* output,
                       unsigned long frames,
                       const PaStreamCallbackTimeInfo* time,
                       PaStreamCallbackFlags flags,
                       void* user) noexcept;

} // namespace bellhand::audio

#pragma once

#include <portaudio.h>

namespace bellhand::audio {

/// PortAudio's callback of all our streams. `user` is a `StreamEnd`, which says what may be done here.
int portaudio_callback(const void* input,
                       void* output,
                       unsigned long frames,
                       const PaStreamCallbackTimeInfo* time,
                       PaStreamCallbackFlags flags,
                       void* user) noexcept;

} // namespace bellhand::audio

#include "audio/portaudio_callback.h"

#include "audio/capture.h"

namespace bellhand::audio {

int portaudio_callback(const void* input,
                       void* /*output*/,
                       unsigned long frames,
                       const PaStreamCallbackTimeInfo* /*time*/,
                       PaStreamCallbackFlags flags,
                       void* user) noexcept {
    const bool lost_before = (flags & paInputOverflow) != 0;
    const bool wanted =
        static_cast<Capture*>(user)->hear(static_cast<const float*>(input), frames, lost_before);
    return wanted ? paContinue : paAbort;
}

} // namespace bellhand::audio

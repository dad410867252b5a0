#include "audio/portaudio_callback.h"

#include "audio/stream_end.h"

namespace bellhand::audio {

int portaudio_callback(const void* input,
                       void* output,
                       unsigned long frames,
                       const PaStreamCallbackTimeInfo* /*time*/,
                       PaStreamCallbackFlags flags,
                       void* user) noexcept {
    const bool trouble = (flags & (paInputOverflow | paOutputUnderflow)) != 0;
    const bool wanted = static_cast<StreamEnd*>(user)->exchange(
        static_cast<const float*>(input), static_cast<float*>(output), frames, trouble);
    return wanted ? paContinue : paAbort;
}

} // namespace bellhand::audio

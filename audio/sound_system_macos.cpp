// CoreAudio: PortAudio lists and opens all there is. What an output plays is no input there.
#include "audio/sound_system.h"

namespace bellhand::audio {

std::vector<Device> further_inputs() {
    return {};
}

std::shared_ptr<void> complete(PaStreamParameters& /*parameters*/, const Device& /*device*/) {
    return nullptr;
}

std::unique_ptr<InputWatch> watch(const Device& /*device*/) {
    return nullptr;
}

std::unique_ptr<DeviceDriver> driver_past_portaudio(const Device& /*device*/) {
    return nullptr;
}

void quiet_sound_libraries() noexcept {}

} // namespace bellhand::audio

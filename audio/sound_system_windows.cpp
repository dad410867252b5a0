// WASAPI: microphones and outputs are PortAudio's; what an output plays is listened to here, since PortAudio 19.6 cannot.
#include "audio/loopback_windows.h"
#include "audio/sound_system.h"

namespace bellhand::audio {

std::vector<Device> further_inputs() {
    return loopback_inputs();
}

std::shared_ptr<void> complete(PaStreamParameters& /*parameters*/, const Device& /*device*/) {
    return nullptr;
}

std::unique_ptr<InputWatch> watch(const Device& /*device*/) {
    return nullptr;
}

std::unique_ptr<DeviceDriver> driver_past_portaudio(const Device& device) {
    return device.host_api == kLoopbackHostApi ? make_loopback(device) : nullptr;
}

void quiet_sound_libraries() noexcept {}

} // namespace bellhand::audio

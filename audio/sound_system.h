#pragma once

#include "audio/device.h"
#include "audio/device_driver.h"

#include <memory>
#include <vector>

#include <portaudio.h>

/// What the sound system of this computer offers beyond what PortAudio has in common for all: inputs that PortAudio does
/// not list, and how they are opened. One source file answers on each system. With PortAudio initialised and a turn held.
namespace bellhand::audio {

/// Inputs that PortAudio does not list: those of a sound server (Linux), what an output plays (Windows). Their `index` is
/// for the caller to give.
[[nodiscard]] std::vector<Device> further_inputs();

/// Completes what PortAudio is told to open one of them. The answer must live until the stream is open; null: there is
/// nothing to add.
[[nodiscard]] std::shared_ptr<void> complete(PaStreamParameters& parameters, const Device& device);

/// Knows whether an input is still the one that was opened, where PortAudio would not notice.
class InputWatch {
public:
    virtual ~InputWatch() = default;
    [[nodiscard]] virtual bool there() = 0;
};
/// Null: PortAudio's own word is enough.
[[nodiscard]] std::unique_ptr<InputWatch> watch(const Device& device);

/// A driver for an input that PortAudio cannot open at all; it takes `device` whatever it is asked to pick. Null: PortAudio
/// opens it.
[[nodiscard]] std::unique_ptr<DeviceDriver> driver_past_portaudio(const Device& device);

/// Takes away the handlers by which libraries under PortAudio write to the standard error stream at any time.
void quiet_sound_libraries() noexcept;

} // namespace bellhand::audio

#pragma once

#include "audio/source.h"

#include <vector>

namespace bellhand::audio {

struct Device {
    int index = 0; ///< in this list now; it changes when devices come and go
    std::string
        host_api; ///< PortAudio's, or "PulseAudio" for the inputs of a sound server (PipeWire has one too)
    std::string name; ///< for people
    std::string id;   ///< the sound system's own name; often the same
    int inputs = 0;
    int outputs = 0;
    double default_rate_hz = 0.0;
    double low_latency_s = 0.0; ///< as reported: a hint
    bool default_input = false;
    bool default_output = false;
    bool monitor = false; ///< hears what the computer itself plays (a remote lesson)
};

/// Which device: empty `name` and negative `index` = the default one, whichever that is at the time. `name` is compared
/// in any case with name and id, first whole, then as a part that fits only one. A device once taken is found again by
/// (host API, id, which of several equal ones).
struct DeviceChoice {
    std::string name;
    int index = -1;
    int channel = 1; ///< from 1; 0 = mix of all
};

/// Every device that can be seen now: PortAudio's, then each input of the sound server by its own name, so that the
/// monitor of an output can be chosen. Takes a part of a second, at most ten. Errors: no sound system, or it hangs.
[[nodiscard]] Result<std::vector<Device>> list_devices();

/// A microphone (or monitor) through PortAudio. Fails only on bad choices of a present device (`usage`): no input of
/// that index, a name that fits several, no such channel, a device without inputs. A device that is not there, or goes
/// away, is waited for. All waiting for the sound system is done on threads of the source's own; `start` returns at
/// once, `stop` within four seconds even when the sound system hangs. Can be started again after `stop`.
[[nodiscard]] Result<std::unique_ptr<Source>> open_device(const DeviceChoice& choice);

} // namespace bellhand::audio

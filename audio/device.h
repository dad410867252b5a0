#pragma once

#include "audio/source.h"

#include <vector>

namespace bellhand::audio {

struct Device {
    int index = 0; ///< PortAudio's index now; it changes when devices come and go
    std::string host_api;
    std::string name;
    int inputs = 0;
    int outputs = 0;
    double default_rate_hz = 0.0;
    double low_latency_s = 0.0; ///< as reported: a hint
    bool default_input = false;
    bool default_output = false;
    bool monitor = false; ///< hears what the computer itself plays (a remote lesson)
};

/// Which device: empty `name` and negative `index` = the default one. `name` matches whole first, then part, in any
/// case; (host API, name) is the identity by which a lost device is found again.
struct DeviceChoice {
    std::string name;
    int index = -1;
    int channel = 1; ///< from 1; 0 = mix of all
};

/// Everything PortAudio sees now. Errors: no sound system.
[[nodiscard]] Result<std::vector<Device>> list_devices();

/// A microphone (or monitor) through PortAudio. Fails only on bad choices of a present device; a device that is not
/// there, or goes away, is waited for.
[[nodiscard]] Result<std::unique_ptr<Source>> open_device(const DeviceChoice& choice);

} // namespace bellhand::audio

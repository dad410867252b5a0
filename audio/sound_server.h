#pragma once

#include <chrono>
#include <string>
#include <vector>

namespace bellhand::audio {

/// An input of the computer's sound server.
struct ServerInput {
    std::string id; ///< the server's own name, "alsa_output.pci-0000_00_1f.3.analog-stereo.monitor"
    std::string name; ///< for people, "Monitor of Built-in Audio Analog Stereo"
    int channels = 0;
    double rate_hz = 0.0;
    bool monitor = false; ///< hears what an output plays
};

/// Inputs of the PulseAudio server of this session, or of PipeWire in that role. Empty when there is none or it does
/// not answer within the limit; never starts one.
[[nodiscard]] std::vector<ServerInput> sound_server_inputs(std::chrono::milliseconds limit);

} // namespace bellhand::audio

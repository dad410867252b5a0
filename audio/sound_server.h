#pragma once

#include <chrono>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::audio {

/// An input of the computer's sound server.
struct ServerInput {
    std::uint32_t number = 0; ///< another one each time the input appears
    std::string id; ///< the server's own name, "alsa_output.pci-0000_00_1f.3.analog-stereo.monitor"
    std::string name; ///< for people, "Monitor of Built-in Audio Analog Stereo"
    int channels = 0;
    double rate_hz = 0.0;
    bool monitor = false; ///< hears what an output plays
};

/// A connection to the user's PulseAudio server, or to PipeWire in that role. Never starts one. One thread.
class SoundServer {
public:
    SoundServer();
    ~SoundServer();
    SoundServer(const SoundServer&) = delete;
    SoundServer& operator=(const SoundServer&) = delete;

    /// Its inputs now. Empty: there is no server, or it did not answer within the limit; ask again later.
    [[nodiscard]] std::optional<std::vector<ServerInput>> inputs(std::chrono::milliseconds limit);

private:
    struct Link;
    std::unique_ptr<Link> link_; // made anew after a failure
};

} // namespace bellhand::audio

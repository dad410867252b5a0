#pragma once

#include "audio/device.h"
#include "core/result.h"

#include <chrono>
#include <string>
#include <vector>

namespace bellhand::audio {

/// The right to call PortAudio, which serves one thread at a time. Held only around calls, not while a stream runs;
/// who hangs in a call keeps it.
class PortAudioTurn {
public:
    /// Waits for it as long as it takes.
    PortAudioTurn();
    /// Waits no longer than `limit`; see `held`.
    explicit PortAudioTurn(std::chrono::milliseconds limit);
    ~PortAudioTurn();
    PortAudioTurn(const PortAudioTurn&) = delete;
    PortAudioTurn& operator=(const PortAudioTurn&) = delete;
    [[nodiscard]] bool held() const noexcept { return held_; }

private:
    bool held_ = false;
};

/// All devices of an initialised PortAudio, then the further inputs of this sound system. With a turn held.
[[nodiscard]] std::vector<Device> devices_now();

/// PortAudio's name for an error, as the end of a sentence: "...: Device unavailable."
[[nodiscard]] std::string portaudio_error(int error);

} // namespace bellhand::audio

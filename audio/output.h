#pragma once

#include "audio/device.h"
#include "audio/reference_sound.h"
#include "audio/source.h"

#include <memory>

namespace bellhand::audio {

/// What is known of an output.
struct OutputStatus {
    SourceState state = SourceState::idle;
    std::string name;
    std::string message; ///< one sentence while waiting
    double sample_rate_hz = 0.0;
    double reported_latency_s = 0.0; ///< from our sample to the air, as the driver says: a hint
    std::uint64_t played_samples = 0;
    std::uint64_t underruns = 0; ///< times the device ran dry
};

/// Sound out: drone, reference note and metronome through a device that is found, lost and taken again as an input is.
/// Starts silent; everything fades in.
class Output {
public:
    virtual ~Output() = default; ///< stops
    /// `played`: gets what is played, block by block, as it is handed to the device (blocks are left out when it is
    /// full), so that what the microphone hears of it can be taken away. It must outlive the output or the next `stop`.
    [[nodiscard]] virtual Result<void> start(PlayedRing* played = nullptr) = 0;
    virtual void stop() noexcept = 0; ///< idempotent
    /// From one thread; takes effect within a few milliseconds, faded.
    virtual void play(const ReferenceSound& sound) noexcept = 0;
    /// Takes the oldest beat not yet taken; from one thread.
    [[nodiscard]] virtual bool next_beat(Beat& beat) noexcept = 0;
    [[nodiscard]] virtual OutputStatus status() const = 0;
};

/// The output that a choice means (its channel does not matter: all channels sound alike). Errors as `open_device`.
[[nodiscard]] Result<std::unique_ptr<Output>> open_output(const DeviceChoice& choice);

} // namespace bellhand::audio

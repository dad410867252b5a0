#pragma once

#include "audio/device.h"
#include "audio/device_driver.h"
#include "audio/device_supervisor.h"
#include "audio/source.h"

#include <filesystem>
#include <memory>
#include <string>

namespace bellhand::audio {

inline constexpr double kSlowest = 0.25;
inline constexpr double kFastest = 1.5;

/// How a take is being played.
struct TakeStatus {
    SourceState output = SourceState::idle; ///< of the device
    std::string output_name;
    bool playing = false;    ///< false: paused, at its end, or failed
    bool ended = false;      ///< played to its end
    double position_s = 0.0; ///< in the take, of what the device was given last
    double length_s = 0.0;
    double speed = 1.0;
    std::string message; ///< one sentence when the device is waited for or the file is damaged
};

/// Plays a sound file (a take, the recording of a lesson) through an output, from any place, at any speed from a quarter
/// to one and a half without changing its pitch (SoundTouch: overlap-add of stretches chosen by likeness, after
/// Verhelst and Roelands 1993). Fades at every start, pause and jump; the peak is limited as that of all that the
/// program sounds. A device that is lost is waited for and goes on at the same place. All calls from one thread; none
/// waits for the sound system but the destructor.
class TakePlayer {
public:
    virtual ~TakePlayer() = default; ///< stops
    /// Goes on from where it is; from the beginning once it has ended.
    virtual void play() = 0;
    virtual void pause() noexcept = 0;
    /// To this second of the take, playing or not; held within it.
    virtual void seek(double position_s) = 0;
    /// Held within `kSlowest` and `kFastest`.
    virtual void set_speed(double speed) = 0;
    [[nodiscard]] virtual TakeStatus status() const = 0;
};

/// Errors: those of `open_file` for the take, of `open_output` for the choice.
[[nodiscard]] Result<std::unique_ptr<TakePlayer>> open_take(const std::filesystem::path& path,
                                                            const DeviceChoice& output);
/// The same through a driver of the caller's.
[[nodiscard]] Result<std::unique_ptr<TakePlayer>> open_take(const std::filesystem::path& path,
                                                            const DeviceChoice& output,
                                                            MakeDeviceDriver make_driver,
                                                            DevicePatience patience = {});

} // namespace bellhand::audio

#pragma once

#include "audio/device_attempt.h"
#include "audio/device_choice.h"
#include "audio/device_driver.h"
#include "audio/source.h"

#include <chrono>
#include <condition_variable>
#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <thread>

namespace bellhand::audio {

/// How long a device may take before it counts as lost.
struct DevicePatience {
    std::chrono::milliseconds open{15000}; ///< until the driver has opened it
    std::chrono::milliseconds first_sound{
        6000}; ///< from then to the first: a sound server wakes slowly
    std::chrono::milliseconds silence{2000}; ///< between two calls of the driver
    std::chrono::milliseconds close{3000};
    std::chrono::milliseconds first_pause{
        250}; ///< before the next attempt; doubles up to the longest
    std::chrono::milliseconds longest_pause{2000};
};

/// A fresh end for each attempt: one that was revoked is never used again.
using MakeStreamEnd = std::function<std::shared_ptr<StreamEnd>()>;

/// Keeps one device in use from construction until `stop`: a thread that opens it through a driver, watches that the
/// driver goes on calling, and takes the device again when it was lost. That thread itself never calls the driver: it
/// gives each attempt a thread and leaves it behind when it hangs, so that `stop` never takes much longer than the
/// patience for closing.
class DeviceSupervisor {
public:
    struct View {
        SourceState state = SourceState::waiting;
        std::string name;    ///< of the device, for people
        std::string message; ///< one sentence while waiting
        OpenedDevice opened; ///< as last opened
    };

    DeviceSupervisor(std::shared_ptr<DevicePicker> picker,
                     int channel,
                     MakeDeviceDriver make_driver,
                     MakeStreamEnd make_end,
                     DevicePatience patience);
    ~DeviceSupervisor();
    DeviceSupervisor(const DeviceSupervisor&) = delete;
    DeviceSupervisor& operator=(const DeviceSupervisor&) = delete;

    /// The device touches nothing of ours after this. One thread.
    void stop() noexcept;

    /// Any thread.
    [[nodiscard]] View view() const;

private:
    void supervise();
    [[nodiscard]] bool open(DeviceAttempt& attempt);          // true: it runs
    void listen(DeviceAttempt& attempt);                      // returns when lost or stopping
    void leave(DeviceAttempt& attempt);                       // closes it, or leaves it behind
    [[nodiscard]] bool pause(std::chrono::milliseconds time); // false: stopping
    void wait_with(const std::string& message);
    [[nodiscard]] bool stopping() const;

    const std::shared_ptr<DevicePicker> picker_;
    const int channel_;
    const MakeDeviceDriver make_driver_;
    const MakeStreamEnd make_end_;
    const DevicePatience patience_;

    mutable std::mutex mutex_; // guards the rest
    std::condition_variable stop_changed_;
    bool stop_ = false;
    View view_;
    std::shared_ptr<DeviceAttempt> current_;

    std::thread thread_;
};

} // namespace bellhand::audio

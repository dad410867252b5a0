#pragma once

#include "audio/capture_attempt.h"
#include "audio/capture_driver.h"
#include "audio/device_choice.h"
#include "audio/source.h"

#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <memory>
#include <mutex>
#include <string>
#include <thread>

namespace bellhand::audio {

/// How long a device may take before it counts as lost.
struct DevicePatience {
    std::chrono::milliseconds open{15000}; ///< until the driver has opened it
    std::chrono::milliseconds first_sound{
        6000}; ///< from then to the first sound: a sound server wakes slowly
    std::chrono::milliseconds silence{2000}; ///< between two calls of the driver
    std::chrono::milliseconds close{3000};
    std::chrono::milliseconds first_pause{
        250}; ///< before the next attempt; doubles up to the longest
    std::chrono::milliseconds longest_pause{2000};
};

/// A device as a source that looks after itself: a supervisor thread opens it through a driver, watches that sound
/// keeps coming, and takes it again when it was lost. The supervisor itself never calls the driver: it gives each
/// attempt a thread and leaves it behind when it hangs.
class DeviceSource final : public Source {
public:
    DeviceSource(DeviceChoice choice, MakeCaptureDriver make_driver, DevicePatience patience = {});
    ~DeviceSource() override;
    DeviceSource(const DeviceSource&) = delete;
    DeviceSource& operator=(const DeviceSource&) = delete;

    [[nodiscard]] Result<void> start(BlockRing& ring) override;
    void stop() noexcept override;
    [[nodiscard]] SourceStatus status() const override;

private:
    void supervise(BlockRing& ring);
    [[nodiscard]] bool open(CaptureAttempt& attempt);         // true: it runs
    void listen(CaptureAttempt& attempt);                     // returns when lost or stopping
    void leave(CaptureAttempt& attempt);                      // closes it, or leaves it behind
    [[nodiscard]] bool pause(std::chrono::milliseconds time); // false: stopping
    void wait_with(const std::string& message);
    [[nodiscard]] bool stopping() const;

    const int channel_;
    const std::shared_ptr<DevicePicker> picker_;
    const MakeCaptureDriver make_driver_;
    const DevicePatience patience_;
    std::thread supervisor_;
    std::uint32_t stream_ = 0; // supervisor only

    mutable std::mutex mutex_; // guards the rest
    std::condition_variable stop_changed_;
    bool stop_ = false;
    SourceStatus status_; // counters of finished attempts
    std::shared_ptr<CaptureAttempt> current_;
};

} // namespace bellhand::audio

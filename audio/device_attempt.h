#pragma once

#include "audio/device_driver.h"

#include <chrono>
#include <condition_variable>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <utility>

namespace bellhand::audio {

/// One attempt to use a device, on a thread of its own that may hang in the driver and can then be left behind: it
/// keeps what it needs alive and cleans up by itself should the driver ever come back.
class DeviceAttempt : public std::enable_shared_from_this<DeviceAttempt> {
public:
    enum class Stage { opening, running, closing, done };

    /// What the attempt has come to.
    struct Report {
        Stage stage = Stage::opening;
        std::optional<OpenedDevice> opened; ///< since the driver opened it
        std::string error;                  ///< why it could not be opened
        bool driver_lost_it = false;        ///< the driver itself says that the device stopped
    };

    DeviceAttempt(std::unique_ptr<DeviceDriver> driver, std::shared_ptr<StreamEnd> end)
        : driver_(std::move(driver)), end_(std::move(end)) {}

    /// Starts the thread.
    void begin(PickDevice pick, int channel);

    /// The device touches nothing of ours after this; the device is closed as soon as the driver lets us.
    void end() noexcept;

    /// Waits until the report's stage is `stage` or later, or `limit` has passed, or `wake` was called.
    void wait_for(Stage stage, std::chrono::milliseconds limit);
    void wake() noexcept;

    [[nodiscard]] Report report() const;
    [[nodiscard]] StreamEnd& stream_end() noexcept { return *end_; }

private:
    void run(const PickDevice& pick, int channel);
    void wait_until_told(); // to end, or the driver has lost the device
    void set_stage(Stage stage);

    std::unique_ptr<DeviceDriver> driver_; // the attempt's thread only
    const std::shared_ptr<StreamEnd> end_;
    mutable std::mutex mutex_; // guards the rest
    std::condition_variable changed_;
    Report report_;
    bool ending_ = false;
    bool woken_ = false;
};

} // namespace bellhand::audio

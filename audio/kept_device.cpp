#include "audio/kept_device.h"

#include <utility>

namespace bellhand::audio {

KeptDevice::KeptDevice(const DeviceChoice& choice,
                       Direction direction,
                       int channel,
                       MakeDeviceDriver make_driver,
                       DevicePatience patience)
    : picker_(std::make_shared<DevicePicker>(choice, direction)),
      channel_(channel),
      make_driver_(std::move(make_driver)),
      patience_(patience) {}

KeptDevice::~KeptDevice() {
    stop();
}

bool KeptDevice::start(MakeEnd make_end) {
    const std::lock_guard<std::mutex> lock(mutex_);
    if (supervisor_) {
        return false;
    }
    supervisor_ = std::make_shared<DeviceSupervisor>(
        picker_,
        channel_,
        make_driver_,
        [make_end = std::move(make_end), next = next_attempt_] {
            return make_end(next->fetch_add(1));
        },
        patience_);
    return true;
}

void KeptDevice::stop() noexcept {
    if (const std::shared_ptr<DeviceSupervisor> running = supervisor()) {
        running->stop();
        const std::lock_guard<std::mutex> lock(mutex_);
        supervisor_.reset();
    }
}

std::optional<DeviceSupervisor::View> KeptDevice::view() const {
    const std::shared_ptr<DeviceSupervisor> running = supervisor();
    return running ? std::optional(running->view()) : std::nullopt;
}

std::shared_ptr<DeviceSupervisor> KeptDevice::supervisor() const {
    const std::lock_guard<std::mutex> lock(mutex_);
    return supervisor_;
}

} // namespace bellhand::audio

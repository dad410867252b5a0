#include "audio/device_output.h"

namespace bellhand::audio {

DeviceOutput::DeviceOutput(const DeviceChoice& choice,
                           MakeDeviceDriver make_driver,
                           DevicePatience patience)
    : picker_(std::make_shared<DevicePicker>(choice, Direction::output)),
      make_driver_(std::move(make_driver)),
      patience_(patience) {}

DeviceOutput::~DeviceOutput() {
    stop();
}

Result<void> DeviceOutput::start(PlayedRing* played) {
    const std::lock_guard<std::mutex> lock(mutex_);
    if (supervisor_) {
        return usage_error("'" + picker_->name() + "' is being played through already.");
    }
    supervisor_ = std::make_shared<DeviceSupervisor>(
        picker_,
        0,
        make_driver_,
        [shared = shared_, played, next = next_stream_] {
            return std::make_shared<Playback>(shared, played, next->fetch_add(1));
        },
        patience_);
    return {};
}

void DeviceOutput::stop() noexcept {
    if (const std::shared_ptr<DeviceSupervisor> running = supervisor()) {
        running->stop();
        const std::lock_guard<std::mutex> lock(mutex_);
        supervisor_.reset();
    }
}

std::shared_ptr<DeviceSupervisor> DeviceOutput::supervisor() const {
    const std::lock_guard<std::mutex> lock(mutex_);
    return supervisor_;
}

OutputStatus DeviceOutput::status() const {
    OutputStatus out;
    out.name = picker_->name();
    if (const std::shared_ptr<DeviceSupervisor> running = supervisor()) {
        const DeviceSupervisor::View view = running->view();
        out.state = view.state;
        out.name = view.name;
        out.message = view.message;
        out.sample_rate_hz = view.opened.format.sample_rate_hz;
        out.reported_latency_s = view.opened.reported_latency_s;
    }
    out.played_samples = shared_->played.load(std::memory_order_relaxed);
    out.underruns = shared_->underruns.load(std::memory_order_relaxed);
    return out;
}

} // namespace bellhand::audio

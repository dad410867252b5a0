#include "audio/device_source.h"

#include <utility>

namespace bellhand::audio {

DeviceSource::DeviceSource(const DeviceChoice& choice,
                           MakeDeviceDriver make_driver,
                           DevicePatience patience)
    : channel_(choice.channel),
      picker_(std::make_shared<DevicePicker>(choice)),
      make_driver_(std::move(make_driver)),
      patience_(patience) {}

DeviceSource::~DeviceSource() {
    stop();
}

Result<void> DeviceSource::start(BlockRing& ring) {
    const std::lock_guard<std::mutex> lock(mutex_);
    if (supervisor_) {
        return usage_error("'" + picker_->name() + "' is being listened to already.");
    }
    supervisor_ = std::make_shared<DeviceSupervisor>(
        picker_,
        channel_,
        make_driver_,
        [ring = &ring, counts = counts_, channel = channel_, next = next_stream_] {
            return std::make_shared<Capture>(*ring, counts, channel, next->fetch_add(1));
        },
        patience_);
    return {};
}

void DeviceSource::stop() noexcept {
    if (const std::shared_ptr<DeviceSupervisor> running = supervisor()) {
        running->stop();
        const std::lock_guard<std::mutex> lock(mutex_);
        supervisor_.reset();
    }
}

std::shared_ptr<DeviceSupervisor> DeviceSource::supervisor() const {
    const std::lock_guard<std::mutex> lock(mutex_);
    return supervisor_;
}

SourceStatus DeviceSource::status() const {
    SourceStatus out;
    out.name = picker_->name();
    out.channel = channel_;
    if (const std::shared_ptr<DeviceSupervisor> running = supervisor()) {
        const DeviceSupervisor::View view = running->view();
        out.state = view.state;
        out.name = view.name;
        out.message = view.message;
        out.sample_rate_hz = view.opened.format.sample_rate_hz;
        out.channels = view.opened.format.channels;
        out.reported_latency_s = view.opened.reported_latency_s;
    }
    out.delivered_samples = counts_->delivered.load(std::memory_order_relaxed);
    out.dropped_samples = counts_->dropped.load(std::memory_order_relaxed);
    out.overruns = counts_->overruns.load(std::memory_order_relaxed);
    return out;
}

} // namespace bellhand::audio

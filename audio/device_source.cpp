#include "audio/device_source.h"

#include <utility>

namespace bellhand::audio {

DeviceSource::DeviceSource(const DeviceChoice& choice,
                           MakeDeviceDriver make_driver,
                           DevicePatience patience)
    : channel_(choice.channel),
      device_(choice, Direction::input, channel_, std::move(make_driver), patience) {}

DeviceSource::~DeviceSource() {
    stop();
}

Result<void> DeviceSource::start(BlockRing& ring) {
    if (!device_.start([ring = &ring, counts = counts_, channel = channel_](std::uint32_t attempt) {
            return std::make_shared<Capture>(*ring, counts, channel, attempt);
        })) {
        return usage_error("'" + device_.name() + "' is being listened to already.");
    }
    return {};
}

SourceStatus DeviceSource::status() const {
    SourceStatus out;
    out.name = device_.name();
    out.channel = channel_;
    if (const auto view = device_.view()) {
        out.state = view->state;
        out.name = view->name;
        out.message = view->message;
        out.sample_rate_hz = view->opened.format.sample_rate_hz;
        out.channels = view->opened.format.channels;
        out.reported_latency_s = view->opened.reported_latency_s;
    }
    out.delivered_samples = counts_->delivered.load(std::memory_order_relaxed);
    out.dropped_samples = counts_->dropped.load(std::memory_order_relaxed);
    out.overruns = counts_->overruns.load(std::memory_order_relaxed);
    return out;
}

} // namespace bellhand::audio

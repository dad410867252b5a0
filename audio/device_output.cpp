#include "audio/device_output.h"

#include <utility>

namespace bellhand::audio {

DeviceOutput::DeviceOutput(const DeviceChoice& choice,
                           MakeDeviceDriver make_driver,
                           DevicePatience patience)
    : device_(choice, Direction::output, 0, std::move(make_driver), patience) {}

DeviceOutput::~DeviceOutput() {
    stop();
}

Result<void> DeviceOutput::start(PlayedRing* played) {
    if (!device_.start([shared = shared_, played](std::uint32_t attempt) {
            return std::make_shared<Playback>(shared, played, attempt);
        })) {
        return usage_error("'" + device_.name() + "' is being played through already.");
    }
    return {};
}

OutputStatus DeviceOutput::status() const {
    OutputStatus out;
    out.name = device_.name();
    if (const auto view = device_.view()) {
        out.state = view->state;
        out.name = view->name;
        out.message = view->message;
        out.sample_rate_hz = view->opened.format.sample_rate_hz;
        out.reported_latency_s = view->opened.reported_latency_s;
    }
    out.played_samples = shared_->played.load(std::memory_order_relaxed);
    out.underruns = shared_->underruns.load(std::memory_order_relaxed);
    return out;
}

} // namespace bellhand::audio

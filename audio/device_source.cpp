#include "audio/device_source.h"

#include <algorithm>
#include <utility>

namespace bellhand::audio {

namespace {

using Clock = std::chrono::steady_clock;
using Stage = CaptureAttempt::Stage;

constexpr auto kWatchPeriod = std::chrono::milliseconds(50);

} // namespace

DeviceSource::DeviceSource(DeviceChoice choice,
                           MakeCaptureDriver make_driver,
                           DevicePatience patience)
    : channel_(choice.channel),
      picker_(std::make_shared<DevicePicker>(std::move(choice))),
      make_driver_(std::move(make_driver)),
      patience_(patience) {
    status_.name = picker_->name();
    status_.channel = channel_;
}

DeviceSource::~DeviceSource() {
    stop();
}

Result<void> DeviceSource::start(BlockRing& ring) {
    if (supervisor_.joinable()) {
        return usage_error("'" + status().name + "' is being listened to already.");
    }
    {
        const std::lock_guard<std::mutex> lock(mutex_);
        stop_ = false;
        status_.state = SourceState::waiting;
        status_.message = "Opening '" + status_.name + "'.";
    }
    supervisor_ = std::thread([this, &ring] { supervise(ring); });
    return {};
}

void DeviceSource::stop() noexcept {
    {
        const std::lock_guard<std::mutex> lock(mutex_);
        stop_ = true;
        if (current_) {
            current_->wake();
        }
    }
    stop_changed_.notify_all();
    if (supervisor_.joinable()) {
        supervisor_.join();
        const std::lock_guard<std::mutex> lock(mutex_);
        status_.state = SourceState::idle;
        status_.message.clear();
    }
}

SourceStatus DeviceSource::status() const {
    const std::lock_guard<std::mutex> lock(mutex_);
    SourceStatus out = status_;
    if (current_) {
        const Capture& capture = current_->capture();
        out.delivered_samples += capture.delivered();
        out.dropped_samples += capture.dropped();
        out.overruns += capture.overruns();
    }
    return out;
}

bool DeviceSource::stopping() const {
    const std::lock_guard<std::mutex> lock(mutex_);
    return stop_;
}

bool DeviceSource::pause(std::chrono::milliseconds time) {
    std::unique_lock<std::mutex> lock(mutex_);
    return !stop_changed_.wait_for(lock, time, [&] { return stop_; });
}

void DeviceSource::wait_with(const std::string& message) {
    const std::lock_guard<std::mutex> lock(mutex_);
    status_.state = SourceState::waiting;
    status_.message = message;
}

void DeviceSource::supervise(BlockRing& ring) {
    std::chrono::milliseconds next_pause = patience_.first_pause;
    while (!stopping()) {
        const auto attempt = std::make_shared<CaptureAttempt>(make_driver_());
        {
            const std::lock_guard<std::mutex> lock(mutex_);
            current_ = attempt;
        }
        const std::uint32_t stream = stream_++;
        attempt->begin(
            // The attempt's thread may outlive this source, so it gets nothing of it; the ring is only noted down, and
            // not used once the capture is revoked.
            [picker = picker_](const std::vector<Device>& devices) {
                return picker->pick(devices);
            },
            channel_,
            [ring = &ring, capture = &attempt->capture(), stream, channel = channel_](
                const OpenedDevice& opened) {
                capture->prepare(*ring, stream, opened.sample_rate_hz, opened.channels, channel);
            });
        const auto began = Clock::now();
        if (open(*attempt)) {
            listen(*attempt);
        }
        leave(*attempt);
        const bool lasted =
            Clock::now() - began > 2 * patience_.longest_pause && attempt->capture().calls() > 0;
        next_pause = lasted ? patience_.first_pause : next_pause;
        if (!pause(next_pause)) {
            break;
        }
        next_pause = std::min(2 * next_pause, patience_.longest_pause);
    }
}

bool DeviceSource::open(CaptureAttempt& attempt) {
    const auto deadline = Clock::now() + patience_.open;
    for (;;) {
        attempt.wait_for(Stage::running, kWatchPeriod);
        if (stopping()) {
            return false;
        }
        const CaptureAttempt::Report report = attempt.report();
        if (report.opened) {
            const std::lock_guard<std::mutex> lock(mutex_);
            status_.name = report.opened->device.name;
            status_.sample_rate_hz = report.opened->sample_rate_hz;
            status_.channels = report.opened->channels;
            status_.reported_latency_s = report.opened->reported_latency_s;
            status_.message = "Waiting for the first sound from '" + status_.name + "'.";
            return true;
        }
        if (report.stage >= Stage::closing) {
            wait_with(report.error);
            return false;
        }
        if (Clock::now() > deadline) {
            // The sound system serves one caller at a time, so another attempt would only queue up behind this one.
            wait_with("The sound system does not answer; '" + picker_->name() +
                      "' is taken as soon as it does. If it never does, start the program again.");
        }
    }
}

void DeviceSource::listen(CaptureAttempt& attempt) {
    std::uint64_t calls = 0;
    auto last = Clock::now();
    while (!stopping()) {
        attempt.wait_for(Stage::closing, kWatchPeriod);
        const auto now = Clock::now();
        const std::uint64_t calls_now = attempt.capture().calls();
        if (calls == 0 && calls_now > 0) {
            const std::lock_guard<std::mutex> lock(mutex_);
            status_.state = SourceState::running;
            status_.message.clear();
        }
        if (calls_now != calls) {
            calls = calls_now;
            last = now;
        }
        if (attempt.report().driver_lost_it) {
            wait_with("'" + picker_->name() +
                      "' has stopped; it is taken again as soon as it is back.");
            return;
        }
        if (now - last > (calls == 0 ? patience_.first_sound : patience_.silence)) {
            wait_with("'" + picker_->name() + "' sends nothing any more; trying to take it again.");
            return;
        }
    }
}

void DeviceSource::leave(CaptureAttempt& attempt) {
    attempt.end();
    const auto deadline = Clock::now() + patience_.close;
    while (attempt.report().stage != Stage::done && Clock::now() < deadline) {
        attempt.wait_for(Stage::done, kWatchPeriod);
    }
    const std::lock_guard<std::mutex> lock(mutex_);
    if (attempt.report().stage != Stage::done && !stop_) {
        status_.message = "The sound system does not let go of '" + status_.name +
                          "'; waiting for it. If that lasts, start the program again.";
    }
    status_.delivered_samples += attempt.capture().delivered();
    status_.dropped_samples += attempt.capture().dropped();
    status_.overruns += attempt.capture().overruns();
    current_.reset();
}

} // namespace bellhand::audio

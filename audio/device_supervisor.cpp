#include "audio/device_supervisor.h"

#include <algorithm>
#include <utility>

namespace bellhand::audio {

namespace {

using Clock = std::chrono::steady_clock;
using Stage = DeviceAttempt::Stage;

constexpr auto kWatchPeriod = std::chrono::milliseconds(50);

} // namespace

DeviceSupervisor::DeviceSupervisor(std::shared_ptr<DevicePicker> picker,
                                   int channel,
                                   MakeDeviceDriver make_driver,
                                   MakeStreamEnd make_end,
                                   DevicePatience patience)
    : picker_(std::move(picker)),
      channel_(channel),
      make_driver_(std::move(make_driver)),
      make_end_(std::move(make_end)),
      patience_(patience) {
    view_.name = picker_->name();
    view_.message = "Opening '" + view_.name + "'.";
    thread_ = std::thread([this] { supervise(); });
}

DeviceSupervisor::~DeviceSupervisor() {
    stop();
}

void DeviceSupervisor::stop() noexcept {
    if (!thread_.joinable()) {
        return;
    }
    {
        const std::lock_guard<std::mutex> lock(mutex_);
        stop_ = true;
        if (current_) {
            current_->wake();
        }
    }
    stop_changed_.notify_all();
    thread_.join();
}

DeviceSupervisor::View DeviceSupervisor::view() const {
    const std::lock_guard<std::mutex> lock(mutex_);
    return view_;
}

bool DeviceSupervisor::stopping() const {
    const std::lock_guard<std::mutex> lock(mutex_);
    return stop_;
}

bool DeviceSupervisor::pause(std::chrono::milliseconds time) {
    std::unique_lock<std::mutex> lock(mutex_);
    return !stop_changed_.wait_for(lock, time, [&] { return stop_; });
}

void DeviceSupervisor::wait_with(const std::string& message) {
    const std::lock_guard<std::mutex> lock(mutex_);
    view_.state = SourceState::waiting;
    view_.message = message;
}

void DeviceSupervisor::supervise() {
    std::chrono::milliseconds next_pause = patience_.first_pause;
    while (!stopping()) {
        const auto attempt = std::make_shared<DeviceAttempt>(make_driver_(), make_end_());
        {
            const std::lock_guard<std::mutex> lock(mutex_);
            current_ = attempt;
        }
        // The attempt's thread may outlive this supervisor, so it gets nothing of it.
        attempt->begin([picker = picker_](
                           const std::vector<Device>& devices) { return picker->pick(devices); },
                       channel_);
        const auto began = Clock::now();
        if (open(*attempt)) {
            listen(*attempt);
        }
        leave(*attempt);
        const bool lasted =
            Clock::now() - began > 2 * patience_.longest_pause && attempt->stream_end().calls() > 0;
        next_pause = lasted ? patience_.first_pause : next_pause;
        if (!pause(next_pause)) {
            break;
        }
        next_pause = std::min(2 * next_pause, patience_.longest_pause);
    }
}

bool DeviceSupervisor::open(DeviceAttempt& attempt) {
    const auto deadline = Clock::now() + patience_.open;
    for (;;) {
        attempt.wait_for(Stage::running, kWatchPeriod);
        if (stopping()) {
            return false;
        }
        const DeviceAttempt::Report report = attempt.report();
        if (report.opened) {
            const std::lock_guard<std::mutex> lock(mutex_);
            view_.opened = *report.opened;
            view_.name = report.opened->device.name;
            view_.message = "Waiting for '" + view_.name + "' to begin.";
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

void DeviceSupervisor::listen(DeviceAttempt& attempt) {
    std::uint64_t calls = 0;
    auto last = Clock::now();
    while (!stopping()) {
        attempt.wait_for(Stage::closing, kWatchPeriod);
        const auto now = Clock::now();
        const std::uint64_t calls_now = attempt.stream_end().calls();
        if (calls == 0 && calls_now > 0) {
            const std::lock_guard<std::mutex> lock(mutex_);
            view_.state = SourceState::running;
            view_.message.clear();
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
            wait_with("'" + picker_->name() +
                      "' does not respond any more; trying to take it again.");
            return;
        }
    }
}

void DeviceSupervisor::leave(DeviceAttempt& attempt) {
    attempt.end();
    const auto deadline = Clock::now() + patience_.close;
    while (attempt.report().stage != Stage::done && Clock::now() < deadline) {
        attempt.wait_for(Stage::done, kWatchPeriod);
    }
    const std::lock_guard<std::mutex> lock(mutex_);
    if (attempt.report().stage != Stage::done && !stop_) {
        view_.message = "The sound system does not let go of '" + view_.name +
                        "'; waiting for it. If that lasts, start the program again.";
    }
    current_.reset();
}

} // namespace bellhand::audio

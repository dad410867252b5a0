#include "audio/device_attempt.h"

#include <thread>
#include <utility>

namespace bellhand::audio {

namespace {

constexpr auto kAlivePoll = std::chrono::milliseconds(100);

} // namespace

void DeviceAttempt::begin(PickDevice pick, int channel) {
    std::thread([self = shared_from_this(), pick = std::move(pick), channel] {
        self->run(pick, channel);
    }).detach(); // see the class comment: it must be possible to leave it behind
}

void DeviceAttempt::run(const PickDevice& pick, int channel) {
    Result<OpenedDevice> opened = driver_->open(pick, channel, *end_);
    {
        const std::lock_guard<std::mutex> lock(mutex_);
        if (opened) {
            report_.opened = *opened;
            report_.stage = Stage::running;
        } else {
            report_.error = opened.error().message;
        }
    }
    changed_.notify_all();
    if (opened) {
        wait_until_told();
    }
    set_stage(Stage::closing);
    driver_->close();
    driver_.reset();
    set_stage(Stage::done);
}

void DeviceAttempt::wait_until_told() {
    std::unique_lock<std::mutex> lock(mutex_);
    while (!ending_) {
        changed_.wait_for(lock, kAlivePoll);
        lock.unlock();
        const bool alive = driver_->alive();
        lock.lock();
        if (!alive) {
            report_.driver_lost_it = true;
            return;
        }
    }
}

void DeviceAttempt::set_stage(Stage stage) {
    {
        const std::lock_guard<std::mutex> lock(mutex_);
        report_.stage = stage;
    }
    changed_.notify_all();
}

void DeviceAttempt::end() noexcept {
    end_->revoke();
    {
        const std::lock_guard<std::mutex> lock(mutex_);
        ending_ = true;
    }
    changed_.notify_all();
}

void DeviceAttempt::wait_for(Stage stage, std::chrono::milliseconds limit) {
    std::unique_lock<std::mutex> lock(mutex_);
    changed_.wait_for(lock, limit, [&] { return report_.stage >= stage || woken_; });
    woken_ = false;
}

void DeviceAttempt::wake() noexcept {
    {
        const std::lock_guard<std::mutex> lock(mutex_);
        woken_ = true;
    }
    changed_.notify_all();
}

DeviceAttempt::Report DeviceAttempt::report() const {
    const std::lock_guard<std::mutex> lock(mutex_);
    return report_;
}

} // namespace bellhand::audio

#include "audio/capture_attempt.h"

#include <thread>
#include <utility>

namespace bellhand::audio {

namespace {

constexpr auto kAlivePoll = std::chrono::milliseconds(100);

} // namespace

void CaptureAttempt::begin(PickDevice pick, int channel, PrepareCapture prepare) {
    std::thread([self = shared_from_this(),
                 pick = std::move(pick),
                 channel,
                 prepare = std::move(prepare)] {
        self->run(pick, channel, prepare);
    }).detach(); // see the class comment: it must be possible to leave it behind
}

void CaptureAttempt::run(const PickDevice& pick, int channel, const PrepareCapture& prepare) {
    Result<OpenedDevice> opened = driver_->open(pick, channel, prepare, capture_);
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

void CaptureAttempt::wait_until_told() {
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

void CaptureAttempt::set_stage(Stage stage) {
    {
        const std::lock_guard<std::mutex> lock(mutex_);
        report_.stage = stage;
    }
    changed_.notify_all();
}

void CaptureAttempt::end() noexcept {
    capture_.revoke();
    {
        const std::lock_guard<std::mutex> lock(mutex_);
        ending_ = true;
    }
    changed_.notify_all();
}

void CaptureAttempt::wait_for(Stage stage, std::chrono::milliseconds limit) {
    std::unique_lock<std::mutex> lock(mutex_);
    changed_.wait_for(lock, limit, [&] { return report_.stage >= stage || woken_; });
    woken_ = false;
}

void CaptureAttempt::wake() noexcept {
    {
        const std::lock_guard<std::mutex> lock(mutex_);
        woken_ = true;
    }
    changed_.notify_all();
}

CaptureAttempt::Report CaptureAttempt::report() const {
    const std::lock_guard<std::mutex> lock(mutex_);
    return report_;
}

} // namespace bellhand::audio

#pragma once

#include "audio/device_driver.h"

#include <atomic>
#include <chrono>
#include <memory>
#include <mutex>
#include <thread>
#include <vector>

namespace bellhand::test {

/// An output device that keeps what it is given, some ten times faster than the clock. A test can take it away.
struct FakeLoudspeaker {
    std::atomic<bool> there{true};
    std::atomic<int> opened{0};
    double rate_hz = 48000.0;
    std::mutex mutex;
    std::vector<float> played; ///< left channel

    [[nodiscard]] std::vector<float> taken() {
        const std::scoped_lock lock(mutex);
        return played;
    }
};

class FakeLoudspeakerDriver final : public audio::DeviceDriver {
public:
    explicit FakeLoudspeakerDriver(std::shared_ptr<FakeLoudspeaker> speaker)
        : speaker_(std::move(speaker)) {}
    ~FakeLoudspeakerDriver() override { close(); }
    FakeLoudspeakerDriver(const FakeLoudspeakerDriver&) = delete;
    FakeLoudspeakerDriver& operator=(const FakeLoudspeakerDriver&) = delete;

    Result<audio::OpenedDevice>
    open(const audio::PickDevice& pick, int /*channel*/, audio::StreamEnd& end) override {
        std::vector<audio::Device> devices;
        if (speaker_->there) {
            audio::Device device;
            device.host_api = "Invented";
            device.name = device.id = "Loudspeaker";
            device.outputs = 2;
            device.default_output = true;
            devices.push_back(device);
        }
        const auto picked = pick(devices);
        if (!picked) {
            return tl::unexpected(picked.error());
        }
        audio::OpenedDevice out;
        out.device = devices[*picked];
        out.format = {speaker_->rate_hz, 2};
        end.prepare(out.format);
        ++speaker_->opened;
        going_ = true;
        thread_ = std::thread([this, &end] {
            std::vector<float> frames(2 * 256);
            while (going_) {
                if (!end.exchange(nullptr, frames.data(), 256, false)) {
                    return;
                }
                {
                    const std::scoped_lock lock(speaker_->mutex);
                    for (std::size_t i = 0; i < frames.size(); i += 2) {
                        speaker_->played.push_back(frames[i]);
                    }
                }
                std::this_thread::sleep_for(std::chrono::microseconds(500));
            }
        });
        return out;
    }
    bool alive() override { return speaker_->there; }
    void close() noexcept override {
        going_ = false;
        if (thread_.joinable()) {
            thread_.join();
        }
    }

private:
    std::shared_ptr<FakeLoudspeaker> speaker_;
    std::atomic<bool> going_{false};
    std::thread thread_;
};

} // namespace bellhand::test

#include "audio/take_player.h"

#include "audio/device_choice.h"
#include "audio/file_feed.h"
#include "audio/output.h"
#include "audio/portaudio_driver.h"
#include "audio/take_stream.h"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <mutex>
#include <thread>
#include <utility>
#include <vector>

#include <SoundTouch.h>

namespace bellhand::audio {

namespace {

constexpr auto kNap = std::chrono::milliseconds(5);
constexpr std::size_t kAhead = 64; // blocks: a sixth of a second at 48 kHz

/// Where the reading thread is to go on, and how fast.
struct Wish {
    std::uint32_t cut = 0;
    double from_s = 0.0;
    double speed = 1.0;
};

class DeviceTakePlayer final : public TakePlayer {
public:
    DeviceTakePlayer(std::unique_ptr<FileFeed> feed,
                     const DeviceChoice& output,
                     MakeDeviceDriver make_driver,
                     DevicePatience patience)
        : feed_(std::move(feed)),
          length_s_(static_cast<double>(feed_->facts().frames) / feed_->facts().sample_rate_hz),
          picker_(std::make_shared<DevicePicker>(output, Direction::output)),
          make_driver_(std::move(make_driver)),
          patience_(patience) {
        reader_ = std::thread([this] { read_on(); });
    }

    ~DeviceTakePlayer() override {
        stop_.store(true);
        reader_.join();
        if (supervisor_) {
            supervisor_->stop();
        }
    }
    DeviceTakePlayer(const DeviceTakePlayer&) = delete;
    DeviceTakePlayer& operator=(const DeviceTakePlayer&) = delete;

    void play() override {
        if (shared_->ended.load()) {
            seek(0.0);
        }
        if (!supervisor_) {
            supervisor_ = std::make_unique<DeviceSupervisor>(
                picker_,
                0,
                make_driver_,
                [shared = shared_] { return std::make_shared<TakeStream>(shared); },
                patience_);
        }
        shared_->playing.store(true);
    }

    void pause() noexcept override { shared_->playing.store(false); }

    void seek(double position_s) override {
        wish([&](Wish& wish) {
            wish.from_s = std::isfinite(position_s) ? std::clamp(position_s, 0.0, length_s_) : 0.0;
        });
    }

    void set_speed(double speed) override {
        if (!std::isfinite(speed)) {
            return;
        }
        wish([&](Wish& wish) {
            wish.from_s = shared_->position_s.load();
            wish.speed = std::clamp(speed, kSlowest, kFastest);
        });
    }

    TakeStatus status() const override {
        TakeStatus status;
        status.output_name = picker_->name();
        if (supervisor_) {
            const DeviceSupervisor::View view = supervisor_->view();
            status.output = view.state;
            status.output_name = view.name;
            status.message = view.message;
        }
        status.playing = shared_->playing.load();
        status.ended = shared_->ended.load();
        status.position_s = shared_->position_s.load();
        status.length_s = length_s_;
        const std::scoped_lock lock(mutex_);
        status.speed = wish_.speed;
        if (!problem_.empty()) {
            status.message = problem_;
        }
        return status;
    }

private:
    template <typename Change>
    void wish(Change change) {
        const std::scoped_lock lock(mutex_);
        change(wish_);
        ++wish_.cut;
        shared_->ended.store(false);
        shared_->position_s.store(wish_.from_s);
        shared_->cut.store(wish_.cut, std::memory_order_release);
    }

    [[nodiscard]] Wish wished() const {
        const std::scoped_lock lock(mutex_);
        return wish_;
    }

    // The reading thread.
    void read_on();
    void begin(const Wish& wish, double rate_hz);
    void feed_stretcher();
    void push_block();

    std::unique_ptr<FileFeed> feed_; // reading thread only
    const double length_s_;
    const std::shared_ptr<DevicePicker> picker_;
    const MakeDeviceDriver make_driver_;
    const DevicePatience patience_;
    const std::shared_ptr<TakeShared> shared_ = std::make_shared<TakeShared>();
    std::unique_ptr<DeviceSupervisor> supervisor_; // caller's thread only

    mutable std::mutex mutex_; // guards the next two
    Wish wish_;
    std::string problem_;

    std::atomic<bool> stop_{false};
    std::thread reader_;

    // Reading thread only.
    soundtouch::SoundTouch stretcher_;
    Wish now_;
    double rate_hz_ = 0.0;
    double at_s_ = 0.0; // in the take, of the next sample that is pushed
    bool file_over_ = false;
    bool over_ = false; // all is pushed
};

void DeviceTakePlayer::begin(const Wish& wish, double rate_hz) {
    const bool same_place = wish.cut == now_.cut && rate_hz_ > 0.0;
    const double from_s = same_place ? shared_->position_s.load() : wish.from_s; // another device
    now_ = wish;
    rate_hz_ = rate_hz;
    at_s_ = from_s;
    file_over_ = over_ = false;
    if (auto found = feed_->seek(from_s); !found) {
        const std::scoped_lock lock(mutex_);
        problem_ = found.error().message;
        file_over_ = true;
    }
    const double file_rate_hz = feed_->facts().sample_rate_hz;
    stretcher_.clear();
    stretcher_.setChannels(1);
    stretcher_.setSampleRate(static_cast<unsigned>(std::lround(file_rate_hz)));
    stretcher_.setRate(file_rate_hz /
                       rate_hz_); // as many samples as the device takes for the same sound
    stretcher_.setTempo(wish.speed);
}

void DeviceTakePlayer::feed_stretcher() {
    std::array<float, kBlockSamples> samples{};
    const auto count = feed_->read(samples);
    if (!count) {
        const std::scoped_lock lock(mutex_);
        problem_ = count.error().message;
    }
    if (!count || *count == 0) {
        file_over_ = true;
        stretcher_.flush();
        return;
    }
    stretcher_.putSamples(samples.data(), static_cast<unsigned>(*count));
}

void DeviceTakePlayer::push_block() {
    TakeBlock block;
    block.cut = now_.cut;
    block.at_s = at_s_;
    block.step_s = now_.speed / rate_hz_;
    block.count = stretcher_.receiveSamples(block.samples.data(), kTakeBlockSamples);
    // What the stretcher adds to its last piece is no part of the take.
    const double left = std::max(0.0, (length_s_ - at_s_) / block.step_s);
    block.count = std::min(block.count, static_cast<std::uint32_t>(std::ceil(left)));
    block.last = file_over_ && (stretcher_.numSamples() == 0 || block.count < kTakeBlockSamples);
    at_s_ += block.count * block.step_s;
    over_ = block.last;
    (void)shared_->ring.try_push(block); // there is room
}

void DeviceTakePlayer::read_on() {
    bool begun = false;
    while (!stop_.load()) {
        const Wish wish = wished();
        const double rate_hz = shared_->rate_hz.load();
        if (rate_hz > 0.0 && (!begun || wish.cut != now_.cut || rate_hz != rate_hz_)) {
            begin(wish, rate_hz);
            begun = true;
        }
        if (!begun || over_ || shared_->ring.size() >= kAhead) {
            std::this_thread::sleep_for(kNap);
            continue;
        }
        if (!file_over_ && stretcher_.numSamples() < kTakeBlockSamples) {
            feed_stretcher();
        } else {
            push_block();
        }
    }
}

} // namespace

Result<std::unique_ptr<TakePlayer>> open_take(const std::filesystem::path& path,
                                              const DeviceChoice& output,
                                              MakeDeviceDriver make_driver,
                                              DevicePatience patience) {
    auto feed = open_feed(path, 0);
    if (!feed) {
        return tl::unexpected(feed.error());
    }
    return std::make_unique<DeviceTakePlayer>(
        std::move(*feed), output, std::move(make_driver), patience);
}

Result<std::unique_ptr<TakePlayer>> open_take(const std::filesystem::path& path,
                                              const DeviceChoice& output) {
    if (const auto there = open_output(output); !there) { // a choice that can never be met
        return tl::unexpected(there.error());
    }
    return open_take(path, output, &make_portaudio_output);
}

} // namespace bellhand::audio

#include "audio/device_source.h"

#include <atomic>
#include <chrono>
#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::audio;
using namespace std::chrono_literals;

namespace {

/// A sound system that does what a test tells it, from any thread.
struct FakeSystem {
    std::mutex mutex;
    std::vector<Device> devices;
    double rate_hz = 48000.0;
    std::atomic<bool> sends{true};   ///< the device calls back
    std::atomic<bool> present{true}; ///< false: the driver knows that the open device is gone
    std::atomic<bool> hang_in_open{false};
    std::atomic<bool> hang_in_close{false};
    std::atomic<int> opened{0};
    std::atomic<int> closed{0};
};

Device device(const char* name, int index, int inputs = 2) {
    Device out;
    out.host_api = "Invented";
    out.name = name;
    out.id = name;
    out.index = index;
    out.inputs = inputs;
    out.default_input = index == 0;
    return out;
}

class FakeDriver final : public DeviceDriver {
public:
    explicit FakeDriver(std::shared_ptr<FakeSystem> system) : system_(std::move(system)) {}
    ~FakeDriver() override { close(); }
    FakeDriver(const FakeDriver&) = delete;
    FakeDriver& operator=(const FakeDriver&) = delete;

    Result<OpenedDevice> open(const PickDevice& pick, int channel, StreamEnd& end) override {
        while (system_->hang_in_open) {
            std::this_thread::sleep_for(1ms);
        }
        OpenedDevice out;
        {
            const std::lock_guard<std::mutex> lock(system_->mutex);
            const Result<std::size_t> picked = pick(system_->devices);
            if (!picked) {
                return tl::unexpected<Error>(picked.error());
            }
            out.device = system_->devices[*picked];
            out.format.sample_rate_hz = system_->rate_hz;
        }
        out.format.channels = out.device.inputs;
        if (const Result<void> there = check_channel(out.device, channel); !there) {
            return tl::unexpected<Error>(there.error());
        }
        end.prepare(out.format);
        ++system_->opened;
        open_ = true;
        thread_ =
            std::thread([this, &end, channels = static_cast<std::size_t>(out.format.channels)] {
                const std::vector<float> frames(channels * 64, 0.5F);
                while (!stop_) {
                    if (system_->sends && !end.exchange(frames.data(), nullptr, 64, false)) {
                        return;
                    }
                    std::this_thread::sleep_for(1ms);
                }
            });
        return out;
    }

    bool alive() override { return system_->present; }

    void close() noexcept override {
        if (!open_) {
            return;
        }
        while (system_->hang_in_close) {
            std::this_thread::sleep_for(1ms);
        }
        open_ = false;
        stop_ = true;
        thread_.join();
        ++system_->closed;
    }

private:
    std::shared_ptr<FakeSystem> system_;
    std::atomic<bool> stop_{false};
    bool open_ = false;
    std::thread thread_;
};

/// The limits a hundred times shorter than a person's; only silence may last, because a busy machine makes some.
DevicePatience short_patience(std::chrono::milliseconds silence = 10s) {
    DevicePatience out;
    out.open = 150ms;
    out.first_sound = silence;
    out.silence = silence;
    out.close = 150ms;
    out.first_pause = 10ms;
    out.longest_pause = 40ms;
    return out;
}

struct Bench {
    std::shared_ptr<FakeSystem> system = std::make_shared<FakeSystem>();
    BlockRing ring{1024};
    std::unique_ptr<DeviceSource> source;

    explicit Bench(std::vector<Device> devices,
                   DeviceChoice choice = {},
                   DevicePatience patience = short_patience()) {
        system->devices = std::move(devices);
        source = std::make_unique<DeviceSource>(
            std::move(choice),
            [system = system] { return std::make_unique<FakeDriver>(system); },
            patience);
    }

    void set_devices(std::vector<Device> devices) const {
        const std::lock_guard<std::mutex> lock(system->mutex);
        system->devices = std::move(devices);
    }

    /// Waits (long, for a busy machine) until it holds; says whether it did.
    template <typename Condition>
    bool until(Condition condition) const {
        for (const auto began = std::chrono::steady_clock::now();
             std::chrono::steady_clock::now() - began < 10s;) {
            if (condition(source->status())) {
                return true;
            }
            std::this_thread::sleep_for(2ms);
        }
        MESSAGE("waited in vain; state ",
                static_cast<int>(source->status().state),
                ": ",
                source->status().message);
        return false;
    }

    bool until_running() const {
        return until([](const SourceStatus& s) { return s.state == SourceState::running; });
    }
    bool until_message(const std::string& part) const {
        return until([&](const SourceStatus& s) {
            return s.state == SourceState::waiting && s.message.find(part) != std::string::npos;
        });
    }

    /// Throws away what is in the ring, then returns the next block that comes.
    Block fresh_block() {
        Block block;
        while (ring.try_pop(block)) {
        }
        for (int i = 0; i < 10000 && !ring.try_pop(block); ++i) {
            std::this_thread::sleep_for(1ms);
        }
        return block;
    }
};

} // namespace

TEST_SUITE("faults/device_lost") {
    TEST_CASE(
        "a device that stops is told, waited for and taken again as a new stream at its new rate") {
        DeviceChoice choice;
        choice.name = "horn microphone";
        Bench bench({device("Other", 0), device("Horn microphone", 1)}, choice);
        CHECK(bench.source->status().state == SourceState::idle);
        REQUIRE(bench.source->start(bench.ring).has_value());
        REQUIRE(bench.until_running());
        CHECK(bench.source->status().name == "Horn microphone");
        const Block before = bench.fresh_block();
        CHECK(before.stream == 0);
        CHECK(before.sample_rate_hz == 48000.0);

        bench.set_devices({device("Other", 0)});
        bench.system->present = false;
        REQUIRE(bench.until_message("'Horn microphone' is not there now"));
        const std::uint64_t delivered = bench.source->status().delivered_samples;
        CHECK(delivered > 0);

        bench.system->rate_hz = 44100.0;
        bench.set_devices(
            {device("Newcomer", 0), device("Other", 1), device("Horn microphone", 2)});
        bench.system->present = true;
        REQUIRE(bench.until_running());
        const Block after = bench.fresh_block();
        CHECK(after.stream > 0);
        CHECK(after.sample_rate_hz == 44100.0);
        CHECK(after.first_sample < before.first_sample + 10 * 44100); // counted anew
        CHECK(bench.source->status().name == "Horn microphone");
        CHECK(bench.source->status().message.empty());
        CHECK(bench.source->status().delivered_samples > delivered);
        bench.source->stop();
        CHECK(bench.system->opened == bench.system->closed);
    }

    TEST_CASE("a device that only falls silent is noticed by the watchdog") {
        Bench bench({device("Microphone", 0)}, {}, short_patience(200ms));
        REQUIRE(bench.source->start(bench.ring).has_value());
        REQUIRE(bench.until_running());
        bench.system->sends = false;
        REQUIRE(bench.until_message("does not respond any more"));
        bench.system->sends = true;
        REQUIRE(bench.until_running());
        CHECK(bench.system->opened >= 2);
    }

    TEST_CASE("a device that never sends a first sound is tried again") {
        Bench bench({device("Microphone", 0)}, {}, short_patience(200ms));
        bench.system->sends = false;
        REQUIRE(bench.source->start(bench.ring).has_value());
        REQUIRE(bench.until_message("to begin"));
        REQUIRE(bench.until_message("does not respond any more"));
        bench.system->sends = true;
        REQUIRE(bench.until_running());
    }

    TEST_CASE(
        "without any device the source waits and says so; the first that is plugged in is taken") {
        Bench bench({});
        REQUIRE(bench.source->start(bench.ring).has_value());
        REQUIRE(bench.until_message("No sound input was found"));
        bench.set_devices({device("Just plugged in", 0)});
        REQUIRE(bench.until_running());
        CHECK(bench.source->status().name == "Just plugged in");
    }

    TEST_CASE("a sound system that hangs while opening is told; stop does not wait for it") {
        Bench bench({device("Microphone", 0)});
        bench.system->hang_in_open = true;
        REQUIRE(bench.source->start(bench.ring).has_value());
        REQUIRE(bench.until_message("The sound system does not answer"));
        const auto began = std::chrono::steady_clock::now();
        bench.source->stop();
        CHECK(std::chrono::steady_clock::now() - began < 2s);
        CHECK(bench.source->status().state == SourceState::idle);
        bench.source.reset();
        // The attempt that was left behind comes back after source and ring could be gone: it must close by itself.
        bench.system->hang_in_open = false;
        for (int i = 0; i < 5000 && bench.system->closed == 0; ++i) {
            std::this_thread::sleep_for(1ms);
        }
        CHECK(bench.system->opened == 1);
        CHECK(bench.system->closed == 1);
        CHECK(bench.ring.size() == 0);
    }

    TEST_CASE("a sound system that hangs and comes back is used as if nothing had been") {
        Bench bench({device("Microphone", 0)});
        bench.system->hang_in_open = true;
        REQUIRE(bench.source->start(bench.ring).has_value());
        REQUIRE(bench.until_message("The sound system does not answer"));
        bench.system->hang_in_open = false;
        REQUIRE(bench.until_running());
    }

    TEST_CASE("a sound system that hangs while closing is told; nothing reaches the ring from it "
              "any more") {
        Bench bench({device("Microphone", 0)});
        REQUIRE(bench.source->start(bench.ring).has_value());
        REQUIRE(bench.until_running());
        bench.system->hang_in_close = true;
        const auto began = std::chrono::steady_clock::now();
        bench.source->stop();
        CHECK(std::chrono::steady_clock::now() - began < 2s);
        Block block;
        while (bench.ring.try_pop(block)) {
        }
        std::this_thread::sleep_for(20ms);
        CHECK(bench.ring.size() == 0);
        bench.system->hang_in_close = false;
        for (int i = 0; i < 5000 && bench.system->closed == 0; ++i) {
            std::this_thread::sleep_for(1ms);
        }
        CHECK(bench.system->closed == 1);
    }

    TEST_CASE("a source can be stopped and started again") {
        Bench bench({device("Microphone", 0)});
        for (std::uint32_t round = 0; round < 3; ++round) {
            REQUIRE(bench.source->start(bench.ring).has_value());
            CHECK_FALSE(bench.source->start(bench.ring).has_value());
            REQUIRE(bench.until_running());
            CHECK(bench.fresh_block().stream == round);
            bench.source->stop();
            bench.source->stop();
        }
        CHECK(bench.system->opened == 3);
        CHECK(bench.system->closed == 3);
    }

    TEST_CASE("a channel that the device has no more is told and waited for") {
        DeviceChoice choice;
        choice.channel = 2;
        Bench bench({device("Microphone", 0, 1)}, choice);
        REQUIRE(bench.source->start(bench.ring).has_value());
        REQUIRE(bench.until_message("'Microphone' has 1 channel: there is no channel 2"));
        bench.set_devices({device("Microphone", 0, 2)});
        REQUIRE(bench.until_running());
    }
}

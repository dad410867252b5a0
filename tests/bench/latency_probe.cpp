// How long from sound to reading, term by term, over a running sound server: plays bursts of horn tone into an output
// through `paplay` and listens to that output's monitor as the program does (device source, ring, practice session).
//
// usage: latency_probe DEVICE OUTPUT [BURSTS]      run by latency.py, which starts a server of its own
// Prints CSV, milliseconds, a line per burst:
//   f0_hz,to_ring,tone_needed,to_reading,total
//   to_ring      first sample of the tone written to the player -> that sample is in the program's ring: player, server,
//                capture buffer, driver's callback
//   tone_needed  sound time from the tone's first sample to the newest sample of the first right frame: what the
//                estimator must hear, hop included; no computer can shorten it
//   to_reading   arrival of that newest sample, had sound come without blocks -> the caller has the reading: rest of the
//                capture buffer, ring, analysis, reading queue, polling every millisecond
#include "audio/device.h"
#include "practice/practice.h"
#include "support/burst_player.h"

#include <atomic>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <mutex>
#include <thread>

namespace {

using namespace bellhand;
using Clock = std::chrono::steady_clock;
using namespace std::chrono_literals;

double ms_between(Clock::time_point a, Clock::time_point b) {
    return std::chrono::duration<double, std::milli>(b - a).count();
}

/// When the first sample of a tone passed, and where it lies in the stream.
struct Arrival {
    Clock::time_point at;
    double stream_s = 0.0;
};

/// A source that notes when a tone begins to arrive. It looks into the inner ring every fifth of a millisecond.
class Tap final : public audio::Source {
public:
    explicit Tap(std::unique_ptr<audio::Source> inner) : inner_(std::move(inner)), ring_(4096) {}
    ~Tap() override { stop(); }
    Tap(const Tap&) = delete;
    Tap& operator=(const Tap&) = delete;

    [[nodiscard]] Result<void> start(audio::BlockRing& out) override {
        if (auto started = inner_->start(ring_); !started) {
            return started;
        }
        running_ = true;
        thread_ = std::thread([this, &out] { pass_on(out); });
        return {};
    }
    void stop() noexcept override {
        inner_->stop();
        running_ = false;
        if (thread_.joinable()) {
            thread_.join();
        }
    }
    [[nodiscard]] audio::SourceStatus status() const override { return inner_->status(); }

    [[nodiscard]] std::vector<Arrival> arrivals() const {
        const std::lock_guard held(mutex_);
        return arrivals_;
    }

private:
    void pass_on(audio::BlockRing& out) {
        audio::Block block;
        double quiet_s = 1.0;
        while (running_) {
            const auto now = Clock::now();
            while (ring_.try_pop(block)) {
                for (std::uint32_t n = 0; n < block.count; ++n) {
                    if (std::abs(block.samples[n]) < 0.001F) {
                        quiet_s += 1.0 / block.sample_rate_hz;
                        continue;
                    }
                    if (quiet_s > 0.3) {
                        const std::lock_guard held(mutex_);
                        arrivals_.push_back({now, heard_s_ + n / block.sample_rate_hz});
                    }
                    quiet_s = 0.0;
                }
                heard_s_ += block.count / block.sample_rate_hz;
                static_cast<void>(out.try_push(block));
            }
            std::this_thread::sleep_for(200us);
        }
    }

    std::unique_ptr<audio::Source> inner_;
    audio::BlockRing ring_;
    std::thread thread_;
    std::atomic<bool> running_{false};
    double heard_s_ = 0.0;
    mutable std::mutex mutex_;
    std::vector<Arrival> arrivals_;
};

} // namespace

int main(int argc, char** argv) {
    if (argc < 3) {
        std::fprintf(stderr, "usage: latency_probe DEVICE OUTPUT [BURSTS]\n");
        return 2;
    }
    auto device = audio::open_device({argv[1], -1, 1});
    if (!device) {
        std::fprintf(stderr, "%s\n", device.error().message.c_str());
        return 1;
    }
    auto tapped = std::make_unique<Tap>(std::move(*device));
    const Tap& tap = *tapped;
    auto started = practice::Practice::start(std::move(tapped), {});
    if (!started) {
        std::fprintf(stderr, "%s\n", started.error().message.c_str());
        return 1;
    }
    auto& session = **started;
    struct Seen {
        Clock::time_point at;
        double time_s, f0_hz;
    };
    std::vector<Seen> seen;
    std::atomic<bool> playing{true};
    std::vector<Clock::time_point> written;
    std::thread player([&] {
        for (int i = 0; i < 200 && session.source_status().state != audio::SourceState::running;
             ++i) {
            std::this_thread::sleep_for(100ms);
        }
        std::this_thread::sleep_for(
            3s); // the server takes up to two seconds to send the first sound
        written = test::play_bursts(argv[2], argc > 3 ? std::atoi(argv[3]) : 20);
        std::this_thread::sleep_for(500ms);
        playing = false;
    });
    while (playing) {
        session.poll([&](const trainer::Reading& reading) {
            if (reading.frame.voiced) {
                seen.push_back({Clock::now(), reading.frame.time_s, reading.frame.f0_hz});
            }
        });
        std::this_thread::sleep_for(1ms);
    }
    player.join();
    session.stop();

    const auto arrivals = tap.arrivals();
    std::printf("f0_hz,to_ring,tone_needed,to_reading,total\n");
    if (arrivals.size() != written.size()) {
        std::fprintf(stderr, "%zu tones played, %zu arrived\n", written.size(), arrivals.size());
        return 1;
    }
    for (std::size_t i = 0; i < written.size(); ++i) {
        const double f0_hz = test::burst_hz(i);
        for (const Seen& s : seen) {
            if (s.time_s < arrivals[i].stream_s ||
                std::abs(1200.0 * std::log2(s.f0_hz / f0_hz)) > 50.0) {
                continue;
            }
            if (s.time_s > arrivals[i].stream_s + test::kBurstS) {
                break;
            }
            const double to_ring = ms_between(written[i], arrivals[i].at);
            const double needed = 1000.0 * (s.time_s - arrivals[i].stream_s);
            const double total = ms_between(written[i], s.at);
            std::printf("%.1f,%.1f,%.1f,%.1f,%.1f\n",
                        f0_hz,
                        to_ring,
                        needed,
                        total - to_ring - needed,
                        total);
            break;
        }
    }
}

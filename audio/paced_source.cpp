#include "audio/paced_source.h"

#include <algorithm>
#include <chrono>
#include <utility>

namespace bellhand::audio {

namespace {

using Clock = std::chrono::steady_clock;

constexpr auto kFullRingNap = std::chrono::microseconds(200);
constexpr auto kLongestNap =
    std::chrono::milliseconds(20); // so that stop is never waited for longer

} // namespace

PacedSource::PacedSource(Result<std::unique_ptr<SampleFeed>> feed, Pace pace, SourceStatus about)
    : feed_(std::move(feed)), pace_(pace), status_(std::move(about)) {}

PacedSource::~PacedSource() {
    stop();
}

Result<void> PacedSource::start(BlockRing& ring) {
    if (started_) {
        return usage_error("'" + status_.name +
                           "' was already started; open it again to hear it again.");
    }
    if (!feed_) {
        set_state(SourceState::failed, feed_.error().message);
        return tl::unexpected<Error>(feed_.error());
    }
    started_ = true;
    set_state(SourceState::running, {});
    thread_ = std::thread([this, &ring] { run(ring); });
    return {};
}

void PacedSource::stop() noexcept {
    stop_.store(true, std::memory_order_relaxed);
    if (thread_.joinable()) {
        thread_.join();
    }
}

SourceStatus PacedSource::status() const {
    SourceStatus out;
    {
        const std::lock_guard<std::mutex> lock(mutex_);
        out = status_;
    }
    out.delivered_samples = delivered_.load(std::memory_order_relaxed);
    out.dropped_samples = dropped_.load(std::memory_order_relaxed);
    out.overruns = overruns_.load(std::memory_order_relaxed);
    return out;
}

void PacedSource::set_state(SourceState state, std::string message) {
    const std::lock_guard<std::mutex> lock(mutex_);
    status_.state = state;
    status_.message = std::move(message);
}

bool PacedSource::hand_over(BlockRing& ring, const Block& block) {
    while (!ring.try_push(block)) {
        if (pace_ == Pace::real_time) {
            dropped_.fetch_add(block.count, std::memory_order_relaxed);
            overruns_.fetch_add(1, std::memory_order_relaxed);
            return true;
        }
        if (stopping()) {
            return false;
        }
        std::this_thread::sleep_for(kFullRingNap);
    }
    delivered_.fetch_add(block.count, std::memory_order_relaxed);
    return true;
}

void PacedSource::run(BlockRing& ring) {
    Block block;
    block.sample_rate_hz = status_.sample_rate_hz; // constant since construction
    const auto began = Clock::now();
    std::uint64_t position = 0;
    while (!stopping()) {
        const Result<std::size_t> count = (*feed_)->read(block.samples);
        if (!count) {
            set_state(SourceState::failed, count.error().message);
            return;
        }
        if (*count == 0) {
            break;
        }
        block.first_sample = position;
        block.count = static_cast<std::uint32_t>(*count);
        position += *count;
        if (pace_ == Pace::real_time) {
            const auto due =
                began + std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(
                            static_cast<double>(position) / block.sample_rate_hz));
            for (auto now = Clock::now(); now < due && !stopping(); now = Clock::now()) {
                std::this_thread::sleep_for(std::min<Clock::duration>(due - now, kLongestNap));
            }
            block.clock_s = clock_now_s();
        }
        if (stopping() || !hand_over(ring, block)) {
            return;
        }
    }
    while (ring.size() > 0 && !stopping()) {
        std::this_thread::sleep_for(kFullRingNap);
    }
    if (!stopping()) {
        set_state(SourceState::ended, (*feed_)->remark());
    }
}

} // namespace bellhand::audio

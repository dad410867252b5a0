#include "practice/own_sound.h"

namespace bellhand::practice {

namespace {

constexpr std::size_t kRingPlayed = 4096; // as long as the microphone's ring

}

OwnSound::OwnSound() : played_(kRingPlayed) {}

void OwnSound::follow() noexcept {
    while (const audio::PlayedBlock* block = played_.front()) {
        if (block->stream != output_stream_ || block->sample_rate_hz != output_rate_hz_) {
            output_stream_ = block->stream;
            output_rate_hz_ = block->sample_rate_hz;
            output_clock_.reset();
        }
        const auto end = static_cast<double>(block->first_sample + block->count);
        output_clock_.see(end / output_rate_hz_, block->clock_s);
        played_.release();
    }
}

void OwnSound::add_beat(const audio::Beat& beat) noexcept {
    if (waiting_count_ == kWaiting) {
        first_waiting_ = (first_waiting_ + 1) % kWaiting;
        --waiting_count_;
    }
    waiting_[(first_waiting_ + waiting_count_) % kWaiting] = beat;
    ++waiting_count_;
}

void OwnSound::hear(const audio::Block& block, double start_s) noexcept {
    if (block.clock_s == 0.0) {
        return; // not at the pace of time: a file read as fast as possible
    }
    if (block.stream != heard_stream_) {
        heard_stream_ = block.stream;
        session_clock_.reset();
    }
    session_clock_.see(start_s + static_cast<double>(block.count) / block.sample_rate_hz,
                       block.clock_s);
}

bool OwnSound::next_beat(HeardBeat& beat) noexcept {
    while (waiting_count_ > 0) {
        const audio::Beat& oldest = waiting_[first_waiting_];
        const bool lost = oldest.stream < output_stream_; // its stream is over
        if (!lost && (oldest.stream != output_stream_ || !output_clock_.known() ||
                      !session_clock_.known())) {
            return false;
        }
        if (!lost) {
            const double written_s = output_clock_.offset_s() +
                                     static_cast<double>(oldest.sample) / output_rate_hz_ -
                                     session_clock_.offset_s();
            beat.round_trip_s = reported_s_;
            beat.measured = false;
            beat.time_s = written_s + beat.round_trip_s;
            beat.number = oldest.number;
            beat.in_bar = oldest.in_bar;
            beat.stream = oldest.stream;
        }
        first_waiting_ = (first_waiting_ + 1) % kWaiting;
        --waiting_count_;
        if (!lost) {
            return true;
        }
    }
    return false;
}

} // namespace bellhand::practice

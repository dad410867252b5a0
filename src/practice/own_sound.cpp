#include "practice/own_sound.h"

#include "audio/reference_player.h"

#include <algorithm>

namespace bellhand::practice {

namespace {

constexpr std::size_t kRingPlayed = 4096; // as long as the microphone's ring
constexpr double kOutputGone_s = 1.0;     // without a block: it is lost, nothing sounds

} // namespace

OwnSound::OwnSound() : played_(kRingPlayed), past_(kPast) {}

void OwnSound::follow() noexcept {
    while (const audio::PlayedBlock* block = played_.front()) {
        if (block->stream != output_stream_ || block->sample_rate_hz != output_rate_hz_) {
            output_stream_ = block->stream;
            output_rate_hz_ = block->sample_rate_hz;
            output_clock_.reset();
            clicks_.reset_way();
            past_count_ = 0;
            underruns_ = block->underruns;
        }
        if (block->underruns != underruns_) {
            underruns_ = block->underruns;
            output_clock_.reset();
            if (remover_) {
                remover_->lose_phase();
            }
        }
        if (past_count_ > 0 && block->first_sample > past(0).first_sample + past(0).count) {
            ++lost_blocks_;
        }
        limited_ = block->limited;
        newest_ = (newest_ + 1) % kPast;
        past_[newest_] = *block;
        past_count_ = std::min(past_count_ + 1, kPast);
        const auto end = static_cast<double>(block->first_sample + block->count);
        output_clock_.see(end / output_rate_hz_, block->clock_s);
        played_.release();
    }
}

bleed::Report OwnSound::bleed() const noexcept {
    return remover_ ? remover_->report() : bleed::Report{};
}

double OwnSound::output_sample_at(double session_s) const noexcept {
    const double written_s = session_s - round_trip_s();
    return (written_s + session_clock_.offset_s() - output_clock_.offset_s()) * output_rate_hz_;
}

const audio::PlayedBlock* OwnSound::playing_at(double output_sample) const noexcept {
    for (std::size_t back = 0; back < past_count_; ++back) {
        const audio::PlayedBlock& block = past(back);
        if (output_sample >= static_cast<double>(block.first_sample)) {
            return &block;
        }
    }
    return nullptr;
}

bleed::Voices OwnSound::voices_over(const audio::Block& block, double start_s) const noexcept {
    bleed::Voices out{};
    if (past_count_ == 0 || block.clock_s > past(0).clock_s + kOutputGone_s) {
        return out;
    }
    // While the clocks are not known yet, what was played last is taken as due: good enough for a fade.
    const audio::PlayedBlock* due[2] = {&past(0), &past(0)};
    double share[2] = {0.0, 1.0};
    if (output_clock_.known() && session_clock_.known()) {
        for (int i = 0; i < 2; ++i) {
            const double length_s = i * static_cast<double>(block.count) / block.sample_rate_hz;
            const double sample = output_sample_at(start_s + length_s);
            due[i] = playing_at(sample);
            share[i] = due[i] == nullptr
                           ? 0.0
                           : std::min(1.0,
                                      (sample - static_cast<double>(due[i]->first_sample)) /
                                          static_cast<double>(due[i]->count));
        }
    }
    for (std::size_t v = 0; v < bleed::kVoices; ++v) {
        double gain[2] = {0.0, 0.0};
        for (int i = 0; i < 2; ++i) {
            if (due[i] != nullptr) {
                const audio::PlayedVoice& voice = due[i]->voices[v];
                gain[i] = voice.gain + share[i] * (voice.gain_after - voice.gain);
                out[v].hz = gain[i] > 0.0 ? voice.hz : out[v].hz;
            }
        }
        const audio::PlayedVoice& newest = past(0).voices[v];
        if (gain[0] == 0.0 && gain[1] == 0.0) {
            out[v].hz = newest.gain_after > 0.0 ? newest.hz : 0.0; // told early
        } else {
            out[v].gain = gain[0];
            out[v].gain_after = gain[1];
        }
    }
    return out;
}

void OwnSound::add_beat(const audio::Beat& beat) noexcept {
    if (waiting_count_ == kWaiting) {
        first_waiting_ = (first_waiting_ + 1) % kWaiting;
        --waiting_count_;
    }
    waiting_[(first_waiting_ + waiting_count_) % kWaiting] = beat;
    ++waiting_count_;
}

void OwnSound::tell_spectra(const bleed::Voices& voices) noexcept {
    for (std::size_t v = 0; v < bleed::kVoices; ++v) {
        if (voices[v].hz > 0.0 && voices[v].hz != told_hz_[v]) {
            std::array<double, audio::kReferenceHarmonics> amplitude{};
            audio::reference_spectrum(
                voices[v].hz, past(0).voices[v].colour, output_rate_hz_, amplitude);
            remover_->set_spectrum(static_cast<int>(v), amplitude);
        }
        told_hz_[v] = voices[v].hz;
    }
}

bool OwnSound::begin_stream(const audio::Block& block) {
    if (remover_ && block.stream == heard_stream_ && block.sample_rate_hz == heard_rate_hz_) {
        return false;
    }
    heard_stream_ = block.stream;
    heard_rate_hz_ = block.sample_rate_hz;
    session_clock_.reset();
    remover_ = std::make_unique<bleed::ToneRemover>(heard_rate_hz_);
    told_hz_.fill(0.0);
    clicks_.reset_sound(heard_rate_hz_);
    return true;
}

void OwnSound::hear(audio::Block& block, double start_s, bool horn_sounds) {
    if (block.clock_s == 0.0 || block.sample_rate_hz <= 0.0) {
        return; // not at the pace of time: a file read as fast as possible
    }
    if (!begin_stream(block) && block.first_sample != next_heard_) {
        remover_->lose_phase();
        clicks_.reset_sound(heard_rate_hz_);
    }
    next_heard_ = block.first_sample + block.count;
    session_clock_.see(start_s + static_cast<double>(block.count) / block.sample_rate_hz,
                       block.clock_s);
    clicks_.hear({block.samples.data(), block.count}, start_s);
    const bleed::Voices voices = voices_over(block, start_s);
    tell_spectra(voices);
    remover_->remove({block.samples.data(), block.count}, voices, horn_sounds);
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
            clicks_.expect(written_s, oldest.in_bar == 0);
            beat.round_trip_s = round_trip_s();
            beat.measured = clicks_.known();
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

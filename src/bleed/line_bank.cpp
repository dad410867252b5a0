#include "bleed/line_bank.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bellhand::bleed {

namespace {

constexpr double kHop_s = 0.0427; // two of them part lines 24 Hz apart, deep enough for any drone
constexpr double kHighestHz = 10000.0; // the ear looks no higher
constexpr double kTau = 2.0 * std::numbers::pi;
constexpr double kSteadyShare = 0.02;

} // namespace

LineBank::LineBank(double sample_rate_hz)
    : rate_hz_(sample_rate_hz),
      hop_(static_cast<std::size_t>(std::lround(kHop_s * sample_rate_hz))),
      rise_(hop_) {
    for (std::size_t i = 0; i < hop_; ++i) {
        rise_[i] = static_cast<float>(
            0.5 - 0.5 * std::cos(std::numbers::pi * (static_cast<double>(i) + 0.5) /
                                 static_cast<double>(hop_)));
    }
}

void LineBank::set_voice(int voice, double hz) noexcept {
    Running& running = voices_[at(voice)];
    running.hz = hz;
    running.turns = 0.0;
    const double highest_hz = std::min(kHighestHz, 0.45 * rate_hz_);
    running.lines = hz > 0.0 ? std::clamp(static_cast<int>(highest_hz / hz), 1, kHarmonics) : 0;
    const std::size_t first = at(voice * kHarmonics);
    for (auto* sums : {&coefficient_re_,
                       &coefficient_im_,
                       &whole_re_,
                       &whole_im_,
                       &risen_re_,
                       &risen_im_,
                       &before_re_,
                       &before_im_}) {
        std::fill_n(sums->begin() + static_cast<std::ptrdiff_t>(first), kHarmonics, 0.0F);
    }
    turns_before_[at(voice)] = 0.0;
}

void LineBank::run_voice(int voice, std::span<const float> samples, const Voice& now) noexcept {
    Running& running = voices_[at(voice)];
    const auto count = static_cast<int>(samples.size());
    const float gain_step = static_cast<float>((now.gain_after - now.gain) / std::max(count, 1));
    const float* rise = rise_.data() + filled_;
    for (int first = 0; first < running.lines; first += static_cast<int>(kLanes)) {
        const std::size_t base = at(voice * kHarmonics + first);
        float zr[kLanes], zi[kLanes], sr[kLanes], si[kLanes], cr[kLanes], ci[kLanes];
        float wr[kLanes] = {}, wi[kLanes] = {}, rr[kLanes] = {}, ri[kLanes] = {};
        for (std::size_t j = 0; j < kLanes; ++j) {
            const double k = first + static_cast<int>(j) + 1;
            const double phase = kTau * (k * running.turns - std::floor(k * running.turns));
            const double step = kTau * k * running.hz / rate_hz_;
            zr[j] = static_cast<float>(std::cos(phase));
            zi[j] = static_cast<float>(std::sin(phase));
            sr[j] = static_cast<float>(std::cos(step));
            si[j] = static_cast<float>(std::sin(step));
            cr[j] = coefficient_re_[base + j];
            ci[j] = coefficient_im_[base + j];
        }
        float gain = static_cast<float>(now.gain);
        for (int n = 0; n < count; ++n) {
            const float x = samples[at(n)];
            const float risen = x * rise[n];
            float* sum = sum_.data() + at(n) * kLanes;
            for (std::size_t j = 0; j < kLanes; ++j) {
                sum[j] += gain * (cr[j] * zr[j] - ci[j] * zi[j]);
                wr[j] += x * zr[j];
                wi[j] -= x * zi[j];
                rr[j] += risen * zr[j];
                ri[j] -= risen * zi[j];
                const float turned = zr[j] * sr[j] - zi[j] * si[j];
                zi[j] = zr[j] * si[j] + zi[j] * sr[j];
                zr[j] = turned;
            }
            gain += gain_step;
        }
        for (std::size_t j = 0; j < kLanes; ++j) {
            whole_re_[base + j] += wr[j];
            whole_im_[base + j] += wi[j];
            risen_re_[base + j] += rr[j];
            risen_im_[base + j] += ri[j];
        }
    }
    running.turns += running.hz / rate_hz_ * count;
    running.turns -= std::floor(running.turns);
}

void LineBank::run(std::span<float> samples, const Voices& voices) noexcept {
    std::fill_n(sum_.begin(), samples.size() * kLanes, 0.0F);
    for (int v = 0; v < kVoices; ++v) {
        if (voices_[at(v)].hz > 0.0) {
            run_voice(v, samples, voices[at(v)]);
        }
        const double mean = 0.5 * (voices[at(v)].gain + voices[at(v)].gain_after);
        const auto count = static_cast<double>(samples.size());
        const double rise = static_cast<double>(rise_[filled_ + samples.size() / 2]);
        whole_.gain[at(v)] += count * mean;
        risen_.gain[at(v)] += count * rise * mean;
        whole_.least[at(v)] = filled_ == 0 ? mean : std::min(whole_.least[at(v)], mean);
        whole_.most[at(v)] = filled_ == 0 ? mean : std::max(whole_.most[at(v)], mean);
    }
    for (std::size_t n = 0; n < samples.size(); ++n) {
        const float* sum = sum_.data() + n * kLanes;
        const float left = samples[n] - (sum[0] + sum[1] + sum[2] + sum[3]);
        const double heard_power =
            static_cast<double>(samples[n]) * static_cast<double>(samples[n]);
        const double left_power = static_cast<double>(left) * static_cast<double>(left);
        const double rise = static_cast<double>(rise_[filled_ + n]);
        whole_.heard += heard_power;
        risen_.heard += rise * heard_power;
        whole_.left += left_power;
        risen_.left += rise * left_power;
        samples[n] = left;
    }
    filled_ += samples.size();
}

LineBank::Frame LineBank::take(std::span<std::complex<float>> amplitudes) noexcept {
    Frame frame;
    const double scale = 1.0 / static_cast<double>(hop_); // the window's sum
    frame.power_heard = scale * (before_.heard + whole_.heard - risen_.heard);
    frame.power_left = scale * (before_.left + whole_.left - risen_.left);
    frame.turns = turns_before_;
    for (std::size_t v = 0; v < kVoices; ++v) {
        frame.gain[v] = scale * (before_.gain[v] + whole_.gain[v] - risen_.gain[v]);
        const double most = std::max(whole_.most[v], before_.most[v]);
        const double least = std::min(whole_.least[v], before_.least[v]);
        frame.steady = frame.steady && most - least <= kSteadyShare * most;
        const std::size_t first = v * kHarmonics;
        for (std::size_t i = first; i < first + at(voices_[v].lines); ++i) {
            amplitudes[i] = static_cast<float>(2.0 * scale) *
                            std::complex<float>(before_re_[i] + whole_re_[i] - risen_re_[i],
                                                before_im_[i] + whole_im_[i] - risen_im_[i]);
        }
        turns_before_[v] = voices_[v].turns;
    }
    before_ = risen_;
    before_.least = whole_.least;
    before_.most = whole_.most;
    before_re_ = risen_re_;
    before_im_ = risen_im_;
    whole_ = risen_ = {};
    for (auto* sums : {&whole_re_, &whole_im_, &risen_re_, &risen_im_}) {
        sums->fill(0.0F);
    }
    filled_ = 0;
    return frame;
}

} // namespace bellhand::bleed

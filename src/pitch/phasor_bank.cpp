#include "pitch/phasor_bank.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

namespace bellhand::pitch {

namespace {

constexpr int kLanes = 8;

} // namespace

PhasorBank::PhasorBank()
    : cosine_(static_cast<std::size_t>(2 * kMaxStep * kBankHarmonics)),
      sine_(static_cast<std::size_t>(2 * kMaxStep * kBankHarmonics)),
      rows_(static_cast<std::size_t>(kBlocks * 2 * kBankHarmonics)) {}

void PhasorBank::start(double omega, int harmonics, int step, std::span<const float> x) noexcept {
    omega_ = omega;
    harmonics_ = std::clamp(harmonics, 1, kBankHarmonics);
    lanes_ = (harmonics_ + kLanes - 1) / kLanes * kLanes;
    step_ = step;
    filled_ = 0;
    newest_ = 0;
    stretch_.fill(0.0F);
    for (int n = 0; n < 2 * step; ++n) {
        const double t = n - (step - 0.5);
        const double height = 1.0 - std::abs(t) / step;
        const std::complex<double> first = std::polar(1.0, -omega * t);
        std::complex<double> z = height * first;
        const auto base = static_cast<std::size_t>(n * kBankHarmonics);
        for (std::size_t l = 0; l < static_cast<std::size_t>(lanes_); ++l) {
            cosine_[base + l] = static_cast<float>(z.real());
            sine_[base + l] = static_cast<float>(z.imag());
            z *= first;
        }
    }
    for (std::size_t l = 0; l < static_cast<std::size_t>(lanes_); ++l) {
        turn_re_[l] = 1.0F;
        turn_im_[l] = 0.0F;
        const double angle =
            -std::remainder(omega * step * static_cast<double>(l + 1), 2.0 * std::numbers::pi);
        step_re_[l] = static_cast<float>(std::cos(angle));
        step_im_[l] = static_cast<float>(std::sin(angle));
    }
    push(x);
}

double PhasorBank::newest_phase() const noexcept {
    // The turn held ready is that of the block to come.
    return -std::atan2(static_cast<double>(turn_im_[0]), static_cast<double>(turn_re_[0])) -
           omega_ * step_;
}

void PhasorBank::push(std::span<const float> x) noexcept {
    const auto step = static_cast<std::size_t>(step_);
    for (std::size_t at = 0; at + step <= x.size(); at += step) {
        std::copy_n(stretch_.begin() + step_, step, stretch_.begin());
        std::copy_n(x.begin() + static_cast<std::ptrdiff_t>(at), step, stretch_.begin() + step_);
        add_block();
    }
}

void PhasorBank::add_block() noexcept {
    newest_ = newest_ + 1 == kBlocks ? 0 : newest_ + 1;
    filled_ = std::min(filled_ + 1, kBlocks);
    float* re = rows_.data() + static_cast<std::size_t>(newest_) * 2 * kBankHarmonics;
    float* im = re + kBankHarmonics;
    for (int first = 0; first < lanes_; first += kLanes) {
        float sum_re[kLanes] = {};
        float sum_im[kLanes] = {};
        const float* c = cosine_.data() + first;
        const float* s = sine_.data() + first;
        for (int n = 0; n < 2 * step_; ++n) {
            const float v = stretch_[static_cast<std::size_t>(n)];
            for (int k = 0; k < kLanes; ++k) {
                sum_re[k] += v * c[k];
                sum_im[k] += v * s[k];
            }
            c += kBankHarmonics;
            s += kBankHarmonics;
        }
        float* turn_re = turn_re_.data() + first;
        float* turn_im = turn_im_.data() + first;
        const float* step_re = step_re_.data() + first;
        const float* step_im = step_im_.data() + first;
        for (int k = 0; k < kLanes; ++k) {
            re[first + k] = sum_re[k] * turn_re[k] - sum_im[k] * turn_im[k];
            im[first + k] = sum_re[k] * turn_im[k] + sum_im[k] * turn_re[k];
            const float a = turn_re[k] * step_re[k] - turn_im[k] * step_im[k];
            const float b = turn_re[k] * step_im[k] + turn_im[k] * step_re[k];
            // One step of Newton's rule keeps the turning numbers on the unit circle.
            const float trim = 1.5F - 0.5F * (a * a + b * b);
            turn_re[k] = a * trim;
            turn_im[k] = b * trim;
        }
    }
}

} // namespace bellhand::pitch

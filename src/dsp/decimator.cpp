#include "dsp/decimator.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <stdexcept>

namespace bellhand::dsp {

namespace {

// Kaiser's rule: A dB need beta = 0.1102 (A - 8.7) and (A - 7.95) / (14.36 * width) taps, with the width of the
// transition relative to the input rate. (J. F. Kaiser, "Nonrecursive digital filter design using the I0-sinh window
// function", 1974.)
constexpr double kStopband_db = 70.0;
constexpr double kPassband = 0.40; // of the output rate
constexpr double kStop = 0.50;

double bessel_i0(double x) {
    double term = 1.0;
    double sum = 1.0;
    for (int k = 1; k < 60; ++k) {
        const double half = x / (2.0 * k);
        term *= half * half;
        sum += term;
    }
    return sum;
}

std::vector<float> low_pass(int factor) {
    if (factor == 1)
        return {1.0F};
    const double width = (kStop - kPassband) / factor;
    const int half = static_cast<int>(std::ceil((kStopband_db - 7.95) / (14.36 * width) / 2.0));
    const double beta = 0.1102 * (kStopband_db - 8.7);
    const double cutoff = 0.5 * (kPassband + kStop) / factor; // cycles per input sample
    std::vector<double> taps;
    for (int n = -half; n <= half; ++n) {
        const double x = static_cast<double>(n) / (half + 1);
        const double window = bessel_i0(beta * std::sqrt(1.0 - x * x)) / bessel_i0(beta);
        const double sinc =
            n == 0 ? 2.0 * cutoff
                   : std::sin(2.0 * std::numbers::pi * cutoff * n) / (std::numbers::pi * n);
        taps.push_back(window * sinc);
    }
    const double sum = std::accumulate(taps.begin(), taps.end(), 0.0);
    std::vector<float> out;
    out.reserve(taps.size());
    for (double tap : taps)
        out.push_back(static_cast<float>(tap / sum));
    return out;
}

} // namespace

Decimator::Decimator(int factor) : factor_(factor) {
    if (factor < 1)
        throw std::invalid_argument("decimation factor must be at least 1");
    taps_ = low_pass(factor);
    history_.assign(taps_.size() * 2, 0.0F);
}

double Decimator::delay_samples() const noexcept {
    return static_cast<double>(taps_.size() - 1) / 2.0;
}

bool Decimator::push(float in, float& out) noexcept {
    const std::size_t n = taps_.size();
    history_[at_] = in;
    history_[at_ + n] = in;
    at_ = at_ + 1 == n ? 0 : at_ + 1;
    if (++phase_ < factor_)
        return false;
    phase_ = 0;
    // Symmetric taps: the order of the stretch does not matter. Four sums let the compiler use vector registers.
    const float* x = history_.data() + at_;
    const float* h = taps_.data();
    float sum[4] = {0.0F, 0.0F, 0.0F, 0.0F};
    std::size_t i = 0;
    for (; i + 4 <= n; i += 4) {
        for (std::size_t k = 0; k < 4; ++k)
            sum[k] += x[i + k] * h[i + k];
    }
    for (; i < n; ++i)
        sum[0] += x[i] * h[i];
    out = (sum[0] + sum[1]) + (sum[2] + sum[3]);
    return true;
}

void Decimator::reset() noexcept {
    std::fill(history_.begin(), history_.end(), 0.0F);
    at_ = 0;
    phase_ = 0;
}

} // namespace bellhand::dsp

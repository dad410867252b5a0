#include "dsp/a_weighting.h"

#include <cmath>
#include <complex>
#include <numbers>

namespace bellhand::dsp {

namespace {

// Pole frequencies of IEC 61672-1:2013, Annex E.
constexpr double kF1_hz = 20.598997;
constexpr double kF2_hz = 107.65265;
constexpr double kF3_hz = 737.86223;
constexpr double kF4_hz = 12194.217;

double magnitude(double f) {
    const double f2 = f * f;
    return kF4_hz * kF4_hz * f2 * f2 /
           ((f2 + kF1_hz * kF1_hz) * std::sqrt(f2 + kF2_hz * kF2_hz) *
            std::sqrt(f2 + kF3_hz * kF3_hz) * (f2 + kF4_hz * kF4_hz));
}

} // namespace

double a_weighting_db(double frequency_hz) noexcept {
    return 20.0 * std::log10(magnitude(frequency_hz) / magnitude(1000.0));
}

AWeighting::AWeighting(double sample_rate_hz) : sample_rate_hz_(sample_rate_hz) {
    using std::numbers::pi;
    const std::array<double, 4> high_pass{kF1_hz, kF1_hz, kF2_hz, kF3_hz};
    for (std::size_t i = 0; i < 4; ++i) {
        const double k = std::tan(pi * high_pass[i] / sample_rate_hz);
        sections_[i].b0 = 1.0 / (1.0 + k);
        sections_[i].b1 = -sections_[i].b0;
        sections_[i].a1 = -(1.0 - k) / (1.0 + k);
    }
    // Squared level of the double pole, as the standard has it.
    const auto target = [](double f) {
        const double level = 1.0 / (1.0 + (f / kF4_hz) * (f / kF4_hz));
        return level * level;
    };
    Section& top = sections_[4];
    const double pole = std::exp(-2.0 * pi * kF4_hz / sample_rate_hz);
    top.a1 = -2.0 * pole;
    top.a2 = pole * pole;
    const double a_rest = (1.0 + top.a1 + top.a2) * (1.0 + top.a1 + top.a2);
    const double a_half = (1.0 - top.a1 + top.a2) * (1.0 - top.a1 + top.a2);
    const double a_mid = -4.0 * top.a2;
    const double f = sample_rate_hz / 3.0;
    const double p1 = std::pow(std::sin(pi / 3.0), 2.0);
    const double p0 = 1.0 - p1;
    const double p2 = 4.0 * p0 * p1;
    const double b_half = a_half * target(sample_rate_hz / 2.0);
    const double b_mid =
        ((a_rest * p0 + a_half * p1 + a_mid * p2) * target(f) - a_rest * p0 - b_half * p1) / p2;
    const double w = (std::sqrt(a_rest) + std::sqrt(b_half)) / 2.0;
    top.b0 = (w + std::sqrt(w * w + b_mid)) / 2.0;
    top.b1 = (std::sqrt(a_rest) - std::sqrt(b_half)) / 2.0;
    top.b2 = -b_mid / (4.0 * top.b0);
    gain_ = 1.0 / std::pow(10.0, response_db(1000.0) / 20.0);
}

double AWeighting::push(double x) noexcept {
    x *= gain_;
    for (Section& s : sections_) {
        const double y = s.b0 * x + s.b1 * s.x1 + s.b2 * s.x2 - s.a1 * s.y1 - s.a2 * s.y2;
        s.x2 = s.x1;
        s.x1 = x;
        s.y2 = s.y1;
        s.y1 = std::abs(y) < 1e-30 ? 0.0 : y; // no denormal numbers in silence
        x = s.y1;
    }
    return x;
}

double AWeighting::response_db(double frequency_hz) const noexcept {
    const std::complex<double> z1 =
        std::polar(1.0, -2.0 * std::numbers::pi * frequency_hz / sample_rate_hz_);
    std::complex<double> h = gain_;
    for (const Section& s : sections_)
        h *= (s.b0 + s.b1 * z1 + s.b2 * z1 * z1) / (1.0 + s.a1 * z1 + s.a2 * z1 * z1);
    return 20.0 * std::log10(std::abs(h));
}

void AWeighting::reset() noexcept {
    for (Section& s : sections_)
        s.x1 = s.x2 = s.y1 = s.y2 = 0.0;
}

} // namespace bellhand::dsp

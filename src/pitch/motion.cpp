#include "pitch/motion.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace bellhand::pitch {

namespace {

constexpr double kShortest_s = 0.25;
constexpr std::size_t kFewest = 12;
constexpr double kSlowest_hz = 3.5;
constexpr double kFastest_hz = 9.0;
constexpr double kStep_hz = 0.05;
constexpr double kLeastPeriods = 2.0;
constexpr double kLeastExtent_cents = 4.0;
constexpr double kLeastShare = 0.5;

// Normal equations of up to four functions.
struct Fit {
    std::array<double, 4> value{};
    double residual = 0.0; ///< mean square
};

Fit least_squares(std::span<const PitchPoint> points, double middle_s, double hz) noexcept {
    const int terms = hz > 0.0 ? 4 : 2;
    std::array<std::array<double, 5>, 4> a{};
    double squares = 0.0;
    const auto functions = [&](double time_s) {
        const double t = time_s - middle_s;
        const double angle = 2.0 * std::numbers::pi * hz * t;
        return std::array<double, 4>{1.0, t, std::sin(angle), std::cos(angle)};
    };
    for (const PitchPoint& p : points) {
        const auto f = functions(p.time_s);
        for (std::size_t i = 0; i < static_cast<std::size_t>(terms); ++i) {
            for (std::size_t j = 0; j < static_cast<std::size_t>(terms); ++j)
                a[i][j] += f[i] * f[j];
            a[i][4] += f[i] * p.cents;
        }
        squares += p.cents * p.cents;
    }
    Fit out;
    const auto n = static_cast<std::size_t>(terms);
    const auto right = a;
    for (std::size_t i = 0; i < n; ++i) {
        if (std::abs(a[i][i]) < 1e-12)
            return out;
        for (std::size_t r = i + 1; r < n; ++r) {
            const double factor = a[r][i] / a[i][i];
            for (std::size_t c = i; c < 5; ++c)
                a[r][c] -= factor * a[i][c];
        }
    }
    for (std::size_t i = n; i-- > 0;) {
        double sum = a[i][4];
        for (std::size_t c = i + 1; c < n; ++c)
            sum -= a[i][c] * out.value[c];
        out.value[i] = sum / a[i][i];
    }
    for (std::size_t i = 0; i < n; ++i)
        squares -= out.value[i] * right[i][4];
    out.residual = std::max(squares, 0.0) / static_cast<double>(points.size());
    return out;
}

} // namespace

PitchMotion pitch_motion(std::span<const PitchPoint> points) noexcept {
    PitchMotion out;
    if (points.size() < kFewest)
        return out;
    const double length_s = points.back().time_s - points.front().time_s;
    if (length_s < kShortest_s)
        return out;
    const double middle_s = 0.5 * (points.back().time_s + points.front().time_s);
    const Fit line = least_squares(points, middle_s, 0.0);
    out.known = true;
    out.mean_cents = line.value[0];
    out.drift_cents = line.value[1] * length_s;
    double noise = 0.0;
    for (const PitchPoint& p : points)
        noise += p.sd_cents * p.sd_cents;
    noise /= static_cast<double>(points.size());
    double rest = line.residual;
    Fit best = line;
    double best_hz = 0.0;
    for (double hz = std::max(kSlowest_hz, kLeastPeriods / length_s); hz <= kFastest_hz;
         hz += kStep_hz) {
        const Fit wave = least_squares(points, middle_s, hz);
        if (wave.residual < best.residual) {
            best = wave;
            best_hz = hz;
        }
    }
    const double extent = std::hypot(best.value[2], best.value[3]);
    if (best_hz > 0.0 && extent > kLeastExtent_cents &&
        best.residual < (1.0 - kLeastShare) * line.residual) {
        out.vibrato = true;
        out.vibrato_hz = best_hz;
        out.vibrato_cents = extent;
        out.mean_cents = best.value[0];
        out.drift_cents = best.value[1] * length_s;
        rest = best.residual;
    }
    out.wobble_cents = std::sqrt(std::max(rest - noise, 0.0));
    return out;
}

} // namespace bellhand::pitch

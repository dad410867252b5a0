#include "horn/acoustics/resonance.h"

#include <algorithm>
#include <cmath>

namespace bellhand::horn::acoustics {

namespace {

constexpr double kTolerance_hz = 1e-4;
constexpr double kGolden = 0.3819660112501051; // (3 - sqrt 5) / 2
constexpr double kHighestHarmonic_hz = 2000.0;

/// Maximum of f in [low, high] that holds one; `inside` with its value is the best point known so far.
template <typename Function>
double brent_maximum(const Function& f, double low, double inside, double high) {
    double x = inside;
    double w = inside;
    double v = inside;
    double fx = f(x);
    double fw = fx;
    double fv = fx;
    double step = 0.0;
    double before_last = high - low;
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        if (std::abs(x - middle) <= 2.0 * kTolerance_hz - 0.5 * (high - low)) {
            break;
        }
        bool golden = true;
        if (std::abs(before_last) > kTolerance_hz) {
            const double r = (x - w) * (fx - fv);
            double q = (x - v) * (fx - fw);
            double p = (x - v) * q - (x - w) * r;
            q = 2.0 * (q - r);
            p = q > 0.0 ? -p : p;
            q = std::abs(q);
            if (std::abs(p) < std::abs(0.5 * q * before_last) && p > q * (low - x) &&
                p < q * (high - x)) {
                before_last = step;
                step = p / q;
                golden = false;
            }
        }
        if (golden) {
            before_last = x < middle ? high - x : low - x;
            step = kGolden * before_last;
        }
        const double u =
            x + (std::abs(step) >= kTolerance_hz ? step : std::copysign(kTolerance_hz, step));
        const double fu = f(u);
        if (fu >= fx) {
            (u < x ? high : low) = x;
            v = w, fv = fw;
            w = x, fw = fx;
            x = u, fx = fu;
        } else {
            (u < x ? low : high) = u;
            if (fu >= fw || w == x) {
                v = w, fv = fw;
                w = u, fw = fu;
            } else if (fu >= fv || v == x || v == w) {
                v = u, fv = fu;
            }
        }
    }
    return x;
}

Resonance close_in(const Line& line, double low, double inside, double high) {
    const auto magnitude = [&line](double f_hz) { return line.impedance_magnitude(f_hz); };
    Resonance peak;
    peak.f_hz = brent_maximum(magnitude, low, inside, high);
    peak.magnitude_pa_s_m3 = magnitude(peak.f_hz);
    // Near the top |Z|^2 = top^2 / (1 + (2 Q d/f)^2): the drop at a known distance gives Q.
    const double d = 0.1;
    const double sides = magnitude(peak.f_hz - d) * magnitude(peak.f_hz + d);
    const double drop = peak.magnitude_pa_s_m3 * peak.magnitude_pa_s_m3 / sides - 1.0;
    peak.q = drop > 0.0 ? 0.5 * peak.f_hz * std::sqrt(drop) / d : 0.0;
    return peak;
}

} // namespace

std::vector<Resonance> resonances(const Line& line, const PeakSearch& search) {
    const double step = search.step_hz > 0.0
                            ? search.step_hz
                            : line.air().speed_m_s / (20.0 * std::max(line.length_m(), 0.05));
    std::vector<Resonance> found;
    double before = line.impedance_magnitude(search.lowest_hz);
    double here = line.impedance_magnitude(search.lowest_hz + step);
    for (double f = search.lowest_hz + step; f < search.highest_hz; f += step) {
        const double after = line.impedance_magnitude(f + step);
        if (here > before && here >= after) {
            found.push_back(close_in(line, f - step, f, f + step));
            if (static_cast<int>(found.size()) >= search.most) {
                break;
            }
        }
        before = here;
        here = after;
    }
    return found;
}

Resonance resonance_near(const Line& line, double guess_hz, double step_hz) {
    double middle = guess_hz;
    double here = line.impedance_magnitude(middle);
    const double up = line.impedance_magnitude(middle + step_hz);
    const double direction = up > here ? step_hz : -step_hz;
    double behind = middle - direction;
    // A ridge is at most half a peak spacing away; a hundred steps of it are far beyond any horn.
    for (int i = 0; i < 100; ++i) {
        const double next = middle + direction;
        if (next <= step_hz) {
            break;
        }
        const double value = line.impedance_magnitude(next);
        if (value <= here) {
            break;
        }
        behind = middle;
        middle = next;
        here = value;
    }
    const double ahead = middle + direction;
    return close_in(line, std::min(behind, ahead), middle, std::max(behind, ahead));
}

double playing_frequency_hz(const Line& line, double near_hz, int harmonics, double reach_cents) {
    const auto sum = [&](double f_hz) {
        double total = 0.0;
        for (int k = 1; k <= harmonics && k * near_hz <= kHighestHarmonic_hz; ++k) {
            total += line.at(k * f_hz).impedance_pa_s_m3.real() / k;
        }
        return total;
    };
    constexpr int kSteps = 24;
    const auto point = [&](int i) {
        return near_hz * std::exp2(reach_cents * i / kSteps / 1200.0);
    };
    int best = 0;
    double best_value = -1.0;
    for (int i = -kSteps; i <= kSteps; ++i) {
        const double value = sum(point(i));
        if (value > best_value) {
            best_value = value;
            best = i;
        }
    }
    return brent_maximum(sum, point(best - 1), point(best), point(best + 1));
}

} // namespace bellhand::horn::acoustics

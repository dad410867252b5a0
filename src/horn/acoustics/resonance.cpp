#include "horn/acoustics/resonance.h"

#include <algorithm>
#include <cmath>

namespace bellhand::horn::acoustics {

namespace {

constexpr double kTolerance_hz = 1e-4;
constexpr double kGolden = 0.3819660112501051; // (3 - sqrt 5) / 2

/// Brent's search for a maximum in (low, high): the three best points so far, and which step comes next.
class Brent {
public:
    Brent(double low, double inside, double high, double value)
        : low_(low),
          high_(high),
          x_(inside),
          w_(inside),
          v_(inside),
          fx_(value),
          fw_(value),
          fv_(value),
          before_last_(high - low) {}

    [[nodiscard]] double best() const noexcept { return x_; }
    [[nodiscard]] bool done() const noexcept {
        const double middle = 0.5 * (low_ + high_);
        return std::abs(x_ - middle) <= 2.0 * kTolerance_hz - 0.5 * (high_ - low_);
    }

    /// Where to look next: the top of the parabola through the three points when that is safe, else the golden section
    /// of the longer side.
    [[nodiscard]] double next() noexcept {
        if (!parabola()) {
            before_last_ = x_ < 0.5 * (low_ + high_) ? high_ - x_ : low_ - x_;
            step_ = kGolden * before_last_;
        }
        return x_ +
               (std::abs(step_) >= kTolerance_hz ? step_ : std::copysign(kTolerance_hz, step_));
    }

    void take(double u, double fu) noexcept {
        if (fu >= fx_) {
            (u < x_ ? high_ : low_) = x_;
            v_ = w_, fv_ = fw_;
            w_ = x_, fw_ = fx_;
            x_ = u, fx_ = fu;
            return;
        }
        (u < x_ ? low_ : high_) = u;
        if (fu >= fw_ || w_ == x_) {
            v_ = w_, fv_ = fw_;
            w_ = u, fw_ = fu;
        } else if (fu >= fv_ || v_ == x_ || v_ == w_) {
            v_ = u, fv_ = fu;
        }
    }

private:
    [[nodiscard]] bool parabola() noexcept {
        if (std::abs(before_last_) <= kTolerance_hz) {
            return false;
        }
        const double r = (x_ - w_) * (fx_ - fv_);
        double q = (x_ - v_) * (fx_ - fw_);
        double p = (x_ - v_) * q - (x_ - w_) * r;
        q = 2.0 * (q - r);
        p = q > 0.0 ? -p : p;
        q = std::abs(q);
        const bool shrinks = std::abs(p) < std::abs(0.5 * q * before_last_);
        if (!shrinks || p <= q * (low_ - x_) || p >= q * (high_ - x_)) {
            return false;
        }
        before_last_ = step_;
        step_ = p / q;
        return true;
    }

    double low_, high_;
    double x_, w_, v_; ///< best, second and the second before it
    double fx_, fw_, fv_;
    double step_ = 0.0;
    double before_last_;
};

/// Maximum of f in [low, high] that holds one; `inside` is the best point known so far.
template <typename Function>
double brent_maximum(const Function& f, double low, double inside, double high) {
    Brent search(low, inside, high, f(inside));
    constexpr int kMostSteps = 60;
    for (int i = 0; i < kMostSteps && !search.done(); ++i) {
        const double u = search.next();
        search.take(u, f(u));
    }
    return search.best();
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
    const int steps = static_cast<int>(std::ceil((search.highest_hz - search.lowest_hz) / step));
    for (int i = 1; i < steps; ++i) {
        const double f = search.lowest_hz + i * step;
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

} // namespace bellhand::horn::acoustics

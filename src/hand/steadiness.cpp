#include "hand/steadiness.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

namespace bellhand::hand {

namespace {

constexpr double kLeast_s = 0.5;
constexpr double kMost_s = 6.0;
// Trembling hands (8 to 12 Hz) and what shakes the horn more slowly, above the sway of fatigue (under 3 Hz): from memory.
// A vibrato (4 to 7 Hz) lies in the band too; the screens name it by itself.
constexpr double kTremorLow_hz = 3.0;
constexpr double kTremorHigh_hz = 12.0;
// What is called a sway at all, and how closely pitch and colour must go together (common practice, no source).
constexpr double kTremor_cents = 2.0;
constexpr double kSway_db = 0.6;
constexpr double kTogether = 0.5;

/// Straight line through one figure of the hops.
struct Line {
    double n = 0.0, t = 0.0, y = 0.0, tt = 0.0, ty = 0.0, yy = 0.0;
    void add(double time, double value) noexcept {
        n += 1.0;
        t += time;
        y += value;
        tt += time * time;
        ty += time * value;
        yy += value * value;
    }
    [[nodiscard]] double slope() const noexcept {
        const double spread = tt - t * t / n;
        return spread > 0.0 ? (ty - t * y / n) / spread : 0.0;
    }
    [[nodiscard]] double at(double time) const noexcept { return y / n + slope() * (time - t / n); }
    [[nodiscard]] double sd() const noexcept {
        return std::sqrt(std::max(0.0, yy / n - y * y / n / n));
    }
};

double brightness_of(const Hop& hop) {
    return std::log2(hop.colour.centroid_harmonic);
}

bool counts(const Hop& hop, double from_s, double to_s) {
    return hop.voiced && hop.judged_time_s >= from_s && hop.judged_time_s <= to_s &&
           hop.colour.known;
}

struct Lines {
    Line pitch;
    Line level;
    Line bright;
};

/// Sums over one frequency.
struct Tone {
    std::complex<double> pitch, level, bright;
};

Tone tone_at(const HopRing& hops,
             std::size_t oldest,
             double from_s,
             double to_s,
             double omega,
             double middle_pitch,
             const Lines& lines) noexcept {
    Tone sum;
    const double length_s = to_s - from_s;
    for (std::size_t back = oldest + 1; back-- > 0;) {
        const Hop& hop = hops.back(back);
        if (!counts(hop, from_s, to_s)) {
            continue;
        }
        const double t = hop.judged_time_s - from_s;
        const double window = 0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * t / length_s);
        const std::complex<double> turn = std::polar(window, -omega * t);
        sum.pitch += turn * (hop.judged_cents - middle_pitch - lines.pitch.at(t));
        sum.level += turn * (hop.level_dbfs - lines.level.at(t));
        sum.bright += turn * (brightness_of(hop) - lines.bright.at(t));
    }
    return sum;
}

Sway sway_of(const Steadiness& s) noexcept {
    if (s.tremor_cents >= kTremor_cents) {
        return std::fabs(s.with_colour) >= kTogether ? Sway::hand : Sway::breath;
    }
    return s.sway_db >= kSway_db ? Sway::lips : Sway::none;
}

} // namespace

Steadiness steadiness_of(const HopRing& hops, double from_s, double to_s) noexcept {
    Steadiness out;
    const std::size_t oldest = hops.since(from_s);
    if (oldest >= hops.size() || !(to_s - from_s >= kLeast_s)) {
        return out;
    }
    Line whole;
    double middle = 0.0;
    for (std::size_t back = oldest + 1; back-- > 0;) {
        const Hop& hop = hops.back(back);
        if (!counts(hop, from_s, to_s)) {
            continue;
        }
        if (whole.n == 0.0) {
            middle = hop.judged_cents;
        }
        whole.add(hop.judged_time_s - from_s, hop.judged_cents - middle);
    }
    if (whole.n < 40.0) {
        return out;
    }
    out.known = true;
    out.unsteady_cents = whole.sd();
    out.drift_cents_per_s = whole.slope();

    const double begin_s = std::max(from_s, to_s - kMost_s);
    Lines lines;
    double window_square = 0.0;
    for (std::size_t back = oldest + 1; back-- > 0;) {
        const Hop& hop = hops.back(back);
        if (!counts(hop, begin_s, to_s)) {
            continue;
        }
        const double t = hop.judged_time_s - begin_s;
        lines.pitch.add(t, hop.judged_cents - middle);
        lines.level.add(t, hop.level_dbfs);
        lines.bright.add(t, brightness_of(hop));
        const double window = 0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * t / (to_s - begin_s));
        window_square += window * window;
    }
    const double length_s = to_s - begin_s;
    const double rate_hz = lines.pitch.n / length_s;
    const double step_hz = std::min(0.5, 0.5 / length_s);
    const double scale = 2.0 * step_hz / (rate_hz * window_square);
    double pitch = 0.0;
    double level = 0.0;
    double bright = 0.0;
    double together = 0.0;
    double strongest = 0.0;
    for (double hz = kTremorLow_hz; hz <= kTremorHigh_hz; hz += step_hz) {
        const Tone tone =
            tone_at(hops, oldest, begin_s, to_s, 2.0 * std::numbers::pi * hz, middle, lines);
        pitch += std::norm(tone.pitch) * scale;
        level += std::norm(tone.level) * scale;
        bright += std::norm(tone.bright) * scale;
        together += (tone.pitch * std::conj(tone.bright)).real() * scale;
        if (std::norm(tone.pitch) > strongest) {
            strongest = std::norm(tone.pitch);
            out.tremor_hz = hz;
        }
    }
    out.tremor_cents = std::sqrt(pitch);
    out.sway_db = std::sqrt(level);
    out.with_colour = pitch > 0.0 && bright > 1e-12 ? together / std::sqrt(pitch * bright) : 0.0;
    out.sway = sway_of(out);
    return out;
}

} // namespace bellhand::hand

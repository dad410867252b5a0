#include "pitch/harmonic_search.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>

namespace bellhand::pitch {

namespace {

constexpr double kBand_hz = 7500.0;
constexpr int kMostTeeth = 40;
constexpr std::size_t kMostCandidates = 24;
constexpr double kNearlyAsGood = 0.85;
constexpr double kRatherGood = 0.7;
constexpr double kOfAnyStrength = 1e-3;
constexpr double kStillThere = 0.02;
constexpr double kStillContrast = 5.0;
constexpr double kNearlyAllLines = 0.9;
constexpr double kPriorBonus = 0.03;
constexpr double kPreviousBonus = 0.02;
constexpr double kFarBelow =
    6.3e-3;                        // 22 dB: a tooth that much under both its neighbours is missing
constexpr double kFilledIn = 0.75; // share of teeth, by the power around them, that must sound
constexpr double kExtra = 2e-3;    // share of the power that extra teeth must bring
constexpr int kEnoughTeeth = 5;    // teeth without a first one that make a series
constexpr float kHidden = 4.0F;    // times the floor: a tooth lower than this cannot be missed

} // namespace

namespace {

// Share of the lines' power on the comb, less what a comb so dense would catch of any other lines.
double beyond_chance(const PitchCandidate& c, double bin_hz) noexcept {
    const double covered = std::min(0.5, 2.0 * (0.4 * bin_hz + 5.0) / c.f0_hz);
    return c.lines - (1.0 - c.lines) * covered / (1.0 - covered);
}

} // namespace

HarmonicSearch::HarmonicSearch(double sample_rate_hz,
                               double window_s,
                               double lowest_hz,
                               double highest_hz)
    : spectrum_(sample_rate_hz, window_s),
      lowest_hz_(lowest_hz),
      highest_hz_(highest_hz),
      band_hz_(std::min(kBand_hz, 0.42 * sample_rate_hz)) {
    candidates_.reserve(kMostCandidates);
}

void HarmonicSearch::add(double f0_hz) noexcept {
    if (f0_hz < lowest_hz_ || f0_hz > highest_hz_ || candidates_.size() == kMostCandidates)
        return;
    for (double other : candidates_) {
        if (std::abs(f0_hz - other) < 0.006 * other)
            return;
    }
    candidates_.push_back(f0_hz);
}

void HarmonicSearch::collect(double previous_hz) noexcept {
    candidates_.clear();
    if (previous_hz > 0.0) {
        for (double factor : {1.0, 2.0, 0.5, 3.0, 1.0 / 3.0, 1.5, 2.0 / 3.0})
            add(previous_hz * factor);
    }
    spectrum_.look_at_lags();
    const double rate_hz = spectrum_.rate_hz();
    const auto first = static_cast<std::size_t>(std::max(2.0, rate_hz / highest_hz_));
    const std::size_t last = std::min(static_cast<std::size_t>(rate_hz / lowest_hz_),
                                      static_cast<std::size_t>(spectrum_.window() / 2));
    float highest = 0.0F;
    for (std::size_t lag = first; lag <= last; ++lag)
        highest = std::max(highest, spectrum_.correlation(lag));
    // The shortest good lags first: the true period is among them unless its multiples are much better.
    for (float share : {0.93F, 0.8F, 0.6F, 0.4F}) {
        int taken = 0;
        for (std::size_t lag = first; lag <= last && taken < 4; ++lag) {
            const float here = spectrum_.correlation(lag);
            if (here < share * highest)
                continue;
            const float before = spectrum_.correlation(lag - 1);
            const float after = spectrum_.correlation(lag + 1);
            if (here < before || here <= after)
                continue;
            const float bend = before - 2.0F * here + after;
            const float shift = bend < 0.0F ? 0.5F * (before - after) / bend : 0.0F;
            const double f0 = rate_hz / (static_cast<double>(lag) + static_cast<double>(shift));
            add(f0);
            if (taken == 0) {
                for (double factor : {2.0, 0.5, 3.0, 1.0 / 3.0})
                    add(f0 * factor);
            }
            ++taken;
        }
    }
}

PitchCandidate HarmonicSearch::weigh(double f0_hz) const noexcept {
    PitchCandidate found{};
    found.f0_hz = f0_hz;
    found.explained = -1.0;
    // Two passes: the low teeth place it to within a few cents, then all of them.
    double centre = f0_hz;
    for (int pass = 0; pass < 2; ++pass) {
        const double reach = pass == 0 ? 0.012 : 0.003;
        const int most = pass == 0 ? 16 : kMostTeeth;
        const int teeth = std::min(most, static_cast<int>(band_hz_ / centre));
        const double step =
            std::max(1.2 * spectrum_.bin_hz() / std::max(teeth, 4), reach * centre / 4.0);
        const int steps = std::max(1, static_cast<int>(reach * centre / step + 0.5));
        double best = -1.0;
        double best_at = centre;
        for (int i = -steps; i <= steps; ++i) {
            const double f = centre + i * step;
            float on = 0.0F;
            float off = 0.0F;
            float below = spectrum_.power_at(0.5 * f);
            for (int l = 1; l <= teeth; ++l) {
                const float above = spectrum_.power_at((l + 0.5) * f);
                on += spectrum_.power_at(l * f);
                off += 0.5F * (below + above);
                below = above;
            }
            if (static_cast<double>(on - off) > best) {
                best = static_cast<double>(on - off);
                best_at = f;
                found.contrast = static_cast<double>(on / (off + 1e-20F));
            }
        }
        centre = best_at;
        found.f0_hz = best_at;
        found.explained = spectrum_.share(best);
    }
    return found;
}

// Least squares of the comb on the lines it catches, by their power.
void HarmonicSearch::polish(PitchCandidate& c) const noexcept {
    double tolerance = 0.004;
    for (int round = 0; round < 2; ++round) {
        double top = 0.0;
        double bottom = 0.0;
        for (const SpectralPeak& peak : spectrum_.peaks()) {
            const double l = std::round(peak.hz / c.f0_hz);
            if (l < 1.0 || l > kMostTeeth ||
                std::abs(peak.hz - l * c.f0_hz) > 0.3 * spectrum_.bin_hz() + tolerance * peak.hz)
                continue;
            const double weight = peak.power / (peak.hz * peak.hz * 1e-6 + 1.0);
            top += weight * l * peak.hz;
            bottom += weight * l * l;
        }
        if (bottom > 0.0)
            c.f0_hz = top / bottom;
        tolerance = 0.002;
    }
}

void HarmonicSearch::describe(PitchCandidate& c) const noexcept {
    const double f = c.f0_hz;
    const double bin = spectrum_.bin_hz();
    // Lines on teeth, loosely, and the power of the line that sits just where each tooth belongs.
    std::array<double, kMostTeeth + 3> power{};
    double on = 0.0;
    double all = 0.0;
    double top_hz = 0.0;
    double slant_s = 0.0, slant_x = 0.0, slant_y = 0.0, slant_xx = 0.0, slant_xy = 0.0;
    c.first = c.teeth = 0;
    for (const SpectralPeak& peak : spectrum_.peaks()) {
        if (peak.hz > band_hz_)
            continue;
        all += peak.power;
        const double l = std::max(1.0, std::round(peak.hz / f));
        const double away = std::abs(peak.hz - l * f);
        if (away <= 0.4 * bin + 0.004 * peak.hz)
            on += peak.power;
        if (away <= 0.2 * bin + 0.0015 * peak.hz && l <= kMostTeeth) {
            const auto at = static_cast<std::size_t>(l);
            if (power[at] == 0.0)
                ++c.teeth;
            power[at] = std::max(power[at], peak.power);
            top_hz = peak.hz;
            if (c.first == 0)
                c.first = static_cast<int>(l);
        }
        if (away <= 0.6 * bin + 0.02 * peak.hz && l <= 16.0) {
            const double w = std::sqrt(peak.power) * l * l;
            const double y = peak.hz / (l * f) - 1.0;
            slant_s += w;
            slant_x += w * l * l;
            slant_y += w * y;
            slant_xx += w * l * l * l * l;
            slant_xy += w * l * l * y;
        }
    }
    c.lines = all > 0.0 ? on / all : 0.0;
    const double spread = slant_s * slant_xx - slant_x * slant_x;
    c.slant = spread > 1e-6 * slant_s * slant_xx
                  ? 2.0 * (slant_s * slant_xy - slant_x * slant_y) / spread
                  : 0.0;
    // Teeth that sound between sounding teeth.
    const int teeth = std::min(kMostTeeth, static_cast<int>(top_hz * 1.01 / f));
    double around = 0.0;
    double filled = 0.0;
    for (int l = 2; l < teeth; ++l) {
        const auto at = static_cast<std::size_t>(l);
        const double below = std::max(power[at - 1], l > 2 ? power[at - 2] : 0.0);
        const double above = std::max(power[at + 1], power[at + 2]);
        const double weight = std::min(below, above);
        if (static_cast<double>(kHidden * spectrum_.floor_at(l * f)) > kFarBelow * weight)
            continue; // the noise would hide it
        around += weight;
        if (power[at] >= kFarBelow * weight)
            filled += weight;
    }
    c.filled = around > 0.0 ? filled / around : 1.0;
    const double strongest = *std::max_element(power.begin(), power.end());
    int last = 0;
    int clear = 0;
    int sounding = 0;
    for (int l = 1; l <= kMostTeeth; ++l) {
        sounding += power[static_cast<std::size_t>(l)] > 0.0 ? 1 : 0;
        if (power[static_cast<std::size_t>(l)] > kOfAnyStrength * strongest) {
            last = l;
            clear = sounding;
        }
    }
    c.dense = last > 0 ? static_cast<double>(clear) / (last - c.first + 1) : 0.0;
    // Brightness and purity, from the spectrum itself: lines that move are no clear lines.
    double sum = 0.0;
    double high = 0.0;
    double beside = 0.0;
    const double near_hz = std::min(35.0, 0.42 * f);
    const double far_hz = std::min(60.0, 0.5 * f);
    const int most = std::min(kMostTeeth, static_cast<int>(band_hz_ / f));
    for (int l = 1; l <= most; ++l) {
        const auto here =
            static_cast<double>(spectrum_.power_near(l * f, 0.5 * bin + 0.002 * l * f));
        sum += here;
        if (l >= 4)
            high += here;
        for (int i = 0; i < 3; ++i) {
            const double d = near_hz + 0.5 * i * (far_hz - near_hz);
            beside +=
                static_cast<double>(spectrum_.power_at(l * f - d) + spectrum_.power_at(l * f + d)) /
                6.0;
        }
    }
    c.bright = sum > 0.0 ? high / sum : 0.0;
    c.purity = sum / (beside + 1e-20);
}

// Does `lower` have lines of its own that `higher` leaves out, filled in as evenly as those of one instrument?
bool HarmonicSearch::fills_in(const PitchCandidate& lower,
                              const PitchCandidate& higher) const noexcept {
    if (lower.filled < kFilledIn || (lower.first > 1 && lower.teeth < kEnoughTeeth))
        return false;
    const double bin = spectrum_.bin_hz();
    const auto on = [bin](double hz, double f0_hz) {
        const double l = std::max(1.0, std::round(hz / f0_hz));
        return std::abs(hz - l * f0_hz) <= 0.2 * bin + 0.0015 * hz;
    };
    double both = 0.0;
    double extra = 0.0;
    std::array<double, kMostTeeth + 2> own{};   // lines of the lower comb
    std::array<double, kMostTeeth + 2> upper{}; // lines of the higher comb
    for (const SpectralPeak& peak : spectrum_.peaks()) {
        if (peak.hz > band_hz_ || !on(peak.hz, lower.f0_hz))
            continue;
        both += peak.power;
        const auto place = [&peak](double f0_hz) {
            return static_cast<std::size_t>(
                std::clamp(std::round(peak.hz / f0_hz), 1.0, kMostTeeth + 1.0));
        };
        own[place(lower.f0_hz)] = peak.power;
        if (on(peak.hz, higher.f0_hz))
            upper[place(higher.f0_hz)] = peak.power;
        else
            extra += peak.power;
    }
    // Between two neighbouring lines of the higher comb every tooth of the lower one must sound.
    double around = 0.0;
    double filled = 0.0;
    for (int m = 2; m < kMostTeeth; ++m) {
        const double hz = m * lower.f0_hz;
        const double at = hz / higher.f0_hz;
        if (at < 1.0 || at >= kMostTeeth || on(hz, higher.f0_hz))
            continue;
        const auto l = static_cast<std::size_t>(at);
        const double weight = std::min(upper[l], upper[l + 1]);
        if (static_cast<double>(kHidden * spectrum_.floor_at(hz)) > kFarBelow * weight)
            continue;
        around += weight;
        if (own[static_cast<std::size_t>(m)] >= kFarBelow * weight)
            filled += weight;
    }
    if (filled < kFilledIn * around)
        return false;
    return extra > kExtra * both;
}

// Do the teeth of `c` that a multiple of it leaves out still sound?
bool HarmonicSearch::still_there(const PitchCandidate& c, double above_hz) const noexcept {
    const double parts = std::round(above_hz / c.f0_hz);
    if (std::abs(above_hz / (parts * c.f0_hz) - 1.0) > 0.02 || c.contrast < kStillContrast)
        return false;
    double all = 0.0;
    double between = 0.0;
    const int most = std::min(kMostTeeth, static_cast<int>(band_hz_ / c.f0_hz));
    for (int l = 1; l <= most; ++l) {
        const double hz = l * c.f0_hz;
        const auto power =
            static_cast<double>(spectrum_.power_near(hz, 0.5 * spectrum_.bin_hz() + 0.003 * hz));
        all += power;
        if (l % static_cast<int>(parts) != 0)
            between += power;
    }
    return between > kStillThere * all;
}

double HarmonicSearch::prior_bonus(double f0_hz, const PitchPrior& prior) noexcept {
    for (int p = 0; p < prior.count; ++p) {
        const PriorPeak& peak = prior.peaks[static_cast<std::size_t>(p)];
        if (std::abs(cents_between(f0_hz, peak.f0_hz)) < 2.0 * peak.sd_cents)
            return kPriorBonus;
    }
    return 0.0;
}

PitchCandidate HarmonicSearch::best(std::span<const float> x,
                                    double previous_hz,
                                    const PitchPrior& prior,
                                    double without_hz,
                                    bool established) noexcept {
    if (!spectrum_.look(x))
        return {};
    if (without_hz > 0.0)
        spectrum_.leave_out(without_hz);
    collect(previous_hz);
    std::array<PitchCandidate, kMostCandidates> weighed{};
    double most = 0.0;
    for (std::size_t i = 0; i < candidates_.size(); ++i) {
        weighed[i] = weigh(candidates_[i]);
        most = std::max(most, weighed[i].explained);
    }
    double most_lines = 0.0;
    for (std::size_t i = 0; i < candidates_.size(); ++i) {
        polish(weighed[i]);
        describe(weighed[i]);
        most_lines = std::max(most_lines, beyond_chance(weighed[i], spectrum_.bin_hz()));
    }
    const double least = kNearlyAsGood * most;
    std::size_t chosen = candidates_.size();
    for (std::size_t i = 0; i < candidates_.size(); ++i) {
        const PitchCandidate& c = weighed[i];
        double bonus = prior_bonus(c.f0_hz, prior);
        if (previous_hz > 0.0 && std::abs(c.f0_hz / previous_hz - 1.0) < 0.02)
            bonus += kPreviousBonus;
        const bool good = c.explained + bonus >= least ||
                          (c.explained + bonus >= kRatherGood * most &&
                           beyond_chance(c, spectrum_.bin_hz()) >= kNearlyAllLines * most_lines);
        if (good && (chosen == candidates_.size() || c.f0_hz > weighed[chosen].f0_hz))
            chosen = i;
    }
    if (chosen == candidates_.size())
        return {};
    for (bool again = true; again;) {
        again = false;
        std::size_t next = chosen;
        for (std::size_t i = 0; i < candidates_.size(); ++i) {
            const PitchCandidate& c = weighed[i];
            if (c.f0_hz < 0.98 * weighed[chosen].f0_hz && c.explained >= least &&
                (next == chosen || c.f0_hz > weighed[next].f0_hz) && fills_in(c, weighed[chosen]))
                next = i;
        }
        again = next != chosen;
        chosen = next;
    }
    // The octave or twelfth above a followed pitch takes its place only when the teeth between have gone: a wobbling note
    // is not filled in as exactly as a steady one.
    if (established && previous_hz > 0.0 && weighed[0].f0_hz < 0.7 * weighed[chosen].f0_hz &&
        std::abs(weighed[0].f0_hz / previous_hz - 1.0) < 0.02 &&
        still_there(weighed[0], weighed[chosen].f0_hz))
        return weighed[0];
    return weighed[chosen];
}

} // namespace bellhand::pitch

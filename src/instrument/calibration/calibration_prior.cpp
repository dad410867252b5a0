#include "core/cents.h"
#include "horn/acoustics/natural_horn.h"
#include "instrument/calibration/calibration.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bellhand::instrument {

OffsetPrior wide_offset_prior() noexcept {
    OffsetPrior prior;
    for (int n = 1; n <= kCalibratedPartials; ++n) {
        const auto i = static_cast<std::size_t>(n - 1);
        prior.together_sd_cents[i] = n > 12 ? 16.0 : 8.0;
        prior.alone_sd_cents[i] = 7.0;
    }
    constexpr std::array kLowest{100.0, 32.0, 17.0, 12.0, 8.0}; // the pedal is no resonance at all
    for (std::size_t i = 0; i < kLowest.size(); ++i) {
        prior.together_sd_cents[i] = kLowest[i];
    }
    return prior;
}

OffsetPrior model_offset_prior(double f1_hz, const horn::acoustics::AirState& air) {
    OffsetPrior prior = wide_offset_prior();
    const auto model_air = horn::acoustics::humid_air(air);
    const auto crook_m = horn::acoustics::crook_length_for_m({}, f1_hz, model_air);
    if (!crook_m) {
        return prior;
    }
    const auto open = horn::acoustics::horn_resonances(
        {}, *crook_m, horn::acoustics::hand_at(0.0), model_air, kCalibratedPartials);
    // A played pedal sits on f1, whatever the lowest resonance does: the first mean stays zero.
    for (std::size_t i = 1; i < prior.mean_cents.size() && !open.empty(); ++i) {
        const std::size_t known = std::min(i, open.size() - 1);
        prior.mean_cents[i] =
            cents_between(open[known].f_hz, static_cast<double>(known + 1) * f1_hz);
    }
    for (std::size_t i = 12; i < prior.together_sd_cents.size(); ++i) {
        prior.together_sd_cents[i] = 8.0;
    }
    return prior;
}

double held_note_sd_cents(double spread_cents, double held_s) noexcept {
    constexpr double kIndependentAfter_s = 0.060;
    const double readings = std::max(1.0, held_s / kIndependentAfter_s);
    return spread_cents * std::sqrt(0.5 * std::numbers::pi / readings);
}

double suiting_a4_hz(double f1_hz, const horn::Crook& crook) noexcept {
    // Written C4 on this crook is partial 4 and sounds crook.transposition semitones from C4, which lies nine below A4.
    return f1_hz * std::exp2((33.0 - crook.transposition) / 12.0);
}

} // namespace bellhand::instrument

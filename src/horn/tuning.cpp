#include "horn/tuning.h"

#include <cmath>
#include <cstdio>

namespace bellhand::horn {

namespace {
constexpr int kA4Number = 69;
}

Result<double> checked_a4(double a4_hz) {
    // Written so that NaN fails too.
    if (!(a4_hz >= kLowestA4Hz && a4_hz <= kHighestA4Hz)) {
        char sentence[120];
        if (std::isfinite(a4_hz) && std::fabs(a4_hz) < 1e6) {
            std::snprintf(sentence,
                          sizeof sentence,
                          "A4 = %g Hz is out of range: choose a pitch from %g to %g Hz.",
                          a4_hz,
                          kLowestA4Hz,
                          kHighestA4Hz);
        } else {
            std::snprintf(sentence,
                          sizeof sentence,
                          "A4 must be a pitch from %g to %g Hz, such as 430.",
                          kLowestA4Hz,
                          kHighestA4Hz);
        }
        return usage_error(sentence);
    }
    return a4_hz;
}

double target_hz(Note written, const Tuning& tuning) noexcept {
    const int sounding = written.number + tuning.crook.transposition;
    const double cents =
        100.0 * (sounding - kA4Number) + offset_from_equal_cents(tuning.temperament, sounding);
    return tuning.a4_hz * std::exp2(cents / 1200.0);
}

double fundamental_hz(const Tuning& tuning) noexcept {
    return tuning.a4_hz * std::exp2((tuning.crook.transposition - 33) / 12.0);
}

double cents_between(double hz, double reference_hz) noexcept {
    return 1200.0 * std::log2(hz / reference_hz);
}

} // namespace bellhand::horn

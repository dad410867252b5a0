#include "horn/tube.h"

#include "core/cents.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace bellhand::horn {

namespace {

constexpr std::array kUsualPitches_hz{415.0, 430.0, 440.0, 443.0};
constexpr double kSameName_cents = 25.0;
constexpr double kUsualPitch_cents = 4.0;
constexpr double kSamePitch_cents = 13.0; // 440 and 443 are one name

double off(double f1_hz, const Tuning& tuning) noexcept {
    return cents_between(f1_hz, fundamental_hz(tuning));
}

bool nearly(const Tuning& a, const Tuning& b) noexcept {
    return a.crook == b.crook && std::fabs(cents_between(a.a4_hz, b.a4_hz)) < kSamePitch_cents;
}

} // namespace

TubeName tube_name(double f1_hz, const Tuning& set) noexcept {
    TubeName best;
    best.off_cents = 1e9;
    for (const Crook& crook : all_crooks()) {
        Tuning tuning = set;
        tuning.crook = crook;
        const double off_cents = off(f1_hz, tuning);
        if (std::fabs(off_cents) < std::fabs(best.off_cents)) {
            best = {tuning, off_cents};
        }
    }
    return best;
}

std::vector<TubeName> other_tube_names(double f1_hz, const Tuning& given, std::size_t most) {
    std::vector<TubeName> names;
    for (const Crook& crook : all_crooks()) {
        for (const double a4_hz : kUsualPitches_hz) {
            Tuning tuning = given;
            tuning.crook = crook;
            tuning.a4_hz = a4_hz;
            const double off_cents = off(f1_hz, tuning);
            if (std::fabs(off_cents) <= kSameName_cents && !nearly(tuning, given)) {
                names.push_back({tuning, off_cents});
            }
        }
    }
    std::sort(names.begin(), names.end(), [](const TubeName& a, const TubeName& b) {
        return std::fabs(a.off_cents) < std::fabs(b.off_cents);
    });
    std::vector<TubeName> out;
    for (const TubeName& name : names) {
        const bool again = std::any_of(out.begin(), out.end(), [&](const TubeName& one) {
            return nearly(one.tuning, name.tuning);
        });
        if (!again && out.size() < most) {
            out.push_back(name);
        }
    }
    return out;
}

double suiting_pitch_hz(double a4_hz, double off_cents) noexcept {
    const double exact_hz = a4_hz * ratio_of_cents(off_cents);
    double suiting_hz = std::round(exact_hz);
    for (const double usual_hz : kUsualPitches_hz) {
        if (std::fabs(cents_between(exact_hz, usual_hz)) <= kUsualPitch_cents) {
            suiting_hz = usual_hz;
        }
    }
    return std::clamp(suiting_hz, kLowestA4Hz, kHighestA4Hz);
}

double slide_out_mm(double f1_hz, double off_cents) noexcept {
    constexpr double kSpeed_m_s = 347.0;
    constexpr double kSlower = 0.97;
    constexpr double kLegs = 2.0;
    const double sounding_hz = f1_hz * ratio_of_cents(off_cents);
    const double acoustic_m = 0.5 * kSpeed_m_s * (1.0 / f1_hz - 1.0 / sounding_hz);
    return 1000.0 * kSlower * acoustic_m / kLegs;
}

} // namespace bellhand::horn

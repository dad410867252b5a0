#include "horn/tuning.h"

#include "core/cents.h"

#include <array>
#include <cmath>
#include <cstdio>

namespace bellhand::horn {

namespace {
constexpr int kA4Number = 69;

// Place on the line of fifths: C 0, G 1, F -1, B flat -2.
int fifths_from_c(Note note) noexcept {
    const StaffName name = staff_name(note);
    // A B C D E F G
    constexpr std::array<int, 7> kOfLetter{3, 5, 0, 2, 4, -1, 1};
    return kOfLetter[static_cast<std::size_t>(name.letter - 'A')] + 7 * name.sharps;
}

Note spelled_by_fifths(int number, int fifths) noexcept {
    // From G flat (-6) to A sharp (10) every place is a plain letter or a black key.
    constexpr int kFlattest = -6;
    constexpr int kSharpest = 10;
    if (fifths < kFlattest || fifths > kSharpest) {
        return usual_spelling(number);
    }
    return {number, fifths < -1 ? -1 : fifths > 5 ? 1 : 0};
}

int fifths_of(const Crook& crook) noexcept {
    // A crook's key is spelled like its label, flats except F sharp.
    constexpr std::array<int, 12> kByStepsBelowC{0, 5, -2, 3, -4, 1, 6, -1, 4, -3, 2, -5};
    return kByStepsBelowC[static_cast<std::size_t>(-crook.transposition % 12)];
}
} // namespace

Note sounding_note(Note written, const Crook& crook) noexcept {
    return spelled_by_fifths(written.number + crook.transposition,
                             fifths_from_c(written) + fifths_of(crook));
}

Note written_note(Note sounding, const Crook& crook) noexcept {
    return spelled_by_fifths(sounding.number - crook.transposition,
                             fifths_from_c(sounding) - fifths_of(crook));
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
    return tuning.a4_hz * ratio_of_cents(cents);
}

double fundamental_hz(const Tuning& tuning) noexcept {
    return tuning.a4_hz * std::exp2((tuning.crook.transposition - 33) / 12.0);
}

} // namespace bellhand::horn

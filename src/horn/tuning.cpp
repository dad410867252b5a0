#include "horn/tuning.h"

#include "core/cents.h"
#include "horn/spelling.h"

#include <array>
#include <cmath>
#include <cstdio>

namespace bellhand::horn {

namespace {
constexpr int kA4Number = 69;
constexpr int kC4Number = 60;

int step_of(int number) noexcept {
    return ((number % 12) + 12) % 12;
}

std::string without_octave(const std::string& name) {
    return name.substr(0, name.find_last_not_of("0123456789") + 1);
}

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

int key_step(const Crook& crook) noexcept {
    return step_of(crook.transposition);
}

int root_step(const Tuning& tuning) noexcept {
    return tuning.footing.root.value_or(key_step(tuning.crook));
}

std::string step_name(int step) {
    return without_octave(ascii_name(usual_spelling(kC4Number + step)));
}

std::string root_label(const Tuning& tuning) {
    const int root = root_step(tuning);
    const std::string key = tuning.crook.label;
    return root == key_step(tuning.crook)
               ? key.substr(0, key.find(' '))
               : without_octave(display_name(usual_spelling(kC4Number + root)));
}

Result<int> parse_root(std::string_view text) {
    const auto spelled = take_letter(text);
    if (!spelled || !spelled->rest.empty()) {
        return usage_error("\"" + std::string(text.substr(0, 40)) +
                           "\" is no root: write a note without its octave, such as C, Eb or F#.");
    }
    return step_of(steps_above_c(spelled->letter) + spelled->sharps);
}

const char* anchor_id(Anchor anchor) noexcept {
    return anchor == Anchor::key ? "key" : "a";
}

std::optional<Anchor> anchor_of(std::string_view id) noexcept {
    for (const Anchor anchor : {Anchor::key, Anchor::a}) {
        if (id == anchor_id(anchor)) {
            return anchor;
        }
    }
    return std::nullopt;
}

double offset_from_equal_cents(const Tuning& tuning, int sounding_number) noexcept {
    constexpr int kStepOfA = 9;
    const int root = root_step(tuning);
    const int anchor = tuning.footing.anchor == Anchor::a ? kStepOfA : key_step(tuning.crook);
    const auto off = [&](int step) {
        return off_equal_cents(tuning.temperament, step_of(step - root), tuning.footing.enharmonic);
    };
    return off(sounding_number) - off(anchor);
}

double key_from_equal_cents(const Tuning& tuning) noexcept {
    return offset_from_equal_cents(tuning, tuning.crook.transposition);
}

std::string target_words(Note written, const Tuning& tuning) {
    constexpr std::array<const char*, 12> kIntervals{"octave",
                                                     "minor second",
                                                     "major second",
                                                     "minor third",
                                                     "major third",
                                                     "fourth",
                                                     "augmented fourth",
                                                     "fifth",
                                                     "minor sixth",
                                                     "major sixth",
                                                     "minor seventh",
                                                     "major seventh"};
    constexpr double kPure_cents = 0.05;
    const int above = step_of(written.number + tuning.crook.transposition - root_step(tuning));
    if (above == 0) {
        return "the root";
    }
    const Temperament& temperament = tuning.temperament;
    const double cents =
        100.0 * above + off_equal_cents(temperament, above, tuning.footing.enharmonic);
    // A meantone's sharp there is two major thirds above the root, no sixth.
    constexpr int kSixth = 8;
    const bool sharp_fifth = above == kSixth &&
                             temperament.flat_sixth_cents != temperament.cents[kSixth] &&
                             tuning.footing.enharmonic == Enharmonic::sharp;
    const double pure_ratio = sharp_fifth ? just_ratio(4) * just_ratio(4) : just_ratio(above);
    const double off_pure = cents - cents_between(pure_ratio, 1.0);
    const bool pure = std::fabs(off_pure) < kPure_cents;
    const char* const interval =
        sharp_fifth ? "augmented fifth" : kIntervals[static_cast<std::size_t>(above)];
    std::string words = pure ? "a pure " : *interval == 'a' ? "an " : "a ";
    words += interval + (" above " + root_label(tuning));
    if (!pure) {
        char text[60];
        std::snprintf(text,
                      sizeof text,
                      ", %.1f cents %s than pure",
                      std::fabs(off_pure),
                      off_pure > 0.0 ? "wider" : "narrower");
        words += text;
    }
    return words;
}

double target_hz(Note written, const Tuning& tuning) noexcept {
    const int sounding = written.number + tuning.crook.transposition;
    const double cents = 100.0 * (sounding - kA4Number) + offset_from_equal_cents(tuning, sounding);
    return tuning.a4_hz * ratio_of_cents(cents);
}

double fundamental_hz(const Tuning& tuning) noexcept {
    return tuning.a4_hz * std::exp2((tuning.crook.transposition - 33) / 12.0);
}

} // namespace bellhand::horn

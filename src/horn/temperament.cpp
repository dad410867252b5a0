#include "horn/temperament.h"

#include "core/cents.h"

#include <cctype>
#include <cmath>
#include <string>

namespace bellhand::horn {

namespace {

constexpr double kPureFifth = 701.9550008653874;      // 1200 log2(3/2)
constexpr double kPythagoreanComma = 23.460010384649; // twelve pure fifths less seven octaves
constexpr double kSyntonicComma = 21.506289596714;    // 81/80
constexpr double kSchisma = kPythagoreanComma - kSyntonicComma;

// How much each fifth is narrowed, in cents, in the order E♭-B♭, B♭-F, F-C, C-G, G-D, D-A, A-E, E-B, B-F♯, F♯-C♯,
// C♯-G♯. What is left over falls on G♯-E♭.
using Narrowing = std::array<double, 11>;

constexpr std::array<double, 12> from_fifths(const Narrowing& narrowing) {
    std::array<double, 12> cents{};
    constexpr std::size_t kFirstFifthUpFromC = 3;
    double reached = 0.0;
    std::size_t step = 0;
    for (std::size_t fifth = kFirstFifthUpFromC; fifth < narrowing.size(); ++fifth) {
        reached += kPureFifth - narrowing[fifth];
        reached -= reached >= 1200.0 ? 1200.0 : 0.0;
        step = (step + 7) % 12;
        cents[step] = reached;
    }
    reached = 1200.0;
    step = 12;
    for (std::size_t fifth = kFirstFifthUpFromC; fifth-- > 0;) {
        reached -= kPureFifth - narrowing[fifth];
        reached += reached < 0.0 ? 1200.0 : 0.0;
        step = (step + 5) % 12;
        cents[step] = reached;
    }
    return cents;
}

constexpr Narrowing every_fifth(double narrowing) {
    Narrowing all{};
    for (double& fifth : all) {
        fifth = narrowing;
    }
    return all;
}

constexpr std::array<double, 12> kJustRatios{1.0,
                                             16.0 / 15.0,
                                             9.0 / 8.0,
                                             6.0 / 5.0,
                                             5.0 / 4.0,
                                             4.0 / 3.0,
                                             45.0 / 32.0,
                                             3.0 / 2.0,
                                             8.0 / 5.0,
                                             5.0 / 3.0,
                                             9.0 / 5.0,
                                             15.0 / 8.0};

std::array<double, 12> just_cents() {
    std::array<double, 12> cents{};
    for (std::size_t step = 0; step < cents.size(); ++step) {
        cents[step] = cents_between(kJustRatios[step], 1.0);
    }
    return cents;
}

constexpr double kP = kPythagoreanComma;
constexpr double kS = kSyntonicComma;
constexpr double kYoungRest =
    (kP - 4 * 3 * kS / 16) / 4; // four fifths share what closes the circle

// The minor sixth by a chain of such fifths: four of them down, three octaves up.
constexpr double flat_sixth(double narrowing) {
    return 3600.0 - 4.0 * (kPureFifth - narrowing);
}

// Only a meantone has two notes there.
std::array<Temperament, 10> with_one_sixth(std::array<Temperament, 10> temperaments) {
    for (Temperament& temperament : temperaments) {
        if (temperament.flat_sixth_cents == 0.0) {
            temperament.flat_sixth_cents = temperament.cents[8];
        }
    }
    return temperaments;
}

const std::array<Temperament, 10>& table() noexcept {
    static const std::array<Temperament, 10> kTable = with_one_sixth({{
        {"equal",
         "Equal",
         from_fifths(every_fifth(kP / 12)),
         "computed: twelve equal semitones",
         0.0},
        {"quarter-comma",
         "Quarter-comma meantone",
         from_fifths(every_fifth(kS / 4)),
         "computed: each fifth a quarter of a syntonic comma narrow, from C with G# or A flat; P. "
         "Aaron",
         flat_sixth(kS / 4)},
        {"sixth-comma",
         "Sixth-comma meantone",
         from_fifths(every_fifth(kS / 6)),
         "computed: each fifth a sixth of a syntonic comma narrow, from C with G# or A flat",
         flat_sixth(kS / 6)},
        {"sixth-comma-pythagorean",
         "Sixth-comma meantone (Pythagorean)",
         from_fifths(every_fifth(kP / 6)),
         "computed: each fifth a sixth of a Pythagorean comma narrow, from C with G# or A flat",
         flat_sixth(kP / 6)},
        {"vallotti",
         "Vallotti",
         from_fifths({0, 0, kP / 6, kP / 6, kP / 6, kP / 6, kP / 6, kP / 6, 0, 0, 0}),
         "computed: F-C-G-D-A-E-B a sixth of a Pythagorean comma narrow; recipe J. M. Barbour, "
         "Tuning and Temperament (1951), from memory",
         0.0},
        {"young-1",
         "Young 1",
         from_fifths({0,
                      kYoungRest,
                      kYoungRest,
                      3 * kS / 16,
                      3 * kS / 16,
                      3 * kS / 16,
                      3 * kS / 16,
                      kYoungRest,
                      kYoungRest,
                      0,
                      0}),
         "computed: recipe T. Young, Phil. Trans. (1800), from memory",
         0.0},
        {"young-2",
         "Young 2",
         from_fifths({0, 0, 0, kP / 6, kP / 6, kP / 6, kP / 6, kP / 6, kP / 6, 0, 0}),
         "computed: C-G-D-A-E-B-F# a sixth of a Pythagorean comma narrow; recipe T. Young, Phil. "
         "Trans. (1800), from memory",
         0.0},
        {"kirnberger-3",
         "Kirnberger III",
         from_fifths({0, 0, 0, kS / 4, kS / 4, kS / 4, kS / 4, 0, 0, kSchisma, 0}),
         "computed: C-G-D-A-E a quarter of a syntonic comma narrow, F#-C# a schisma; from memory",
         0.0},
        {"werckmeister-3",
         "Werckmeister III",
         from_fifths({0, 0, 0, kP / 4, kP / 4, kP / 4, 0, 0, kP / 4, 0, 0}),
         "computed: C-G, G-D, D-A, B-F# a quarter of a Pythagorean comma narrow; recipe J. M. "
         "Barbour, Tuning and Temperament (1951), from memory",
         0.0},
        {"just",
         "Just",
         just_cents(),
         "computed: 16/15 9/8 6/5 5/4 4/3 45/32 3/2 8/5 5/3 9/5 15/8 above the root",
         0.0},
    }});
    return kTable;
}

// Lower case without blanks, hyphens, underscores.
std::string bare(std::string_view text) {
    std::string bare_text;
    for (const char c : text) {
        if (c != ' ' && c != '-' && c != '_') {
            bare_text += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        }
    }
    return bare_text;
}

} // namespace

std::span<const Temperament> all_temperaments() noexcept {
    return table();
}

Result<Temperament> parse_temperament(std::string_view text) {
    std::string known;
    const std::string wanted = bare(text);
    for (const Temperament& temperament : table()) {
        if (bare(temperament.id) == wanted || bare(temperament.label) == wanted) {
            return temperament;
        }
        known += (known.empty() ? "" : ", ") + std::string(temperament.id);
    }
    return usage_error("There is no temperament \"" + std::string(text.substr(0, 40)) +
                       "\" here: choose one of " + known + ".");
}

double just_ratio(int semitones) noexcept {
    const int octaves = static_cast<int>(std::floor(semitones / 12.0));
    return std::ldexp(kJustRatios[static_cast<std::size_t>(semitones - 12 * octaves)], octaves);
}

const char* enharmonic_id(Enharmonic enharmonic) noexcept {
    return enharmonic == Enharmonic::sharp ? "sharp" : "flat";
}

std::optional<Enharmonic> enharmonic_of(std::string_view id) noexcept {
    for (const Enharmonic one : {Enharmonic::sharp, Enharmonic::flat}) {
        if (id == enharmonic_id(one)) {
            return one;
        }
    }
    return std::nullopt;
}

double off_equal_cents(const Temperament& temperament,
                       int steps_above_root,
                       Enharmonic enharmonic) noexcept {
    constexpr int kSixth = 8;
    const double cents = steps_above_root == kSixth && enharmonic == Enharmonic::flat
                             ? temperament.flat_sixth_cents
                             : temperament.cents[static_cast<std::size_t>(steps_above_root)];
    return cents - 100.0 * steps_above_root;
}

} // namespace bellhand::horn

// Do two stated deviations hold? Horns of a generator that shares neither code nor prior with the estimators, in four
// strata; widths beside an estimator that is told the variances. Usage: horn_coverage [HORNS] [SEED].
#include "support/horn_coverage.h"

#include <cstdio>
#include <cstdlib>

using namespace bellhand::test;

namespace {

void print(const char* what, const char* stratum, const Coverage& found) {
    std::printf("%-22s %-20s %6d %8.1f %8.1f %9.2f %9.2f %9.2f %8.1f\n",
                what,
                stratum,
                found.judged,
                100.0 * found.share(),
                100.0 * found.beyond_three / found.judged,
                found.width_cents / found.judged,
                found.told_cents / found.judged,
                found.error_cents / found.judged,
                100.0 * found.told_within_two / found.judged);
}

} // namespace

int main(int argc, char** argv) {
    const int horns = argc > 1 ? std::atoi(argv[1]) : 1000;
    const auto seed = argc > 2 ? std::strtoull(argv[2], nullptr, 10) : 20261130ULL;
    std::printf("%d horns, seed %llu\n", horns, static_cast<unsigned long long>(seed));
    std::printf("%-22s %-20s %6s %8s %8s %9s %9s %9s %8s\n",
                "what",
                "stratum",
                "judged",
                "<2sd %",
                ">3sd %",
                "sd c",
                "told c",
                "|err| c",
                "told %");
    Coverage all;
    for (const Measured measured : kAllMeasured) {
        const Coverage found =
            profile_coverage(measured, horns / 4, seed + static_cast<unsigned>(measured));
        print("stack from profile", name_of(measured), found);
        all.add(found);
    }
    print("stack from profile", "all", all);
    CalibrationCoverage calibrated;
    for (const Measured measured : {Measured::one_note, Measured::repeats, Measured::one_wrong}) {
        const CalibrationCoverage found =
            calibration_coverage(measured, horns / 3, seed + 10 + static_cast<unsigned>(measured));
        print("f1 by calibration", name_of(measured), found.f1);
        print("partial's offset", name_of(measured), found.offsets);
        calibrated.f1.add(found.f1);
        calibrated.offsets.add(found.offsets);
        calibrated.refused += found.refused;
    }
    print("f1 by calibration", "all", calibrated.f1);
    print("partial's offset", "all", calibrated.offsets);
    std::printf("refused: %d\n", calibrated.refused);
    return 0;
}

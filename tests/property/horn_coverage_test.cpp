// A small version of the bench horn_coverage: two stated deviations hold on horns of a generator that shares neither code
// nor prior with the estimators. Few horns, so the shares are held loosely here; the bench holds them tightly.
#include "support/horn_coverage.h"

#include <string>

#include <doctest/doctest.h>

using namespace bellhand::test;

namespace {

constexpr std::uint64_t kSeed = 20261130;

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
constexpr int kHorns = 10;
constexpr double kLoose = 0.15;
#else
constexpr int kHorns = 60;
constexpr double kLoose = 0.05;
#endif

void tell(const char* what, Measured measured, const Coverage& found) {
    MESSAGE(std::string(what),
            ", ",
            std::string(name_of(measured)),
            " (seed ",
            kSeed,
            "): within two stated deviations ",
            found.share(),
            ", mean deviation ",
            found.width_cents / found.judged,
            ", told the variances ",
            found.told_cents / found.judged);
}

} // namespace

TEST_SUITE("property/horn_coverage") {
    TEST_CASE("stacks never played: two deviations of the settled profile hold in every stratum") {
        for (const Measured measured : kAllMeasured) {
            const Coverage found = profile_coverage(measured, kHorns, kSeed);
            tell("stack", measured, found);
            CHECK(found.share() > 0.90 - kLoose);
            CHECK(found.beyond_three < 0.03 * found.judged);
            // Not by being vague: at most half as wide again as one who is told everything.
            CHECK(found.width_cents < 1.5 * found.told_cents);
        }
    }

    TEST_CASE("calibration: two deviations of f1 and offsets hold in every stratum") {
        for (const Measured measured :
             {Measured::one_note, Measured::repeats, Measured::one_wrong}) {
            const CalibrationCoverage found = calibration_coverage(measured, kHorns, kSeed);
            tell("f1", measured, found.f1);
            tell("offset", measured, found.offsets);
            CHECK(found.refused == 0);
            CHECK(found.f1.share() > 0.90 - kLoose);
            CHECK(found.offsets.share() > 0.90 - kLoose);
            CHECK(found.f1.width_cents < 2.5 * found.f1.told_cents);
        }
    }
}

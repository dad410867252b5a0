#include "support/horn_coverage.h"

#include "instrument/horn_lengths.h"
#include "support/invented_horn.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <random>

namespace bellhand::test {

const char* name_of(Measured measured) {
    switch (measured) {
    case Measured::one_note:
        return "one note a partial";
    case Measured::repeats:
        return "repeats";
    case Measured::tape_only:
        return "tape only";
    case Measured::one_wrong:
        break;
    }
    return "one wrong note";
}

void Coverage::add(double error, double sd, double told_error, double told_sd) {
    ++judged;
    within_two += std::fabs(error) <= 2.0 * sd ? 1 : 0;
    beyond_three += std::fabs(error) > 3.0 * sd ? 1 : 0;
    told_within_two += std::fabs(told_error) <= 2.0 * told_sd ? 1 : 0;
    width_cents += sd;
    told_cents += told_sd;
    error_cents += std::fabs(error);
}

void Coverage::add(const Coverage& other) {
    judged += other.judged;
    within_two += other.within_two;
    beyond_three += other.beyond_three;
    told_within_two += other.told_within_two;
    width_cents += other.width_cents;
    told_cents += other.told_cents;
    error_cents += other.error_cents;
}

Coverage profile_coverage(Measured measured, int horns, std::uint64_t seed) {
    Dice dice(seed);
    Coverage coverage;
    constexpr double kCentsPerNeper = 1731.234;
    for (int i = 0; i < horns; ++i) {
        InventedHorn horn(measured, dice);
        const auto settled = instrument::settle_lengths(horn.profile);
        if (!settled) {
            continue;
        }
        const instrument::Settled told = horn.told();
        for (int k = 0; k < 6; ++k) {
            const instrument::Stack stack = horn.random_stack();
            const double truth_hz = own_speed_m_s(20.0) / (2.0 * horn.true_m(stack));
            const auto said = instrument::assemble(*settled, stack, 0.0, 440.0, {20.0, 0.5});
            instrument::Statement sum =
                instrument::sum_is({0, 1 + static_cast<std::size_t>(stack.crook)}, 0.0, 1.0);
            for (std::size_t b = 0; b < settled->between.size(); ++b) {
                if (((stack.between >> b) & 1U) != 0) {
                    sum.of.push_back({1 + settled->crooks.size() + b, 1.0});
                }
            }
            coverage.add(1200.0 * std::log2(said.f1_hz / truth_hz),
                         said.sd_cents,
                         1200.0 * std::log2(told.sum(sum) / horn.true_m(stack)),
                         kCentsPerNeper * std::sqrt(told.variance(sum)) / told.sum(sum));
        }
    }
    return coverage;
}

CalibrationCoverage calibration_coverage(Measured measured, int horns, std::uint64_t seed) {
    Dice dice(seed);
    CalibrationCoverage coverage;
    for (int i = 0; i < horns; ++i) {
        Offsets offsets(dice);
        const double f1_hz = dice.between(28.0, 60.0);
        const auto truth = offsets.of_assembly(f1_hz);
        const double aim_cents = 2.5 * std::exp(0.5 * dice.normal());
        std::vector<int> partials{4, 5, 6, 8, 9, 10, 12, 3, 7, 11};
        if (measured == Measured::repeats ||
            (measured == Measured::one_wrong && dice.chance(0.5))) {
            const auto once = partials;
            for (const int n : once) {
                partials.insert(partials.end(), static_cast<std::size_t>(dice.whole(1, 3)), n);
            }
        }
        std::vector<instrument::PlayedPitch> notes;
        std::map<int, int> played;
        for (const int n : partials) {
            const double wander = dice.between(0.5, 1.4);
            const double cents = truth.at(n) + aim_cents * dice.student5() + wander * dice.normal();
            notes.push_back({4.0 * static_cast<double>(notes.size()),
                             n * f1_hz * std::exp2(cents / 1200.0),
                             wander * dice.between(0.8, 1.25)});
            ++played[n];
        }
        if (measured == Measured::one_wrong) {
            const auto wrong =
                static_cast<std::size_t>(dice.whole(0, static_cast<int>(notes.size()) - 1));
            notes[wrong].f0_hz *= std::exp2(-dice.between(25.0, 130.0) / 1200.0);
            --played[partials[wrong]];
        }
        instrument::CalibrationQuestion question;
        question.expected_f1_hz = f1_hz * std::exp2(40.0 * dice.between(-1.5, 1.5) / 1200.0);
        const auto found = instrument::calibrate_open_notes(notes, question);
        if (!found) {
            ++coverage.refused;
            continue;
        }
        // Told the variances: f1 is the mean of seven partials, each as sure as its notes.
        double told_variance = 0.0;
        for (const int n : {4, 5, 6, 8, 9, 10, 12}) {
            told_variance += (aim_cents * aim_cents + 1.0) / std::max(1, played[n]) / 49.0;
        }
        coverage.f1.add(1200.0 * std::log2(found->f1_hz / f1_hz),
                        found->f1_sd_cents,
                        0.0,
                        std::sqrt(told_variance));
        for (const instrument::CalibratedPartial& partial : found->partials) {
            if (partial.notes > 0 && truth.contains(partial.partial)) {
                coverage.offsets.add(
                    partial.offset_cents - truth.at(partial.partial),
                    partial.sd_cents,
                    0.0,
                    std::sqrt((aim_cents * aim_cents + 1.0) / std::max(1, played[partial.partial]) +
                              told_variance));
            }
        }
    }
    return coverage;
}

} // namespace bellhand::test

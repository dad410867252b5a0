#include "instrument/calibration/calibration_search.h"

#include "core/cents.h"
#include "instrument/calibration/calibration_state.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bellhand::instrument {

namespace {

constexpr double kLowestF1_hz = 22.0;
constexpr double kHighestF1_hz = 75.0;
constexpr double kGrid_cents = 3.0;
constexpr std::size_t kMostCandidates = 4;

double offset_variance(const OffsetPrior& prior, int partial) noexcept {
    const auto i = static_cast<std::size_t>(partial - 1);
    return prior.together_sd_cents[i] * prior.together_sd_cents[i] +
           prior.alone_sd_cents[i] * prior.alone_sd_cents[i];
}

double score_f1(std::span<const PlayedPitch> notes,
                double f1_hz,
                const CalibrationQuestion& question) noexcept {
    // Per note: a partial of this horn, or anything in five octaves.
    const double wrong = question.wrong_note_share / 6000.0;
    double score = 0.0;
    for (const PlayedPitch& note : notes) {
        const double explained =
            read_note(cents_between(note.f0_hz, f1_hz), note.sd_cents, question).total;
        score += std::log((1.0 - question.wrong_note_share) * explained + wrong);
    }
    return score + log_expected(f1_hz, question);
}

} // namespace

double normal(double x, double variance) noexcept {
    return std::exp(-0.5 * x * x / variance) / std::sqrt(2.0 * std::numbers::pi * variance);
}

double usage(int partial) noexcept {
    if (partial == 1) {
        return 0.01;
    }
    return partial <= 16 ? 0.062 : 0.005;
}

double log_expected(double f1_hz, const CalibrationQuestion& question) noexcept {
    if (!question.expected_f1_hz) {
        return 0.0;
    }
    const double away = cents_between(f1_hz, *question.expected_f1_hz) / question.expected_sd_cents;
    return -0.5 * away * away;
}

NoteReading
read_note(double played_cents, double sd_cents, const CalibrationQuestion& question) noexcept {
    NoteReading reading;
    const double aim = question.aim_sd_cents;
    for (int n = 1; n <= kCalibratedPartials; ++n) {
        const double distance = played_cents - partial_cents(n) -
                                question.offsets->mean_cents[static_cast<std::size_t>(n - 1)];
        const double variance =
            offset_variance(*question.offsets, n) + sd_cents * sd_cents + aim * aim;
        const double density = usage(n) * normal(distance, variance);
        reading.total += density;
        if (density > reading.density) {
            reading.density = density;
            reading.partial = n;
        }
    }
    return reading;
}

std::vector<F1Candidate> f1_candidates(std::span<const PlayedPitch> notes,
                                       const CalibrationQuestion& question) {
    double low_hz = kLowestF1_hz;
    double high_hz = kHighestF1_hz;
    if (question.expected_f1_hz) {
        const double reach = ratio_of_cents(4.0 * question.expected_sd_cents);
        low_hz = *question.expected_f1_hz / reach;
        high_hz = *question.expected_f1_hz * reach;
    }
    const int steps = static_cast<int>(std::ceil(cents_between(high_hz, low_hz) / kGrid_cents));
    std::vector<F1Candidate> all;
    all.reserve(static_cast<std::size_t>(steps) + 1);
    for (int i = 0; i <= steps; ++i) {
        const double f1_hz = low_hz * ratio_of_cents(i * kGrid_cents);
        all.push_back({f1_hz, score_f1(notes, f1_hz, question)});
    }
    std::sort(all.begin(), all.end(), [](const F1Candidate& a, const F1Candidate& b) {
        return a.score > b.score;
    });
    std::vector<F1Candidate> apart;
    for (const F1Candidate& candidate : all) {
        const bool fresh = std::none_of(apart.begin(), apart.end(), [&](const F1Candidate& taken) {
            return std::abs(cents_between(candidate.f1_hz, taken.f1_hz)) < kCandidatesApart_cents;
        });
        if (fresh) {
            apart.push_back(candidate);
        }
        if (apart.size() == kMostCandidates) {
            break;
        }
    }
    return apart;
}

} // namespace bellhand::instrument

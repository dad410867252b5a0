#include "core/cents.h"
#include "instrument/calibration/calibration.h"
#include "instrument/calibration/calibration_state.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

namespace bellhand::instrument {

namespace {

constexpr double kLowestPlayed_hz = 20.0;
constexpr double kHighestPlayed_hz = 2000.0;
constexpr double kLowestF1_hz = 22.0;
constexpr double kHighestF1_hz = 75.0;
constexpr double kGrid_cents = 3.0;
constexpr std::size_t kMostCandidates = 4;
constexpr double kCandidatesApart_cents = 25.0;
constexpr int kRounds = 12;
constexpr double kLeastExplained = 0.6;   ///< share of the notes that must be open partials
constexpr double kLargestAim_cents = 8.0; ///< beyond it notes are not alike, they are wrong
constexpr double kRivalWithin = 3.0; ///< difference of log likelihood that leaves a choice open
constexpr double kUniformOver_cents =
    240.0; ///< a wrong note lies anywhere about the nearest partial

double normal(double x, double variance) noexcept {
    return std::exp(-0.5 * x * x / variance) / std::sqrt(2.0 * std::numbers::pi * variance);
}

double offset_variance(const OffsetPrior& prior, int partial) noexcept {
    const auto i = static_cast<std::size_t>(partial - 1);
    return prior.together_sd_cents[i] * prior.together_sd_cents[i] +
           prior.alone_sd_cents[i] * prior.alone_sd_cents[i];
}

/// How often a partial is played when nothing is known: the upper ones are rare. Sums to about one.
double usage(int partial) noexcept {
    if (partial == 1) {
        return 0.01;
    }
    return partial <= 16 ? 0.062 : 0.005;
}

struct Reading {
    int partial = 1;
    double density = 0.0; ///< of the best partial
    double total = 0.0;   ///< over all partials
};

/// A pitch `played_cents` above f1 seen against every partial.
Reading
read_note(double played_cents, double sd_cents, const CalibrationQuestion& question) noexcept {
    Reading reading;
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
    if (question.expected_f1_hz) {
        const double away =
            cents_between(f1_hz, *question.expected_f1_hz) / question.expected_sd_cents;
        score -= 0.5 * away * away;
    }
    return score;
}

struct Candidate {
    double f1_hz = 0.0;
    double score = 0.0;
};

std::vector<Candidate> candidates(std::span<const PlayedPitch> notes,
                                  const CalibrationQuestion& question) {
    double low_hz = kLowestF1_hz;
    double high_hz = kHighestF1_hz;
    if (question.expected_f1_hz) {
        const double reach = ratio_of_cents(4.0 * question.expected_sd_cents);
        low_hz = *question.expected_f1_hz / reach;
        high_hz = *question.expected_f1_hz * reach;
    }
    const int steps = static_cast<int>(std::ceil(cents_between(high_hz, low_hz) / kGrid_cents));
    std::vector<Candidate> all;
    all.reserve(static_cast<std::size_t>(steps) + 1);
    for (int i = 0; i <= steps; ++i) {
        const double f1_hz = low_hz * ratio_of_cents(i * kGrid_cents);
        all.push_back({f1_hz, score_f1(notes, f1_hz, question)});
    }
    std::sort(all.begin(), all.end(), [](const Candidate& a, const Candidate& b) {
        return a.score > b.score;
    });
    std::vector<Candidate> apart;
    for (const Candidate& candidate : all) {
        const bool fresh = std::none_of(apart.begin(), apart.end(), [&](const Candidate& taken) {
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

/// One explanation of all notes, refined until it stands still.
struct Explanation {
    HornBelief belief;
    std::vector<NoteVerdict> notes;
    double guess_hz = 0.0;
    double middle_s = 0.0;
    double aim_variance = 0.0;
    double score = 0.0;
};

double middle_of(std::span<const PlayedPitch> notes) {
    double sum = 0.0;
    for (const PlayedPitch& note : notes) {
        sum += note.time_s;
    }
    return sum / static_cast<double>(notes.size());
}

/// Learns all notes with their weights; a weight stretches the variance.
HornBelief believe(std::span<const PlayedPitch> notes,
                   const Explanation& now,
                   const CalibrationQuestion& question,
                   std::size_t without) {
    HornBelief belief(
        *question.offsets, question.expected_sd_cents, question.drift_sd_cents_per_min);
    for (std::size_t i = 0; i < notes.size(); ++i) {
        const NoteVerdict& verdict = now.notes[i];
        if (i == without || verdict.weight < 0.01) {
            continue;
        }
        const double variance =
            (notes[i].sd_cents * notes[i].sd_cents + now.aim_variance) / verdict.weight;
        belief.learn(verdict.partial,
                     (notes[i].time_s - now.middle_s) / 60.0,
                     cents_between(notes[i].f0_hz, now.guess_hz) - partial_cents(verdict.partial),
                     variance);
    }
    return belief;
}

constexpr std::size_t kNone = static_cast<std::size_t>(-1);

/// What the other notes say of note i: its partial, and whether it is one at all.
void judge_note(std::span<const PlayedPitch> notes,
                std::size_t i,
                const HornBelief& others,
                const CalibrationQuestion& question,
                Explanation& now) {
    const double minutes = (notes[i].time_s - now.middle_s) / 60.0;
    const double played = cents_between(notes[i].f0_hz, now.guess_hz);
    double best = 0.0;
    NoteVerdict verdict = now.notes[i];
    for (int n = 1; n <= kCalibratedPartials; ++n) {
        const HornBelief::Prediction expected = others.predict(n, minutes);
        const double variance =
            expected.variance + notes[i].sd_cents * notes[i].sd_cents + now.aim_variance;
        const double density =
            usage(n) * normal(played - partial_cents(n) - expected.mean, variance);
        if (density > best) {
            best = density;
            verdict.partial = n;
        }
    }
    const double right = (1.0 - question.wrong_note_share) * best / usage(verdict.partial);
    const double wrong = question.wrong_note_share / kUniformOver_cents;
    verdict.weight = right / (right + wrong);
    now.notes[i] = verdict;
    now.score +=
        std::log((1.0 - question.wrong_note_share) * best + question.wrong_note_share / 6000.0);
}

/// Spread of one note about its partial, the first guess counting as four notes.
void update_aim(std::span<const PlayedPitch> notes,
                const CalibrationQuestion& question,
                Explanation& now) {
    constexpr double kGuessCountsAs = 4.0;
    double squares = kGuessCountsAs * question.aim_sd_cents * question.aim_sd_cents;
    double freedom = kGuessCountsAs;
    for (std::size_t i = 0; i < notes.size(); ++i) {
        const NoteVerdict& verdict = now.notes[i];
        const double own = notes[i].sd_cents * notes[i].sd_cents;
        const double total = own + now.aim_variance;
        const auto fitted =
            now.belief.predict(verdict.partial, (notes[i].time_s - now.middle_s) / 60.0);
        const double leverage = std::min(1.0, verdict.weight * fitted.variance / total);
        // A lone note on its partial fits itself and says nothing.
        squares +=
            verdict.weight *
            std::max(0.0, verdict.residual_cents * verdict.residual_cents - own * (1.0 - leverage));
        freedom += verdict.weight * (1.0 - leverage);
    }
    now.aim_variance = std::min(squares / freedom, kLargestAim_cents * kLargestAim_cents);
}

Explanation explain(std::span<const PlayedPitch> notes,
                    const Candidate& candidate,
                    const CalibrationQuestion& question) {
    Explanation now{HornBelief(*question.offsets, question.expected_sd_cents, 1.0),
                    {},
                    candidate.f1_hz,
                    middle_of(notes),
                    question.aim_sd_cents * question.aim_sd_cents,
                    0.0};
    for (const PlayedPitch& note : notes) {
        const Reading reading =
            read_note(cents_between(note.f0_hz, candidate.f1_hz), note.sd_cents, question);
        const double right =
            (1.0 - question.wrong_note_share) * reading.density / usage(reading.partial);
        now.notes.push_back({reading.partial,
                             right / (right + question.wrong_note_share / kUniformOver_cents),
                             0.0});
    }
    for (int round = 0; round < kRounds; ++round) {
        now.score = 0.0;
        const Explanation before =
            now; // all notes are judged by the same belief: their order is nothing
        for (std::size_t i = 0; i < notes.size(); ++i) {
            judge_note(notes, i, believe(notes, before, question, i), question, now);
        }
        now.belief = believe(notes, now, question, kNone);
        for (std::size_t i = 0; i < notes.size(); ++i) {
            NoteVerdict& verdict = now.notes[i];
            const double minutes = (notes[i].time_s - now.middle_s) / 60.0;
            verdict.residual_cents = cents_between(notes[i].f0_hz, now.guess_hz) -
                                     partial_cents(verdict.partial) -
                                     now.belief.predict(verdict.partial, minutes).mean;
        }
        update_aim(notes, question, now);
        if (std::abs(now.score - before.score) < 1e-9 * std::abs(now.score)) {
            break;
        }
    }
    return now;
}

Result<void> check_notes(std::span<const PlayedPitch> notes) {
    if (notes.size() < 3) {
        return usage_error("calibration needs at least three held open notes; only " +
                           std::to_string(notes.size()) + " were heard");
    }
    for (const PlayedPitch& note : notes) {
        if (!std::isfinite(note.f0_hz) || !std::isfinite(note.time_s) ||
            !std::isfinite(note.sd_cents) || note.sd_cents < 0.0) {
            return usage_error("a played note has no pitch, time or spread that is a number");
        }
        if (note.f0_hz < kLowestPlayed_hz || note.f0_hz > kHighestPlayed_hz) {
            return usage_error("a played note of " + std::to_string(note.f0_hz) +
                               " Hz is outside 20 to 2000 Hz, where horns play");
        }
    }
    return {};
}

PlayedCalibration report(const Explanation& best, const CalibrationQuestion& question) {
    PlayedCalibration out;
    const HornBelief::Vector to_f1 = f1_weights();
    const HornBelief::Prediction f1 = best.belief.combine(to_f1);
    out.f1_hz = best.guess_hz * ratio_of_cents(f1.mean);
    out.f1_sd_cents = std::sqrt(f1.variance);
    out.middle_s = best.middle_s;
    out.effective_length_m = horn::acoustics::speed_of_sound_m_s(question.air) / (2.0 * out.f1_hz);
    HornBelief::Vector drift{};
    drift[HornBelief::kDrift] = 1.0;
    const HornBelief::Prediction drifting = best.belief.combine(drift);
    out.drift_cents_per_min = drifting.mean;
    out.drift_sd_cents_per_min = std::sqrt(drifting.variance);
    out.spread_cents = std::sqrt(best.aim_variance);
    for (int n = 1; n <= kCalibratedPartials; ++n) {
        HornBelief::Vector weights = to_f1;
        for (double& weight : weights) {
            weight = -weight;
        }
        weights[static_cast<std::size_t>(n - 1)] += 1.0;
        const HornBelief::Prediction offset = best.belief.combine(weights);
        const auto counted =
            std::count_if(best.notes.begin(), best.notes.end(), [n](const NoteVerdict& verdict) {
                return verdict.partial == n && verdict.weight > 0.5;
            });
        out.partials.push_back(
            {n, offset.mean, std::sqrt(std::max(0.0, offset.variance)), static_cast<int>(counted)});
    }
    out.notes = best.notes;
    return out;
}

/// One pass with a settled prior.
Result<PlayedCalibration> calibrate(std::span<const PlayedPitch> notes,
                                    const CalibrationQuestion& question) {
    std::vector<Explanation> explanations;
    for (const Candidate& candidate : candidates(notes, question)) {
        explanations.push_back(explain(notes, candidate, question));
    }
    std::sort(explanations.begin(), explanations.end(), [](const auto& a, const auto& b) {
        return a.score > b.score;
    });
    const Explanation& best = explanations.front();
    double explained = 0.0;
    for (const NoteVerdict& note : best.notes) {
        explained += note.weight;
    }
    if (explained < kLeastExplained * static_cast<double>(notes.size()) || explained < 2.0) {
        return failure("no horn explains these notes: only " +
                       std::to_string(std::lround(explained)) + " of " +
                       std::to_string(notes.size()) +
                       " fit one series of partials; play open notes, hand in playing position");
    }
    PlayedCalibration out = report(best, question);
    for (std::size_t i = 1; i < explanations.size(); ++i) {
        const PlayedCalibration other = report(explanations[i], question);
        if (explanations[i].score > best.score - kRivalWithin &&
            std::abs(cents_between(other.f1_hz, out.f1_hz)) > kCandidatesApart_cents) {
            out.rival_f1_hz = other.f1_hz;
            break;
        }
    }
    return out;
}

} // namespace

Result<PlayedCalibration> calibrate_open_notes(std::span<const PlayedPitch> notes,
                                               const CalibrationQuestion& question) {
    if (auto checked = check_notes(notes); !checked) {
        return tl::unexpected(checked.error());
    }
    CalibrationQuestion settled = question;
    if (question.offsets) {
        return calibrate(notes, settled);
    }
    if (question.expected_f1_hz) {
        settled.offsets = model_offset_prior(*question.expected_f1_hz, question.air);
        return calibrate(notes, settled);
    }
    settled.offsets = wide_offset_prior();
    auto first = calibrate(notes, settled);
    if (!first || first->rival_f1_hz) {
        return first;
    }
    settled.expected_f1_hz = first->f1_hz;
    settled.offsets = model_offset_prior(first->f1_hz, question.air);
    return calibrate(notes, settled);
}

} // namespace bellhand::instrument

#include "core/cents.h"
#include "instrument/calibration/calibration.h"
#include "instrument/calibration/calibration_search.h"
#include "instrument/calibration/calibration_state.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <string>

namespace bellhand::instrument {

namespace {

constexpr double kLowestPlayed_hz = 20.0;
constexpr double kHighestPlayed_hz = 2000.0;
constexpr int kRounds = 12;
constexpr double kLeastExplained = 2.0 / 3.0; ///< share of the notes that must be open partials
constexpr double kLeastWeight = 0.01;         ///< a note this surely wrong is not learnt from
constexpr double kRivalWithin = 3.0; ///< difference of log likelihood that leaves a choice open
constexpr double kUniformOver_cents =
    240.0; ///< a wrong note lies anywhere about the nearest partial

/// How differently players centre the same note (common practice, no source), and how much each is believed before it
/// is heard. Twice the largest, notes are not alike, they are wrong.
struct Aim {
    double sd_cents = 0.0;
    double share = 0.0;
};
constexpr std::array<Aim, 4> kAims{{{0.5, 0.2}, {1.3, 0.25}, {2.8, 0.32}, {6.0, 0.23}}};

/// One explanation of all notes, refined until it stands still.
struct Explanation {
    HornBelief belief;
    std::vector<NoteVerdict> notes;
    double guess_hz = 0.0;
    double middle_s = 0.0;
    double aim_variance = 0.0;
    double score = 0.0;
    std::vector<std::optional<HornBelief::Note>> learnt; ///< as `belief` learnt them

    /// What is added to a variance because a note may be wrong or right: with it and without it the answer differs.
    [[nodiscard]] double doubt_of_notes(const HornBelief::Vector& weights) const {
        double sum = 0.0;
        for (std::size_t i = 0; i < learnt.size(); ++i) {
            if (learnt[i]) {
                const double shift = belief.shift_without(weights, *learnt[i]);
                sum += notes[i].weight * (1.0 - notes[i].weight) * shift * shift;
            }
        }
        return sum;
    }
};

double middle_of(std::span<const PlayedPitch> notes) {
    double sum = 0.0;
    for (const PlayedPitch& note : notes) {
        sum += note.time_s;
    }
    return sum / static_cast<double>(notes.size());
}

/// A note as it is learnt: a weight stretches its variance. Nothing when it is surely wrong.
std::optional<HornBelief::Note>
as_learnt(const PlayedPitch& note, const NoteVerdict& verdict, const Explanation& now) {
    if (verdict.weight < kLeastWeight) {
        return std::nullopt;
    }
    return HornBelief::Note{verdict.partial,
                            (note.time_s - now.middle_s) / 60.0,
                            cents_between(note.f0_hz, now.guess_hz) -
                                partial_cents(verdict.partial),
                            (note.sd_cents * note.sd_cents + now.aim_variance) / verdict.weight};
}

void believe(std::span<const PlayedPitch> notes,
             const CalibrationQuestion& question,
             Explanation& now) {
    now.belief =
        HornBelief(*question.offsets, question.expected_sd_cents, question.drift_sd_cents_per_min);
    now.learnt.clear();
    for (std::size_t i = 0; i < notes.size(); ++i) {
        now.learnt.push_back(as_learnt(notes[i], now.notes[i], now));
        if (now.learnt.back()) {
            now.belief.learn(*now.learnt.back());
        }
    }
}

/// What the other notes say of note i: its partial, and whether it is one at all.
void judge_note(std::span<const PlayedPitch> notes,
                std::size_t i,
                const Explanation& before,
                const CalibrationQuestion& question,
                Explanation& now) {
    const std::optional<HornBelief::Note>& learnt = before.learnt[i];
    const double minutes = (notes[i].time_s - now.middle_s) / 60.0;
    const double played = cents_between(notes[i].f0_hz, now.guess_hz);
    double best = 0.0;
    NoteVerdict verdict = now.notes[i];
    for (int n = 1; n <= kCalibratedPartials; ++n) {
        const HornBelief::Prediction expected =
            learnt ? before.belief.predict_without(n, *learnt) : before.belief.predict(n, minutes);
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

/// How well one aim explains all notes together: the variational bound of the evidence for what each note was taken to
/// be (Jordan et al. 1999). The order of the notes is nothing in it.
double log_evidence(std::span<const PlayedPitch> notes,
                    const Explanation& now,
                    const CalibrationQuestion& question) {
    HornBelief belief(
        *question.offsets, question.expected_sd_cents, question.drift_sd_cents_per_min);
    const double as_wrong = std::log(question.wrong_note_share / kUniformOver_cents);
    double sum = 0.0;
    for (std::size_t i = 0; i < notes.size(); ++i) {
        const std::optional<HornBelief::Note> note = as_learnt(notes[i], now.notes[i], now);
        if (!note) {
            sum += as_wrong;
            continue;
        }
        const double weight = now.notes[i].weight;
        const double wrong = 1.0 - weight;
        const double variance = note->variance * weight;
        const HornBelief::Prediction expected = belief.predict(note->partial, note->minutes);
        // A density to the power of the weight is the density with its variance stretched, times this:
        const double stretched =
            0.5 * (1.0 - weight) * std::log(2.0 * std::numbers::pi * variance) -
            0.5 * std::log(weight);
        sum += std::log(normal(note->cents - expected.mean, expected.variance + note->variance)) +
               stretched + weight * std::log((1.0 - question.wrong_note_share) / weight) +
               (wrong > 0.0 ? wrong * (as_wrong - std::log(wrong)) : 0.0);
        belief.learn(*note);
    }
    return sum;
}

Explanation explain(std::span<const PlayedPitch> notes,
                    const F1Candidate& candidate,
                    const CalibrationQuestion& question,
                    double aim_sd_cents) {
    Explanation now{HornBelief(*question.offsets, question.expected_sd_cents, 1.0),
                    {},
                    candidate.f1_hz,
                    middle_of(notes),
                    aim_sd_cents * aim_sd_cents,
                    0.0,
                    {}};
    for (const PlayedPitch& note : notes) {
        const NoteReading reading =
            read_note(cents_between(note.f0_hz, candidate.f1_hz), note.sd_cents, question);
        const double right =
            (1.0 - question.wrong_note_share) * reading.density / usage(reading.partial);
        now.notes.push_back({reading.partial,
                             right / (right + question.wrong_note_share / kUniformOver_cents),
                             0.0});
    }
    believe(notes, question, now);
    for (int round = 0; round < kRounds; ++round) {
        now.score = 0.0;
        const Explanation before =
            now; // all notes are judged by the same belief: their order is nothing
        for (std::size_t i = 0; i < notes.size(); ++i) {
            judge_note(notes, i, before, question, now);
        }
        believe(notes, question, now);
        for (std::size_t i = 0; i < notes.size(); ++i) {
            NoteVerdict& verdict = now.notes[i];
            const double minutes = (notes[i].time_s - now.middle_s) / 60.0;
            verdict.residual_cents = cents_between(notes[i].f0_hz, now.guess_hz) -
                                     partial_cents(verdict.partial) -
                                     now.belief.predict(verdict.partial, minutes).mean;
        }
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

/// One horn seen with every aim that a player may have, each as likely as the notes make it. What no repeat has told
/// stays open this way, and widens what is stated.
struct AimedExplanations {
    std::vector<Explanation> of_aim;
    std::vector<double> share;
    double score = 0.0; ///< of the likeliest aim

    [[nodiscard]] const Explanation& likeliest() const {
        return of_aim[static_cast<std::size_t>(std::max_element(share.begin(), share.end()) -
                                               share.begin())];
    }

    [[nodiscard]] HornBelief::Prediction combine(const HornBelief::Vector& weights) const {
        HornBelief::Prediction out;
        for (std::size_t i = 0; i < of_aim.size(); ++i) {
            out.mean += share[i] * of_aim[i].belief.combine(weights).mean;
        }
        for (std::size_t i = 0; i < of_aim.size(); ++i) {
            const HornBelief::Prediction one = of_aim[i].belief.combine(weights);
            const double off = one.mean - out.mean;
            out.variance +=
                share[i] * (one.variance + off * off + of_aim[i].doubt_of_notes(weights));
        }
        return out;
    }
};

AimedExplanations explain_with_every_aim(std::span<const PlayedPitch> notes,
                                         const F1Candidate& candidate,
                                         const CalibrationQuestion& question) {
    AimedExplanations all;
    std::vector<double> evidence;
    for (const Aim& aim : kAims) {
        all.of_aim.push_back(explain(notes, candidate, question, aim.sd_cents));
        evidence.push_back(log_evidence(notes, all.of_aim.back(), question) + std::log(aim.share));
    }
    const double best = *std::max_element(evidence.begin(), evidence.end());
    double sum = 0.0;
    for (const double value : evidence) {
        sum += std::exp(value - best);
    }
    for (const double value : evidence) {
        all.share.push_back(std::exp(value - best) / sum);
    }
    all.score = all.likeliest().score + log_expected(candidate.f1_hz, question);
    return all;
}

/// Verdicts of the likeliest aim, weights averaged over all.
std::vector<NoteVerdict> verdicts(const AimedExplanations& best) {
    std::vector<NoteVerdict> notes = best.likeliest().notes;
    for (std::size_t i = 0; i < notes.size(); ++i) {
        notes[i].weight = 0.0;
        for (std::size_t aim = 0; aim < best.of_aim.size(); ++aim) {
            notes[i].weight += best.share[aim] * best.of_aim[aim].notes[i].weight;
        }
    }
    return notes;
}

PlayedCalibration report(const AimedExplanations& best, const CalibrationQuestion& question) {
    PlayedCalibration out;
    const HornBelief::Vector to_f1 = f1_weights();
    const HornBelief::Prediction f1 = best.combine(to_f1);
    out.f1_hz = best.likeliest().guess_hz * ratio_of_cents(f1.mean);
    out.f1_sd_cents = std::sqrt(f1.variance);
    out.middle_s = best.likeliest().middle_s;
    out.effective_length_m = horn::acoustics::speed_of_sound_m_s(question.air) / (2.0 * out.f1_hz);
    HornBelief::Vector drift{};
    drift[HornBelief::kDrift] = 1.0;
    const HornBelief::Prediction drifting = best.combine(drift);
    out.drift_cents_per_min = drifting.mean;
    out.drift_sd_cents_per_min = std::sqrt(drifting.variance);
    out.notes = verdicts(best);
    double aim_variance = 0.0;
    for (std::size_t i = 0; i < best.of_aim.size(); ++i) {
        aim_variance += best.share[i] * best.of_aim[i].aim_variance;
    }
    out.spread_cents = std::sqrt(aim_variance);
    for (int n = 1; n <= kCalibratedPartials; ++n) {
        HornBelief::Vector weights = to_f1;
        for (double& weight : weights) {
            weight = -weight;
        }
        weights[static_cast<std::size_t>(n - 1)] += 1.0;
        const HornBelief::Prediction offset = best.combine(weights);
        const auto counted =
            std::count_if(out.notes.begin(), out.notes.end(), [n](const NoteVerdict& verdict) {
                return verdict.partial == n && verdict.weight > 0.5;
            });
        out.repeats += std::max(0, static_cast<int>(counted) - 1);
        out.partials.push_back(
            {n, offset.mean, std::sqrt(std::max(0.0, offset.variance)), static_cast<int>(counted)});
    }
    return out;
}

/// One pass with a settled prior.
Result<PlayedCalibration> calibrate(std::span<const PlayedPitch> notes,
                                    const CalibrationQuestion& question) {
    std::vector<AimedExplanations> explanations;
    for (const F1Candidate& candidate : f1_candidates(notes, question)) {
        explanations.push_back(explain_with_every_aim(notes, candidate, question));
    }
    std::sort(explanations.begin(), explanations.end(), [](const auto& a, const auto& b) {
        return a.score > b.score;
    });
    const AimedExplanations& best = explanations.front();
    double explained = 0.0;
    for (const NoteVerdict& note : verdicts(best)) {
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

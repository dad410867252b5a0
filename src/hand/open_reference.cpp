#include "hand/open_reference.h"

#include <algorithm>
#include <cmath>

namespace bellhand::hand {

namespace {

// How far a microphone and a room move the log odds of open notes: standard deviation at the reference, per octave, per
// 10 dB. Tried on invented microphones (tests/hand/cross_validate.py).
constexpr std::array<double, 3> kEnvelopeSd{1.5, 1.0, 0.7};
constexpr std::array<double, 3> kBrightSd{20.0, 8.0, 8.0};
constexpr double kBrightNoise_db = 5.0; // of one open note about the line
constexpr double kBrightUsual_db = -35.0;
// A stopped note is as likely as an open one when it stands this far above the player's own open notes of the same level
// and register. Published figures and loud measured tones give 13 dB and more between open and stopped, the modelled
// ones 8.
constexpr double kBrightMargin_db = 6.0;
constexpr int kEnoughForBright = 8;
constexpr double kBrightTrustVariance = 9.0; // dB^2, of the line where it is asked

LearntLine prior_line(const std::array<double, 3>& sd, double first) {
    LearntLine line;
    line.value[0] = first;
    for (std::size_t i = 0; i < 3; ++i) {
        line.variance[i][i] = sd[i] * sd[i];
    }
    return line;
}

double octaves_of(const Colour& colour, const TimbreModel& model) {
    return std::log2(colour.f0_hz / model.reference_hz);
}

double tens_of_db(const OpenReference& reference, const Colour& colour) {
    return std::clamp(0.1 * (colour.level_dba - reference.level_dba), -2.0, 2.0);
}

} // namespace

double LearntLine::at(double octaves, double tens) const noexcept {
    return value[0] + value[1] * octaves + value[2] * tens;
}

double LearntLine::variance_at(double octaves, double tens) const noexcept {
    const std::array<double, 3> x{1.0, octaves, tens};
    double sum = 0.0;
    for (std::size_t i = 0; i < 3; ++i) {
        for (std::size_t j = 0; j < 3; ++j) {
            sum += x[i] * variance[i][j] * x[j];
        }
    }
    return sum;
}

void LearntLine::learn(double octaves, double tens, double figure, double noise_variance) noexcept {
    const std::array<double, 3> x{1.0, octaves, tens};
    std::array<double, 3> gain{};
    for (std::size_t i = 0; i < 3; ++i) {
        for (std::size_t j = 0; j < 3; ++j) {
            gain[i] += variance[i][j] * x[j];
        }
    }
    const double innovation_variance = variance_at(octaves, tens) + noise_variance;
    const double surprise = figure - at(octaves, tens);
    for (std::size_t i = 0; i < 3; ++i) {
        value[i] += gain[i] * surprise / innovation_variance;
        for (std::size_t j = 0; j < 3; ++j) {
            variance[i][j] -= gain[i] * gain[j] / innovation_variance;
        }
    }
}

OpenReference unknown_player() noexcept {
    OpenReference reference;
    reference.envelope = prior_line(kEnvelopeSd, 0.0);
    reference.bright = prior_line(kBrightSd, kBrightUsual_db);
    return reference;
}

double OpenReference::envelope_shift(const Colour& colour,
                                     const TimbreModel& model) const noexcept {
    return colour.known ? envelope.at(octaves_of(colour, model), tens_of_db(*this, colour)) : 0.0;
}

double OpenReference::bright_shift_db(const Colour& colour,
                                      const TimbreModel& model) const noexcept {
    if (!colour.known || notes < kEnoughForBright) {
        return 0.0;
    }
    const double octaves = octaves_of(colour, model);
    const double tens = tens_of_db(*this, colour);
    // Half-known lines count by half: between what holds for everybody and what holds for this player.
    const double trust =
        kBrightTrustVariance / (kBrightTrustVariance + bright.variance_at(octaves, tens));
    return trust * (bright.at(octaves, tens) + kBrightMargin_db - model.bright_edge_db);
}

void learn_open_note(OpenReference& reference,
                     const Colour& colour,
                     const TimbreModel& model,
                     double cents_off,
                     double lip_sd_cents) noexcept {
    const TimbreEvidence evidence = evidence_of(colour, model);
    ++reference.notes;
    // The level settles with the first notes and follows slowly from then on.
    const double pace = std::max(1.0 / reference.notes, 0.02);
    reference.level_dba += pace * (colour.level_dba - reference.level_dba);
    const double innovation = reference.offset_variance + lip_sd_cents * lip_sd_cents;
    const double gain = reference.offset_variance / innovation;
    reference.offset_cents += gain * (cents_off - reference.offset_cents);
    // A horn warms up: the knowledge of its pitch grows old.
    reference.offset_variance = reference.offset_variance * (1.0 - gain) + 1.0;
    if (!evidence.known) {
        return;
    }
    const double octaves = octaves_of(colour, model);
    const double tens = tens_of_db(reference, colour);
    reference.envelope.learn(
        octaves, tens, evidence.envelope - model.open_mean, model.open_spread * model.open_spread);
    if (evidence.bright_known) {
        reference.bright.learn(octaves, tens, evidence.bright, kBrightNoise_db * kBrightNoise_db);
    }
}

} // namespace bellhand::hand

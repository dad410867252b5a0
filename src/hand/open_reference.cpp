#include "hand/open_reference.h"

#include <algorithm>
#include <cmath>

namespace bellhand::hand {

namespace {

// How far a microphone and a room move the log odds of open notes: standard deviation at the reference, per octave, per
// 10 dB. Tried on invented microphones (tests/hand/cross_validate.py).
constexpr LearntSurface::Terms kEnvelopeSd{1.5, 1.0, 0.7, 0.0, 0.0, 0.0};
constexpr LearntSurface::Terms kBrightSd{20.0, 8.0, 8.0, 0.0, 0.0, 0.0};
constexpr double kBrightNoise_db = 5.0; // of one open note about the line
constexpr double kBrightUsual_db = -35.0;
// A stopped note is as likely as an open one when it stands this far above the player's own open notes of the same level
// and register. Published figures and loud measured tones give 13 dB and more between open and stopped, the modelled
// ones 8.
constexpr double kBrightMargin_db = 6.0;
constexpr int kEnoughNotes = 8;
constexpr double kBrightTrustVariance = 9.0; // dB^2, of the line where it is asked

// Open notes of one player: how far their traits may lie from the usual ones, and how far single notes scatter about the
// line (the line is a simple one: much of that scatter is its misfit).
constexpr LearntSurface::Terms kTraitSd{10.0, 6.0, 6.0, 3.0, 3.0, 3.0};
constexpr double kTraitNoise_db = 2.0;

LearntSurface::Terms terms_of(double octaves, double tens) {
    return {1.0, octaves, tens, octaves * octaves, octaves * tens, tens * tens};
}

LearntSurface prior_surface(const LearntSurface::Terms& sd, double first) {
    LearntSurface line;
    line.value[0] = first;
    for (std::size_t i = 0; i < LearntSurface::kTerms; ++i) {
        line.variance[i][i] = sd[i] * sd[i];
    }
    return line;
}

double octaves_of(const Colour& colour, const TimbreModel& model) {
    return std::log2(colour.f0_hz / model.reference_hz);
}

/// What open notes of this register usually have; the rest is left to the learnt line.
double usual_trait(std::size_t trait, double octaves, const TimbreModel& model) {
    if (trait >= kGroups) {
        return 0.0;
    }
    const auto& u = model.usual_db[trait];
    return u[0] + octaves * (u[1] + octaves * u[2]);
}

double tens_of_db(const OpenReference& reference, const Colour& colour) {
    return std::clamp(0.1 * (colour.level_dba - reference.level_dba), -3.0, 3.0);
}

} // namespace

double LearntSurface::at(double octaves, double tens) const noexcept {
    const Terms x = terms_of(octaves, tens);
    double sum = 0.0;
    for (std::size_t i = 0; i < kTerms; ++i) {
        sum += value[i] * x[i];
    }
    return sum;
}

double LearntSurface::variance_at(double octaves, double tens) const noexcept {
    const Terms x = terms_of(octaves, tens);
    double sum = 0.0;
    for (std::size_t i = 0; i < kTerms; ++i) {
        for (std::size_t j = 0; j < kTerms; ++j) {
            sum += x[i] * variance[i][j] * x[j];
        }
    }
    return sum;
}

void LearntSurface::learn(double octaves,
                          double tens,
                          double figure,
                          double noise_variance) noexcept {
    const Terms x = terms_of(octaves, tens);
    Terms gain{};
    for (std::size_t i = 0; i < kTerms; ++i) {
        for (std::size_t j = 0; j < kTerms; ++j) {
            gain[i] += variance[i][j] * x[j];
        }
    }
    const double innovation_variance = variance_at(octaves, tens) + noise_variance;
    const double surprise = figure - at(octaves, tens);
    for (std::size_t i = 0; i < kTerms; ++i) {
        value[i] += gain[i] * surprise / innovation_variance;
        for (std::size_t j = 0; j < kTerms; ++j) {
            variance[i][j] -= gain[i] * gain[j] / innovation_variance;
        }
    }
}

OpenReference unknown_player() noexcept {
    OpenReference reference;
    reference.envelope = prior_surface(kEnvelopeSd, 0.0);
    reference.bright = prior_surface(kBrightSd, kBrightUsual_db);
    reference.traits.fill(prior_surface(kTraitSd, 0.0));
    return reference;
}

double OpenReference::envelope_shift(const Colour& colour,
                                     const TimbreModel& model) const noexcept {
    return colour.known ? envelope.at(octaves_of(colour, model), tens_of_db(*this, colour)) : 0.0;
}

double OpenReference::bright_shift_db(const Colour& colour,
                                      const TimbreModel& model) const noexcept {
    if (!colour.known || notes < kEnoughNotes) {
        return 0.0;
    }
    const double octaves = octaves_of(colour, model);
    const double tens = tens_of_db(*this, colour);
    // Half-known lines count by half: between what holds for everybody and what holds for this player.
    const double trust =
        kBrightTrustVariance / (kBrightTrustVariance + bright.variance_at(octaves, tens));
    return trust * (bright.at(octaves, tens) + kBrightMargin_db - model.bright_edge_db);
}

OwnColour OpenReference::own_colour(const Colour& colour, const TimbreModel& model) const noexcept {
    OwnColour out;
    if (notes < kEnoughNotes) {
        return out;
    }
    const Traits heard = traits_of(colour);
    const double octaves = octaves_of(colour, model);
    const double tens = tens_of_db(*this, colour);
    for (std::size_t t = 0; t < kTraits; ++t) {
        out.known[t] = heard.known[t];
        if (heard.known[t]) {
            out.off[t] =
                heard.value[t] - usual_trait(t, octaves, model) - traits[t].at(octaves, tens);
            out.variance[t] = traits[t].variance_at(octaves, tens);
        }
    }
    return out;
}

void learn_open_note(OpenReference& reference,
                     const Colour& colour,
                     const TimbreModel& model,
                     double cents_off,
                     double lip_sd_cents) noexcept {
    learn_open_colour(reference, colour, model);
    const double innovation = reference.offset_variance + lip_sd_cents * lip_sd_cents;
    const double gain = reference.offset_variance / innovation;
    reference.offset_cents += gain * (cents_off - reference.offset_cents);
    // A horn warms up: the knowledge of its pitch grows old.
    reference.offset_variance = reference.offset_variance * (1.0 - gain) + 1.0;
}

void learn_open_colour(OpenReference& reference,
                       const Colour& colour,
                       const TimbreModel& model) noexcept {
    const TimbreEvidence evidence = evidence_of(colour, model);
    if (!colour.known) {
        return;
    }
    ++reference.notes;
    if (reference.notes == 1) {
        reference.level_dba = colour.level_dba;
    }
    const double octaves = octaves_of(colour, model);
    const double tens = tens_of_db(reference, colour);
    const Traits heard = traits_of(colour);
    for (std::size_t t = 0; t < kTraits; ++t) {
        if (heard.known[t]) {
            reference.traits[t].learn(octaves,
                                      tens,
                                      heard.value[t] - usual_trait(t, octaves, model),
                                      kTraitNoise_db * kTraitNoise_db);
        }
    }
    if (!evidence.known) {
        return;
    }
    reference.envelope.learn(
        octaves, tens, evidence.envelope - model.open_mean, model.open_spread * model.open_spread);
    if (evidence.bright_known) {
        reference.bright.learn(octaves, tens, evidence.bright, kBrightNoise_db * kBrightNoise_db);
    }
}

} // namespace bellhand::hand

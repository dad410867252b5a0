#include "support/modelled_player.h"

#include "support/model_hand.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <numbers>

namespace bellhand::test {

namespace {

constexpr double kHighest_hz = 12000.0;
constexpr std::size_t kMostHarmonics = 100;
constexpr std::size_t kPoints = 512; // of one period

/// Harmonics of a smooth flow after its crests have run ahead of its troughs by `steepening` (1 = a shock forms).
std::vector<double> steepened(double fall_per_octave_db, double steepening, std::size_t harmonics) {
    std::array<double, kPoints> wave{};
    double top = 0.0;
    for (std::size_t i = 0; i < kPoints; ++i) {
        const double phase = 2.0 * std::numbers::pi * static_cast<double>(i) / kPoints;
        for (int k = 1; k <= 8; ++k) {
            wave[i] += std::pow(10.0, -fall_per_octave_db * std::log2(k) / 20.0) *
                       std::sin(k * phase) * (k % 2 == 0 ? 0.8 : 1.0);
        }
        top = std::max(top, std::fabs(wave[i]));
    }
    // The harmonics of x(phase + s x): change of variable, so that nothing has to be resampled.
    double steepest = 0.0;
    for (std::size_t i = 0; i < kPoints; ++i) {
        const double slope =
            (wave[(i + 1) % kPoints] - wave[i]) * kPoints / (2.0 * std::numbers::pi);
        steepest = std::max(steepest, std::fabs(slope));
    }
    const double lead = steepening / steepest;
    std::vector<double> out(harmonics);
    for (std::size_t k = 1; k <= harmonics; ++k) {
        std::complex<double> sum = 0.0;
        for (std::size_t i = 0; i < kPoints; ++i) {
            const double phase = 2.0 * std::numbers::pi * static_cast<double>(i) / kPoints;
            const double next = wave[(i + 1) % kPoints];
            const double stretch =
                1.0 - lead * (next - wave[i]) * kPoints / (2.0 * std::numbers::pi);
            sum += wave[i] * stretch *
                   std::polar(1.0, -static_cast<double>(k) * (phase - lead * wave[i]));
        }
        out[k - 1] = std::abs(sum) / kPoints;
    }
    return out;
}

} // namespace

double Microphone::gain_db(double hz) const noexcept {
    const double away = std::log2(hz / bump_hz) / 0.7;
    return tilt_db_per_octave * std::log2(hz / 500.0) -
           10.0 * std::log10(1.0 + std::pow(low_corner_hz / hz, 4)) +
           bump_db * std::exp(-away * away);
}

ModelledPlayer::ModelledPlayer(const horn::Tuning& tuning,
                               const horn::acoustics::HandHabit& habit,
                               const horn::acoustics::HornShape& shape)
    : tuning_(tuning), habit_(habit), air_(horn::acoustics::humid_air({})) {
    const double f1_hz = horn::fundamental_hz(tuning);
    bore_ = horn::acoustics::horn_bore(
        shape, *horn::acoustics::crook_length_for_m(shape, f1_hz, air_, habit));
    response_ = *model_hand_response(tuning, air_, shape, habit);
}

ModelledPlayer::Tone ModelledPlayer::play(
    int partial, double closure, double lip_cents, Blown blown, const Microphone& through) const {
    Tone out;
    const double cents = horn::response_at(response_, partial, closure) + lip_cents;
    out.f0_hz = partial * horn::fundamental_hz(tuning_) * std::exp2(cents / 1200.0);
    const std::size_t count =
        std::min(kMostHarmonics, static_cast<std::size_t>(kHighest_hz / out.f0_hz));
    constexpr std::array<double, 3> kFall_db{12.0, 8.0, 6.0};
    constexpr std::array<double, 3> kSteepening{0.2, 0.55, 0.9};
    const auto b = static_cast<std::size_t>(blown);
    const std::vector<double> source = steepened(kFall_db[b], kSteepening[b], count);
    const horn::acoustics::Line line(
        horn::acoustics::with_hand(bore_, horn::acoustics::hand_at(closure, habit_)), air_);
    out.amplitudes.resize(count);
    double power = 0.0;
    for (std::size_t k = 1; k <= count; ++k) {
        const double hz = static_cast<double>(k) * out.f0_hz;
        const horn::acoustics::Response r = line.at(hz);
        const double heard = source[k - 1] * std::abs(r.impedance_pa_s_m3) *
                             std::abs(r.pressure_ratio_at_1m) * from_db(through.gain_db(hz));
        out.amplitudes[k - 1] = heard;
        power += 0.5 * heard * heard;
    }
    for (double& a : out.amplitudes) {
        a /= std::sqrt(power);
    }
    return out;
}

pitch::PitchFrame frame_of(const ModelledPlayer::Tone& tone, double time_s, double level_dbfs) {
    pitch::PitchFrame frame;
    frame.time_s = time_s;
    frame.voiced = true;
    frame.f0_hz = frame.judged_hz = tone.f0_hz;
    frame.judged_time_s = time_s - 0.02;
    frame.f0_sd_cents = frame.judged_sd_cents = 0.5;
    frame.confidence = 1.0F;
    frame.level_dbfs = frame.level_dba = static_cast<float>(level_dbfs);
    frame.snr_db = 40.0F;
    frame.harmonics = std::min(static_cast<int>(tone.amplitudes.size()), pitch::kMaxHarmonics);
    for (int k = 0; k < frame.harmonics; ++k) {
        const auto i = static_cast<std::size_t>(k);
        const double a = tone.amplitudes[i];
        // What noise at this snr leaves in the narrow window of one harmonic.
        constexpr double kNoise = 6e-7;
        frame.harmonic_db[i] =
            static_cast<float>(level_dbfs + 10.0 * std::log10(0.5 * a * a + kNoise));
    }
    return frame;
}

} // namespace bellhand::test

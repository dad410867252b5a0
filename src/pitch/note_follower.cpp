#include "pitch/note_follower.h"

#include "core/cents.h"
#include "pitch/period_match.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bellhand::pitch {

namespace {

constexpr double kCents = 1200.0 / std::numbers::ln2; // cents in a ratio of e
constexpr double kLowest_hz = 27.0;
constexpr double kHighest_hz = 1700.0;

constexpr double kWindowPeriods = 3.0;   // quick window
constexpr double kWindow_s = 0.020;      // but never shorter
constexpr double kShortestPeriods = 2.7; // phases are asked only of windows this long
constexpr double kShortest_s = 0.0075;
constexpr double kPatient = 2.3; // the patient window, times the quick one
constexpr double kChirpPrior_cents_s = 700.0;
constexpr double kRefer_rad =
    1.0; // turning per step of the highest harmonic before the bank is set anew

constexpr double kJump = 0.05; // mismatch that counts as a jump, above the usual
constexpr double kUsualTimes = 4.0;
constexpr double kAccept = 0.12; // mismatch under which a new period is believed
constexpr double kClean = 0.04;

constexpr double kStillFits = 0.25;
constexpr double kDeepestFall =
    3.5; // two notes together repeat with a common multiple of their periods
constexpr double kMuchBetter = 2.0;
constexpr double kAudible = 0.03;
constexpr double kSustained = 0.6;
constexpr double kSamePitch_cents = 20.0;
constexpr double kGiveUp_s = 0.130;

constexpr double kNoDoubt = 5.0; // differences of two deviations are noise
constexpr double kDoubt = 0.25;
constexpr double kLeastScale = 0.7;
constexpr double kChance = 0.4; // share of the variance by which the averages stray by chance
// What does not repeat is a little more than the noise that the harmonics hear: set where two thirds of the errors on
// tones of known pitch lie within one deviation.
constexpr double kMeasured = 0.955;
constexpr double kUnseenBend = 0.28;
constexpr double kUnseenJitter =
    0.015; // share of the live reading's surprise that the judged one has too
           // error of the quick window where it differs by one from the patient one
constexpr double kCalm = 0.07; // pace of the averages that keep deviations true

// How far a long window may be trusted that differs by `gap` from a short one within it: their difference should be
// no larger than the noise that the short one has more (intersection of confidence intervals, Goldenshluger and
// Nemirovski 1997).
double belief(double gap, double variance, double short_variance, double scale) noexcept {
    const double expected = std::max(variance, 0.1 * short_variance) * scale;
    return std::exp(-kDoubt * std::max(0.0, gap * gap / expected - kNoDoubt));
}

} // namespace

NoteFollower::NoteFollower(double sample_rate_hz, int hop)
    : rate_hz_(sample_rate_hz),
      hop_(hop),
      scratch_(static_cast<std::size_t>(sample_rate_hz / kLowest_hz) + 2) {}

std::size_t NoteFollower::reach(double sample_rate_hz) noexcept {
    return static_cast<std::size_t>(0.3 * sample_rate_hz);
}

int NoteFollower::whole_blocks(double samples) const noexcept {
    return std::clamp(static_cast<int>(samples / bank_.step()), 0, PhasorBank::kBlocks - 1);
}

void NoteFollower::refer(const History& history, double omega) noexcept {
    const double hz = omega * rate_hz_ / (2.0 * std::numbers::pi);
    const int step = hz > 105.0 ? hop_ / 8 : hop_ / 4;
    const int harmonics = std::clamp(static_cast<int>(0.4 * rate_hz_ / hz), 1, kBankHarmonics);
    const double window = kPatient * std::max(kWindowPeriods / hz, kWindow_s) * rate_hz_ + 4 * hop_;
    const double wanted = std::min({window,
                                    usable_ + hop_,
                                    static_cast<double>(history.length()),
                                    static_cast<double>(PhasorBank::kBlocks * step)});
    const auto samples = static_cast<std::size_t>(wanted) / static_cast<std::size_t>(step) *
                         static_cast<std::size_t>(step);
    bank_.start(omega, harmonics, step, history.newest(samples));
}

void NoteFollower::start(const History& history, double omega, std::size_t usable) noexcept {
    active_ = true;
    changing_ = false;
    fresh_ = true;
    usable_ = static_cast<double>(usable);
    usual_ratio_ = 0.0;
    noise_power_ = 0.0;
    misfit_ = 1.0;
    chirp_ = live_chirp_ = 0.0;
    past_ = {};
    restless_ = surprise_ = 0.0;
    out_ = Following{};
    mid_omega_ = out_.live_omega = out_.judged_omega = omega;
    refer(history, omega);
    const std::size_t lag = static_cast<std::size_t>(2.0 * std::numbers::pi / omega);
    const std::size_t count =
        std::min(static_cast<std::size_t>(2 * hop_), history.length() - lag - 16);
    const auto x = history.newest(history.length());
    const Mismatch m = match_period(x, x.size(), count, 2.0 * std::numbers::pi / omega);
    usual_ratio_ = m.ratio();
    noise_power_ = m.difference / (2.0 * static_cast<double>(count));
    fit(history);
}

const Following& NoteFollower::advance(const History& history) noexcept {
    usable_ += hop_;
    out_.changed = false;
    out_.doubtful = false;
    bank_.push(history.newest(static_cast<std::size_t>(hop_)));
    mid_omega_ += chirp_ * hop_;
    std::copy_backward(past_.begin(), past_.end() - 1, past_.end());
    past_[0] = {};
    watch(history);
    if (changing_) {
        out_.judged_age += hop_;
        look_for_change(history);
    } else {
        fit(history);
    }
    return out_;
}

// Does the newest hop still repeat with the period?
void NoteFollower::watch(const History& history) noexcept {
    const double lag_now = 2.0 * std::numbers::pi / out_.live_omega;
    const double omega = out_.live_omega + live_chirp_ * (0.5 * hop_ - 0.5 * lag_now);
    const double lag = 2.0 * std::numbers::pi / omega;
    const std::size_t quarter = static_cast<std::size_t>(hop_) / 4;
    const auto x =
        history.newest(static_cast<std::size_t>(lag) + 2 * static_cast<std::size_t>(hop_) + 16);
    Mismatch hop;
    double jump_age = -1.0;
    const double limit = std::max(kUsualTimes * usual_ratio_, usual_ratio_ + kJump);
    for (std::size_t q = 0; q < 4; ++q) {
        const std::size_t end = x.size() - (3 - q) * quarter;
        const Mismatch m = match_period(x, end, quarter, lag);
        hop.difference += m.difference;
        hop.energy += m.energy;
        if (jump_age < 0.0 && m.ratio() > limit)
            jump_age = static_cast<double>((4 - q) * quarter);
    }
    out_.repeats = std::max(0.0, 1.0 - hop.ratio());
    if (changing_) {
        change_age_ += hop_;
        return;
    }
    if (hop.ratio() > limit && usable_ > lag + 2.0 * hop_) {
        changing_ = true;
        change_age_ = std::max(jump_age, static_cast<double>(quarter));
        return;
    }
    constexpr double kPace = 0.12;
    usual_ratio_ += kPace * (hop.ratio() - usual_ratio_);
    noise_power_ += kPace * (hop.difference / (2.0 * hop_) - noise_power_);
}

void NoteFollower::look_for_change(const History& history) noexcept {
    const double old_lag = 2.0 * std::numbers::pi / out_.live_omega;
    const auto x = history.newest(history.length());
    const auto usable = static_cast<std::size_t>(change_age_);
    const auto shortest = static_cast<std::size_t>(rate_hz_ / kHighest_hz);
    const auto longest = static_cast<std::size_t>(
        std::min(kDeepestFall * old_lag, static_cast<double>(scratch_.size() - 2)));
    const auto least = static_cast<std::size_t>(std::max(0.0035 * rate_hz_, 0.42 * old_lag));
    const ShortPeriod found =
        find_short_period(x, usable, shortest, longest, least, old_lag, scratch_);
    const double accept = std::max(kClean, 2.0 * usual_ratio_);
    if (found.lag > 0.0 && found.ratio < accept) {
        const double omega = 2.0 * std::numbers::pi / found.lag;
        // How the old period fits the very samples that the new one fits. Other sounds that set in do not end the
        // note, and every multiple of a period fits as well as the period.
        const Mismatch old = match_period(x, x.size(), found.count, old_lag);
        const double multiple = std::round(found.lag / old_lag);
        const bool same = multiple >= 1.0 &&
                          std::abs(cents_between(found.lag, multiple * old_lag)) < kSamePitch_cents;
        // The old period fits any new one that goes into it, too.
        const double part = std::round(old_lag / found.lag);
        const bool upward =
            part >= 2.0 && std::abs(cents_between(part * found.lag, old_lag)) < kSamePitch_cents;
        const bool fits = !upward && (old.ratio() < (same ? kStillFits : kAccept) ||
                                      old.ratio() < kMuchBetter * found.ratio);
        // A click dies away within periods, and lost packets leave silence: neither is a note.
        const Mismatch now = match_period(x, x.size(), found.count, found.lag);
        const bool sustained = now.newer > kSustained * (now.energy - now.newer) &&
                               now.newer > kAudible * (out_.tone_power + noise_power_) *
                                               static_cast<double>(found.count);
        if (!sustained)
            return;
        if ((same && multiple == 1.0) || fits) {
            changing_ = false;
            fit(history);
            return;
        }
        const double age = change_age_;
        start(history, omega, usable);
        out_.changed = true;
        out_.changed_age = age;
        return;
    }
    if (change_age_ > kGiveUp_s * rate_hz_) {
        changing_ = false;
        out_.doubtful = true;
        fit(history);
    }
}

void NoteFollower::match_only(const History& history) noexcept {
    const double lag = 2.0 * std::numbers::pi / out_.live_omega;
    const auto x = history.newest(history.length());
    const auto usable = static_cast<std::size_t>(usable_);
    const auto shortest = static_cast<std::size_t>(0.96 * lag) - 1;
    const auto longest = static_cast<std::size_t>(1.04 * lag) + 2;
    const auto least = static_cast<std::size_t>(std::max(0.0035 * rate_hz_, 0.42 * lag));
    const ShortPeriod found = find_short_period(x, usable, shortest, longest, least, lag, scratch_);
    if (found.lag > 0.0)
        out_.live_omega = 2.0 * std::numbers::pi / found.lag;
    mid_omega_ = out_.judged_omega = out_.live_omega;
    out_.judged_age = 0.5 * usable_;
    out_.live_sd_cents = out_.judged_sd_cents = 3.0;
    chirp_ = live_chirp_ = 0.0;
}

// What the live reading said of an instant against what is now judged of it: what its own deviation does not explain
// is added to the deviations to come.
void NoteFollower::compare(double judged, double judged_variance, double age) noexcept {
    const double hops = age / hop_;
    const auto at = static_cast<std::size_t>(hops);
    if (at + 1 >= past_.size() || past_[at].live <= 0.0 || past_[at + 1].live <= 0.0)
        return;
    const double part = hops - static_cast<double>(at);
    const double then = past_[at].live + part * (past_[at + 1].live - past_[at].live);
    const double expected = past_[at].live_variance - judged_variance;
    const double error = then - judged;
    surprise_ += kCalm * (error * error - std::max(expected, 0.0) - surprise_);
}

void NoteFollower::fit(const History& history) noexcept {
    const double hz = out_.live_omega * rate_hz_ / (2.0 * std::numbers::pi);
    const double wanted = std::max(kWindowPeriods / hz, kWindow_s) * rate_hz_;
    const double shortest = std::max(kShortestPeriods / hz, kShortest_s) * rate_hz_;
    const double room = usable_ - 2.0 * bank_.step();
    if (room < shortest) {
        match_only(history);
        return;
    }
    if (std::abs(out_.live_omega - bank_.omega()) * bank_.harmonics() * bank_.step() > kRefer_rad)
        refer(history, out_.live_omega);
    const double floor = 1e-5 * (out_.tone_power + noise_power_) + 1e-13;
    noise_.fill(static_cast<float>(std::max(noise_power_, floor)));

    PhaseFitRequest request;
    const int quick_blocks = std::min(whole_blocks(std::min(wanted, room)), bank_.filled());
    request.oldest = quick_blocks - 1;
    request.omega = mid_omega_;
    request.chirp = chirp_;
    request.chirp_prior_sd = kChirpPrior_cents_s / kCents * out_.live_omega / rate_hz_;
    request.passes = fresh_ ? 3 : 1;
    const PhaseFit quick = fit_phase(bank_, request, noise_);
    if (!quick.ok)
        return;
    fresh_ = room < 1.2 * wanted;
    mid_omega_ = quick.omega;
    chirp_ = quick.chirp;
    misfit_ += 0.1 * (quick.misfit - misfit_);
    const double scale = std::max(kLeastScale, misfit_);
    if (!fresh_)
        past_[0] = {quick.omega, quick.chirp, quick.variance, 0.0, 0.0};
    double live = quick.omega + quick.chirp * quick.middle;
    double live_chirp = quick.chirp;
    double live_variance = quick.variance + quick.chirp_variance * quick.middle * quick.middle;
    double judged = quick.omega;
    double judged_variance = quick.variance;
    double judged_age = quick.middle;
    double judged_gap = 0.0;

    // The patient window reaches back by whole hops more than the quick one, on both sides of an instant that the
    // quick one was centred on some hops ago.
    const int per_hop = hop_ / bank_.step();
    const int most = static_cast<int>((kPatient - 1.0) * quick_blocks / (2.0 * per_hop) + 0.5);
    const int room_blocks = std::min(whole_blocks(room), bank_.filled());
    const int hops = std::min(
        {most, (room_blocks - quick_blocks) / (2 * per_hop), static_cast<int>(past_.size()) - 1});
    const Past& then = past_[static_cast<std::size_t>(std::max(hops, 0))];
    if (hops > 0 && then.omega > 0.0) {
        request.oldest = quick_blocks + 2 * hops * per_hop - 1;
        request.passes = 1;
        request.omega = then.omega;
        request.chirp = then.chirp;
        const PhaseFit patient = fit_phase(bank_, request, noise_);
        if (patient.ok) {
            const double patient_live = patient.omega + patient.chirp * patient.middle;
            const double patient_live_variance =
                patient.variance + patient.chirp_variance * patient.middle * patient.middle;
            const double trust = belief(
                patient_live - live, live_variance - patient_live_variance, live_variance, scale);
            live += trust * (patient_live - live);
            live_chirp += trust * (patient.chirp - live_chirp);
            live_variance += trust * (patient_live_variance - live_variance);
            const double trust_then = belief(
                patient.omega - then.omega, then.variance - patient.variance, then.variance, scale);
            judged = then.omega + trust_then * (patient.omega - then.omega);
            judged_variance = then.variance + trust_then * (patient.variance - then.variance);
            judged_gap = kUnseenBend * (1.0 + (1.0 / kUnseenBend - 1.0) * trust_then);
            const double gap = patient.omega - then.omega;
            restless_ +=
                kCalm * (gap * gap - (then.variance - patient.variance) * scale - restless_);
            judged_age = patient.middle;
        }
    }
    judged_variance =
        judged_variance * scale +
        judged_gap * judged_gap * std::max(restless_ - kChance * then.variance * scale, 0.0);
    live_variance *= scale;
    compare(judged, judged_variance, judged_age);
    const double surprise = std::max(surprise_ - kChance * live_variance, 0.0);
    judged_variance += kUnseenJitter * surprise;
    past_[0].live = live;
    past_[0].live_variance = live_variance;
    out_.live_omega = live;
    live_chirp_ = live_chirp;
    out_.live_sd_cents = kMeasured * kCents * std::sqrt(live_variance + surprise) / live;
    out_.judged_omega = judged;
    out_.judged_sd_cents = kMeasured * kCents * std::sqrt(judged_variance) / judged;
    out_.judged_age = judged_age;
    out_.noise_power = noise_power_;
    out_.harmonics = bank_.harmonics();
    out_.amplitude = quick.amplitude;
    out_.tone_power = 0.0;
    for (int i = 0; i < bank_.harmonics(); ++i) {
        const auto a = static_cast<double>(quick.amplitude[static_cast<std::size_t>(i)]);
        out_.tone_power += 0.5 * a * a;
    }
}

} // namespace bellhand::pitch

#include "hand/horn_fit.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace bellhand::hand {

namespace {

// Tubes looked at: from A flat basso at A4 = 415, a little flat, to C alto at 455.
constexpr double kLowest_cents = 5490.0; // from 1 Hz: 23.8 Hz
constexpr double kStep_cents = 5.0;
// What a player is taken to do; all of it common practice, no source, and tried on players of other making
// (tests/property/horn_fit_test.cpp).
// How much of what is played is played with the hand differs from player to player: more than half only in practice of
// the hand, a little less likely than either of the others.
constexpr std::array kHandShares{0.06, 0.25, 0.6};
constexpr std::array kHandShareWeights{0.35, 0.35, 0.3};
constexpr double kUsualHandShare = 0.25;
constexpr double kStray = 0.03;         // of the notes are nothing of either kind
constexpr double kRange_cents = 3600.0; // hand notes and strays are anywhere in three octaves
constexpr double kScaleSharpness =
    0.8; // of hand notes about the semitones: 20 cents standard deviation (von Mises)
constexpr double kLowestHand_cents = 1650.0; // below written F3 they are poor, above A5 rare
constexpr double kHighestHand_cents = 4550.0;
constexpr double kOpenSd_cents = 11.0;
// Colour is believed this much, nats: a soft stopped note sounds open, so sounding open is next to nothing.
constexpr double kMostOpenByColour = 0.3;
constexpr double kMostStoppedByColour = 1.0;
// Prior of the horn that was set, before any and after several of its open notes were heard, and how far it lies off.
constexpr double kSetShare = 0.5;
constexpr double kProvenShare = 0.97;
constexpr double kWellProvenShare = 0.9995; // by so many different open notes at once
constexpr int kPlacesOfProof = 4;
constexpr double kSetSd_cents = 24.0;
// Another horn stands a whole number of semitones from F at 440, or 415, or 443 a little above; or at 430, 40 cents
// below; or, with the rest of this share, anywhere.
constexpr double kAtUsualPitch = 0.7;
constexpr double kUsualPitchSd_cents = 14.0;
struct UsualPitch {
    double cents = 0.0;
    double share = 0.0;
};
constexpr std::array<UsualPitch, 2> kUsualPitches{{{3.0, 0.7}, {-40.0, 0.3}}};
constexpr double kFundamentalOfF_hz = 43.6535; // at A4 = 440
// Pitches nearer than this are the same place; another note on it counts this much of a new one.
constexpr double kSamePlace_cents = 35.0;
constexpr double kAgain = 0.3;
constexpr double kPeakReach_cents = 40.0; // of one tube's probability to either side

// Verdicts.
constexpr double kFits = 0.85;
constexpr double kOther =
    0.8; // of all tubes: so that no third one is left that fits nearly as well
constexpr double kOtherSet = 0.15; // what may be left of the horn that was set
constexpr double kOtherSetLater =
    0.045; // after `kNotesToName`: asked at every note, chance would answer in the end
constexpr double kTwo = 0.5;
constexpr double kDoubtful = 0.50;
constexpr int kPlacesToFit = 2;
constexpr int kPlacesOfOther = 4;
constexpr int kPlacesToDoubt = 3;
constexpr int kNotesToName = 8;
constexpr double kOffsetSaid_cents = 8.0;
constexpr double kOffsetSure = 2.0; // standard deviations
constexpr int kPlacesOfOffset = 3;
constexpr double kMostlyOpen = 0.6;      // of the places: then they tell where the whole horn lies
constexpr double kDeciding_cents = 80.0; // a note this far from the other tube's open ones decides

double cents_of(double hz) noexcept {
    return cents_between(hz, 1.0);
}

double tube_cents(std::size_t at) noexcept {
    return kLowest_cents + kStep_cents * static_cast<double>(at);
}

/// Density of another horn than the one that was set, against all tubes alike.
double usual_tube(double tube_cents) noexcept {
    const double above = tube_cents - cents_of(kFundamentalOfF_hz);
    double density = 1.0 - kAtUsualPitch;
    for (const UsualPitch& pitch : kUsualPitches) {
        const double off = std::remainder(above - pitch.cents, 100.0) / kUsualPitchSd_cents;
        density += kAtUsualPitch * pitch.share * 100.0 * std::exp(-0.5 * off * off) /
                   (2.50663 * kUsualPitchSd_cents);
    }
    return density;
}

/// How often a partial is played, against the usual ones.
double played(int partial) noexcept {
    return partial == 1 || partial > 16 ? 0.05 : partial > 12 ? 0.7 : 1.0;
}
constexpr double kPlayedSum = 14.25;

/// Where lips bring a partial, cents from the tube's own, and how far they scatter: where the series is false, players
/// help it towards the scale, some more, some less.
struct LipHabit {
    double mean_cents = 0.0;
    double sd_cents = kOpenSd_cents;
};
LipHabit lips_on(int partial) noexcept {
    switch (partial) {
    case 7:
    case 14:
        return {14.0, 20.0};
    case 11:
    case 13:
        return {5.0, 30.0};
    case 5:
    case 10:
        return {5.0, 12.0};
    default:
        return {};
    }
}

double hand_density(double above_f1) noexcept {
    constexpr double kBesselI0 = 1.1665; // of kScaleSharpness
    const double usual = above_f1 < kLowestHand_cents    ? 0.1
                         : above_f1 > kHighestHand_cents ? 0.3
                                                         : 1.0;
    return usual * std::exp(kScaleSharpness * std::cos(2.0 * std::numbers::pi * above_f1 / 100.0)) /
           kBesselI0 / kRange_cents;
}

} // namespace

void HornFinder::set_horn(double f1_hz, std::span<const double> open_cents) noexcept {
    constexpr std::size_t kFrom = 1; // partials 2 to 12
    constexpr std::size_t kTo = 12;
    measured_cents_ = 0.0;
    if (open_cents.size() >= kTo) {
        measured_cents_ =
            std::accumulate(open_cents.begin() + kFrom, open_cents.begin() + kTo, 0.0) /
            (kTo - kFrom);
    }
    nominal_cents_ = cents_of(f1_hz);
    set_cents_ = nominal_cents_ + measured_cents_;
    for (std::size_t i = 0; i < partial_cents_.size(); ++i) {
        partial_cents_[i] = cents_of(static_cast<double>(i + 1)) +
                            (i < open_cents.size() ? open_cents[i] - measured_cents_ : 0.0);
    }
    count_ = 0;
    proven_ = 0;
    settled_ = {};
    fit_ = {};
}

namespace {
/// Density of an open note, by the two or three partials nearest to it.
double open_density(double above_f1, const std::array<double, horn::kPartials>& partials) noexcept {
    const int nearest =
        std::clamp(static_cast<int>(std::lround(ratio_of_cents(above_f1))), 1, horn::kPartials);
    double sum = 0.0;
    for (int n = std::max(1, nearest - 1); n <= std::min(horn::kPartials, nearest + 1); ++n) {
        const LipHabit lips = lips_on(n);
        const double off =
            (above_f1 - partials[static_cast<std::size_t>(n - 1)] - lips.mean_cents) /
            lips.sd_cents;
        sum += played(n) / kPlayedSum * std::exp(-0.5 * off * off) / (2.50663 * lips.sd_cents);
    }
    return sum;
}

double hand_share(double usual, double open_log_odds) noexcept {
    const double odds = std::log(usual / (1.0 - usual)) -
                        std::clamp(open_log_odds, -kMostStoppedByColour, kMostOpenByColour);
    return 1.0 / (1.0 + std::exp(-odds));
}
} // namespace

double
HornFinder::log_likelihood(const Remembered& note, double usual, double f1_cents) const noexcept {
    const double above = note.cents - f1_cents;
    const double hand = hand_share(usual, note.open_log_odds);
    return std::log((1.0 - kStray) * ((1.0 - hand) * open_density(above, partial_cents_) +
                                      hand * hand_density(above)) +
                    kStray / kRange_cents);
}

double HornFinder::open_share(const Remembered& note, double f1_cents) const noexcept {
    const double above = note.cents - f1_cents;
    const double hand = hand_share(kUsualHandShare, note.open_log_odds);
    const double open = (1.0 - hand) * open_density(above, partial_cents_);
    return open / (open + hand * hand_density(above) + kStray / kRange_cents);
}

void HornFinder::add(const FitNote& note) noexcept {
    if (!(note.f0_hz > 0.0)) {
        return;
    }
    Remembered& kept = notes_[count_++ % kRemembered];
    kept.cents = cents_of(note.f0_hz);
    kept.open_log_odds = note.open_log_odds;
    for (std::size_t at = 0; at < kTubes; ++at) {
        for (std::size_t h = 0; h < kHandShares.size(); ++h) {
            kept.logs[h][at] =
                static_cast<float>(log_likelihood(kept, kHandShares[h], tube_cents(at)));
        }
    }
    weigh_tubes();
    judge();
}

double HornFinder::weight_of(std::size_t note) const noexcept {
    int same = 0;
    for (std::size_t i = 0; i < count(); ++i) {
        same += std::fabs(notes_[i].cents - notes_[note].cents) < kSamePlace_cents ? 1 : 0;
    }
    return (1.0 + kAgain * (same - 1)) / same;
}

void HornFinder::weigh_tubes() noexcept {
    const double set_share = proven_ >= kPlacesOfProof ? kWellProvenShare
                             : proven_ > 0             ? kProvenShare
                                                       : kSetShare;
    std::array<double, kRemembered> weights{};
    for (std::size_t i = 0; i < count(); ++i) {
        weights[i] = weight_of(i);
    }
    for (std::size_t at = 0; at < kTubes; ++at) {
        const double off = (tube_cents(at) - set_cents_) / kSetSd_cents;
        std::array<double, kHandShares.size()> logs{};
        for (std::size_t i = 0; i < count(); ++i) {
            for (std::size_t h = 0; h < logs.size(); ++h) {
                logs[h] += weights[i] * static_cast<double>(notes_[i].logs[h][at]);
            }
        }
        const double most = *std::max_element(logs.begin(), logs.end());
        double sum = 0.0;
        for (std::size_t h = 0; h < logs.size(); ++h) {
            sum += kHandShareWeights[h] * std::exp(logs[h] - most);
        }
        posterior_[at] =
            most + std::log(sum) +
            std::log((1.0 - set_share) * usual_tube(tube_cents(at)) / (kTubes * kStep_cents) +
                     set_share * std::exp(-0.5 * off * off) / (2.50663 * kSetSd_cents));
    }
    const double most = *std::max_element(posterior_.begin(), posterior_.end());
    double sum = 0.0;
    for (double& one : posterior_) {
        one = std::exp(one - most);
        sum += one;
    }
    for (double& one : posterior_) {
        one /= sum;
    }
}

int HornFinder::places(double f1_cents) const noexcept {
    int found = 0;
    for (std::size_t i = 0; i < count(); ++i) {
        bool new_place = true;
        for (std::size_t before = 0; before < i; ++before) {
            new_place =
                new_place && std::fabs(notes_[i].cents - notes_[before].cents) >= kSamePlace_cents;
        }
        found += new_place && (f1_cents <= 0.0 || open_share(notes_[i], f1_cents) > 0.5) ? 1 : 0;
    }
    return found;
}

HornFinder::Peak HornFinder::take_peak(std::array<double, kTubes>& left) const noexcept {
    Peak peak;
    peak.at = static_cast<std::size_t>(std::max_element(left.begin(), left.end()) - left.begin());
    constexpr auto kReach = static_cast<std::size_t>(kPeakReach_cents / kStep_cents);
    const std::size_t from = peak.at > kReach ? peak.at - kReach : 0;
    const std::size_t to = std::min(kTubes - 1, peak.at + kReach);
    double mean = 0.0;
    double square = 0.0;
    for (std::size_t at = from; at <= to; ++at) {
        peak.tube.share += left[at];
        mean += left[at] * tube_cents(at);
    }
    mean = peak.tube.share > 0.0 ? mean / peak.tube.share : tube_cents(peak.at);
    for (std::size_t at = from; at <= to; ++at) {
        square += left[at] * (tube_cents(at) - mean) * (tube_cents(at) - mean);
        left[at] = 0.0;
    }
    peak.tube.sd_cents = peak.tube.share > 0.0 ? std::sqrt(square / peak.tube.share) : 100.0;
    peak.tube.f1_hz = ratio_of_cents(mean);
    peak.tube.open_places = places(mean);
    return peak;
}

void HornFinder::judge() noexcept {
    std::array<double, kTubes> left = posterior_;
    FittedTube set{ratio_of_cents(set_cents_), 0.0, 0.0, places(set_cents_)};
    FittedTube first;
    FittedTube second;
    for (int peaks = 0; peaks < 4 && second.share == 0.0; ++peaks) {
        const FittedTube tube = take_peak(left).tube;
        if (std::fabs(cents_of(tube.f1_hz) - set_cents_) <= kSameHorn_cents) {
            const double share = set.share + tube.share;
            if (tube.share > set.share) {
                set = tube;
            }
            set.share = share;
        } else {
            (first.share == 0.0 ? first : second) = tube;
        }
    }
    const int all = places(0.0);
    fit_ = {};
    fit_.best = set;
    if (set.share >= kFits && set.open_places >= kPlacesToFit) {
        fit_.verdict = HornVerdict::fits;
        proven_ = std::max(proven_, set.open_places);
        settle_offset();
        return;
    }
    if (all < kPlacesToDoubt || set.share >= kFits) {
        return;
    }
    const double most_left =
        count_ > static_cast<std::size_t>(kNotesToName) ? kOtherSetLater : kOtherSet;
    const bool clear = first.share >= kOther && set.share <= most_left;
    if (clear && first.open_places >= kPlacesOfOther &&
        count_ >= static_cast<std::size_t>(kNotesToName)) {
        fit_.verdict = HornVerdict::other;
        fit_.best = first;
        return;
    }
    const FittedTube& rival = set.share > second.share ? set : second;
    if (first.open_places >= kPlacesToDoubt &&
        first.share + std::max(set.share, second.share) >= kTwo) {
        fit_.verdict = HornVerdict::either;
        fit_.best = first;
        fit_.rival = rival;
        find_deciding();
    } else if (set.share < kDoubtful) {
        fit_.verdict = HornVerdict::doubtful;
    }
}

/// Where the horn as a whole lies is read from its open notes; in a stretch of hand notes what was known stays.
void HornFinder::settle_offset() noexcept {
    const int open = fit_.best.open_places;
    if (open >= kPlacesToFit && open >= kMostlyOpen * places(0.0)) {
        settled_ = {cents_of(fit_.best.f1_hz) - nominal_cents_, fit_.best.sd_cents, open};
    }
    fit_.offset_cents = settled_.cents;
    fit_.offset_sd_cents = settled_.sd_cents;
    fit_.offset_matters = settled_.places >= kPlacesOfOffset &&
                          std::fabs(settled_.cents) >= kOffsetSaid_cents &&
                          std::fabs(settled_.cents) >= kOffsetSure * settled_.sd_cents;
}

void HornFinder::find_deciding() noexcept {
    constexpr std::array kEasyFirst{5, 6, 8, 4, 3, 9, 7, 10, 12, 11, 2, 13, 15, 16};
    const FittedTube& lower = fit_.best.f1_hz < fit_.rival.f1_hz ? fit_.best : fit_.rival;
    const FittedTube& upper = fit_.best.f1_hz < fit_.rival.f1_hz ? fit_.rival : fit_.best;
    double furthest = 0.0;
    for (const FittedTube* tube : {&lower, &upper}) {
        const FittedTube& rival = tube == &lower ? upper : lower;
        const double apart = cents_of(tube->f1_hz) - cents_of(rival.f1_hz);
        for (const int partial : kEasyFirst) {
            const double on_rival = partial_cents_[static_cast<std::size_t>(partial - 1)] + apart;
            double nearest = 1e9;
            for (const double place : partial_cents_) {
                nearest = std::min(nearest, std::fabs(place - on_rival));
            }
            nearest = std::min(nearest, kDeciding_cents);
            if (nearest > furthest) {
                furthest = nearest;
                fit_.deciding_partial = partial;
                fit_.deciding_f1_hz = tube->f1_hz;
            }
        }
    }
}

} // namespace bellhand::hand

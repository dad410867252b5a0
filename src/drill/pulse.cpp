#include "drill/pulse.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bellhand::drill {

namespace {

// All constants are this program's own, tried on the players of tests/property/tempo_test.cpp.

/// Scatter of single notes about a pulse, standard deviation: fingers and lips, and where starts are heard.
constexpr double kOnset_s = 0.014;
constexpr double kOnsetInRoom_s = 0.025;
/// A tempo that nothing is known of may be so far from the written one, standard deviation.
constexpr double kUnknownTempo = 0.35;
constexpr double kClickedTempo = 0.02;
/// The share by which the tempo changes from note to note, before anything is known of it; how quickly it is learnt.
constexpr double kFirstWander = 0.03;
constexpr double kClickedWander = 0.02;
constexpr double kLearnWander = 0.3;
/// What is known of players before they are heard: the share of notes that are off, the time within which they are then, of
/// which no part is likelier than another, and the share of notes at which the tempo jumps, and by how much (standard
/// deviation).
constexpr double kOffShare = 0.1;
constexpr double kEarlyShareInRoom = 0.01; // it rather was the note before that was heard late
constexpr double kOffWithin_s = 0.5;
constexpr double kJumpShare = 0.01;
constexpr double kJump = 0.15;
/// A tempo that has stood still may yet begin to move by this share from note to note.
constexpr double kLeastWander = 0.02;
constexpr double kMostChange = 0.3; // a lost pulse is looked for no further off than this share
/// How exactly a single start is heard in a room that rings: what lies so near beyond the limit is not called late.
constexpr double kStartInRoom_s = 0.020;
/// So many notes in a row that fit neither the pulse nor the note before them: it is the pulse that is not known.
constexpr int kLost = 2;
constexpr double kLostTempo = 0.1;
constexpr double kAgree = 0.1;
/// Later than this (and a quarter note) the player had stopped.
constexpr double kStopped_s = 0.7;
/// Freedom of the filter beside the measured wandering.
constexpr double kFollow = 0.3;

double bell(double off, double variance) noexcept {
    return std::exp(-0.5 * off * off / variance) / std::sqrt(2.0 * std::numbers::pi * variance);
}

double onset_s(const Pulse::Onset& note) noexcept {
    return note.in_ringing_room ? kOnsetInRoom_s : kOnset_s;
}

} // namespace

Pulse::Pulse(double quarter_s, bool clicked) noexcept
    : expected_s_(0.0),
      quarter_s_(quarter_s),
      quarter_variance_(std::pow((clicked ? kClickedTempo : kUnknownTempo) * quarter_s, 2.0)),
      wander2_(std::pow(clicked ? kClickedWander : kFirstWander, 2.0)) {}

void Pulse::resume(const Onset& note, double late_s) noexcept {
    going_ = true;
    place_ = note.quarters;
    last_start_s_ = note.start_s;
    expected_s_ = note.start_s - late_s;
    stray_s_ = late_s;
    phase_variance_ = kOnset_s * kOnset_s;
    both_variance_ = 0.0;
}

double Pulse::mean_quarter_s() const noexcept {
    return played_quarters_ > 0.0 ? played_s_ / played_quarters_ : quarter_s_;
}

void Pulse::predict(double gap_quarters) noexcept {
    expected_s_ += gap_quarters * quarter_s_;
    phase_variance_ += gap_quarters * (2.0 * both_variance_ + gap_quarters * quarter_variance_);
    both_variance_ += gap_quarters * quarter_variance_;
    quarter_variance_ += kFollow * wander2_ * quarter_s_ * quarter_s_;
}

void Pulse::correct(double late_s, double gap_quarters, double onset_s, bool freely) noexcept {
    if (freely) { // the tempo has just changed by more than it usually does
        const double more = std::pow(late_s / gap_quarters, 2.0);
        quarter_variance_ += more;
        both_variance_ += gap_quarters * more;
        phase_variance_ += gap_quarters * gap_quarters * more;
    }
    const double all = phase_variance_ + onset_s * onset_s;
    const double phase_gain = phase_variance_ / all;
    const double quarter_gain = both_variance_ / all;
    expected_s_ += phase_gain * late_s;
    quarter_s_ = std::max(0.05, quarter_s_ + quarter_gain * late_s);
    quarter_variance_ -= quarter_gain * both_variance_;
    both_variance_ -= phase_gain * both_variance_;
    phase_variance_ -= phase_gain * phase_variance_;
}

/// How likely it is that this note, and the next one where it was heard, began when they did although the player only goes
/// on as players do, the tempo free by `jump2` more (squared, of a quarter).
double Pulse::goes_on(double late_s, const Ahead& ahead, double jump2) const noexcept {
    const double gap = ahead.gap_quarters;
    const double this2 = phase_variance_ + ahead.onset2 + gap * gap * jump2;
    if (!ahead.next_late_s) {
        return bell(late_s, this2);
    }
    const double whole = gap + ahead.gap_after;
    const double both = phase_variance_ + ahead.gap_after * both_variance_ + gap * whole * jump2;
    const double next2 = next_variance(ahead) + whole * whole * jump2;
    const double share = both / this2;
    return bell(late_s, this2) * bell(*ahead.next_late_s - share * late_s, next2 - share * both);
}

/// And how likely where only this note was off: the next is back at the old pulse, or goes on from this one.
double Pulse::was_off(double late_s, const Ahead& ahead) const noexcept {
    if (!ahead.next_late_s) {
        return 1.0 / kOffWithin_s;
    }
    const double after2 = ahead.gap_after * ahead.gap_after * ahead.quarter2 + 2.0 * ahead.onset2;
    return 0.5 / kOffWithin_s *
           (bell(*ahead.next_late_s, next_variance(ahead)) +
            bell(*ahead.next_late_s - late_s, after2));
}

double Pulse::next_variance(const Ahead& ahead) const noexcept {
    return phase_variance_ + 2.0 * ahead.gap_after * both_variance_ +
           ahead.gap_after * ahead.gap_after * ahead.quarter2 + ahead.onset2;
}

Pulse::Finding Pulse::find(double late_s,
                           double gap_quarters,
                           const std::optional<Onset>& next,
                           const Onset& note,
                           double slack_s) const noexcept {
    if (std::fabs(late_s) <= slack_s) {
        return Finding::in_time;
    }
    if (std::fabs(late_s) <= slack_s + (note.in_ringing_room ? kStartInRoom_s : 0.0)) {
        return Finding::tempo;
    }
    Ahead ahead;
    ahead.gap_quarters = gap_quarters;
    ahead.onset2 = onset_s(note) * onset_s(note);
    ahead.quarter2 = quarter_variance_ +
                     std::max(wander2_, kLeastWander * kLeastWander) * quarter_s_ * quarter_s_;
    if (next && next->quarters > note.quarters) {
        ahead.gap_after = next->quarters - note.quarters;
        ahead.next_late_s = late_s + next->start_s - note.start_s - ahead.gap_after * quarter_s_;
    }
    const double jump2 = kJump * kJump * quarter_s_ * quarter_s_;
    const double tempo = (1.0 - kJumpShare) * goes_on(late_s, ahead, 0.0) +
                         kJumpShare * goes_on(late_s, ahead, jump2);
    const double share = note.in_ringing_room && late_s < 0.0 ? kEarlyShareInRoom : kOffShare;
    return share * was_off(late_s, ahead) > tempo ? Finding::off : Finding::tempo;
}

/// Two gaps in a row that agree are the tempo.
void Pulse::look_for_tempo(double between_s) noexcept {
    if (lost_ && std::fabs(between_s - lost_between_s_) < kAgree * between_s) {
        quarter_s_ = 0.5 * (between_s + lost_between_s_);
    }
    lost_between_s_ = between_s;
    lost_ = true;
}

std::optional<double>
Pulse::follow(const Onset& note, const std::optional<Onset>& next, double slack_s) noexcept {
    const double gap_quarters = note.quarters - place_;
    if (!going_ || !(gap_quarters > 0.0)) {
        resume(note);
        return std::nullopt;
    }
    predict(gap_quarters);
    if (note.unsure) {
        place_ = note.quarters;
        last_start_s_ = expected_s_;
        return std::nullopt;
    }
    double late_s = note.start_s - expected_s_;
    if (std::fabs(late_s - stray_s_) < std::fabs(late_s)) { // the pulse went with the late note
        expected_s_ += stray_s_;
        late_s -= stray_s_;
    }
    stray_s_ = 0.0;
    if (std::fabs(late_s) > quarter_s_ + kStopped_s) {
        resume(note);
        return std::nullopt;
    }
    Finding finding = find(late_s, gap_quarters, next, note, slack_s);
    if (lost_ && finding == Finding::off &&
        std::fabs(late_s) <= kMostChange * gap_quarters * quarter_s_) {
        finding = Finding::tempo; // the pulse goes to the note until one is in time
    }
    place_ = note.quarters;
    if (finding == Finding::off && (lost_ || ++off_in_row_ >= kLost)) {
        off_in_row_ = 0;
        look_for_tempo((note.start_s - last_start_s_) / gap_quarters);
        quarter_variance_ += std::pow(kLostTempo * quarter_s_, 2.0);
        resume(note);
        return std::nullopt;
    }
    if (finding == Finding::off) {
        stray_s_ = late_s;
        last_start_s_ = note.start_s;
        return late_s;
    }
    off_in_row_ = 0;
    lost_ = lost_ && finding != Finding::in_time;
    if (notes_ > 0) {
        const double gap_s = gap_quarters * quarter_s_;
        const double expected2 = phase_variance_ + kOnset_s * kOnset_s;
        const double changed2 = std::max(0.0, late_s * late_s - expected2) / (gap_s * gap_s);
        wander2_ += kLearnWander * (changed2 - wander2_);
    }
    played_s_ += note.start_s - last_start_s_;
    played_quarters_ += gap_quarters;
    last_start_s_ = note.start_s;
    ++notes_;
    correct(late_s, gap_quarters, onset_s(note), finding != Finding::in_time);
    return finding == Finding::in_time ? std::optional(late_s) : std::nullopt;
}

} // namespace bellhand::drill

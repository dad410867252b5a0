#include "desk/model/heard_hand.h"

#include <algorithm>
#include <cmath>

namespace bellhand::desk {

namespace {

constexpr double kSettle_s = 0.09; // as long as a note is waited for
constexpr double kCalm_s = 0.15;   // time constant of what is shown
constexpr double kPales_s = 0.25;  // after its end a note still looks sounding this long

double towards(double shown, double heard, double pace) noexcept {
    return shown + pace * (heard - shown);
}

} // namespace

hand::Intent asked_of(horn::Note written) noexcept {
    const horn::ChartEntry* entry = horn::chart_entry(written);
    return entry == nullptr || entry->ways.empty() ? hand::Intent{}
                                                   : hand::intent_of(entry->ways.front());
}

void HeardHand::fall_silent() noexcept {
    if (shown_) {
        shown_->sounding = false;
    }
}

void HeardHand::add(const trainer::Reading& reading) noexcept {
    const double now_s = reading.frame.time_s;
    if (shown_ && now_s - last_heard_s_ > kPales_s) {
        shown_->sounding = false;
    }
    if (!reading.has_note || !reading.hand.position.known) {
        return;
    }
    const bool new_note = !(reading.note.written == written_) || now_s - last_heard_s_ > kPales_s;
    if (new_note) {
        written_ = reading.note.written;
        began_s_ = now_s;
    }
    const double passed_s = std::clamp(now_s - last_heard_s_, 0.0, 1.0);
    last_heard_s_ = now_s;
    if (now_s - began_s_ < kSettle_s) {
        return; // what is shown stays until there is something to say
    }
    const hand::Position& heard = reading.hand.position;
    const hand::Intent asked = asked_of(reading.note.written);
    const bool goes_on = shown_ && shown_->sounding && shown_->asked.partial == asked.partial &&
                         shown_->asked.hand == asked.hand &&
                         shown_->estimate.position.partial == heard.partial;
    if (!goes_on) {
        shown_ = ShownHand{reading.hand, asked, true};
        return;
    }
    const double pace = 1.0 - std::exp(-passed_s / kCalm_s);
    const hand::Position before = shown_->estimate.position;
    shown_->estimate = reading.hand;
    hand::Position& now = shown_->estimate.position;
    now.low = towards(before.low, heard.low, pace);
    now.high = towards(before.high, heard.high, pace);
    now.closure = towards(before.closure, heard.closure, pace);
    now.confidence = towards(before.confidence, heard.confidence, pace);
    now.partial_share = towards(before.partial_share, heard.partial_share, pace);
}

void HeardHand::ended(const trainer::PlayedNote& note) noexcept {
    const bool next_is_shown = shown_ && shown_->sounding && !(note.written == written_);
    if (note.heard.heard && note.heard.estimate.position.known && !next_is_shown) {
        shown_ = ShownHand{note.heard.estimate, note.heard.intent, shown_ && shown_->sounding};
    }
}

} // namespace bellhand::desk

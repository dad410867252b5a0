#pragma once

#include "desk/model/heard_hand.h"
#include "hand/hand_ear.h"
#include "horn/hand_chart.h"
#include "support/fake_practice.h"

namespace bellhand::test {

/// A note of which everything was heard, with the longest words there are.
inline hand::NoteHand everything_heard(horn::Note written) {
    hand::NoteHand heard;
    heard.heard = true;
    heard.intent = desk::asked_of(written);
    heard.estimate.timbre_known = true;
    heard.estimate.narrow_band = true;
    hand::Position& position = heard.estimate.position;
    position.known = true;
    position.partial = heard.intent.partial;
    position.partial_share = 0.95;
    position.low = 0.5;
    position.high = 1.0;
    position.degree = horn::Hand::three_quarters;
    position.confidence = 0.6;
    heard.advice = {hand::AdviceKind::other_position, -19.0, -15.0, -4.0, 0.9};
    heard.attack = {hand::AdviceKind::hand_closed, -34.0, -30.0, -4.0, 0.9};
    heard.attack_known = true;
    heard.attack_cents = -34.0;
    heard.match = {true, -12.3, -1.25, -10.5, 14.4, 3.2};
    heard.match_open_and_stopped = true;
    heard.steadiness = {true, 12.3, -8.7, 6.5, 11.5, 2.1, 0.9, hand::Sway::hand};
    heard.change = {true, -386.0, 0.123, 12.0, 0.345, 6.0, 123.0};
    return heard;
}

/// Half a second of one note, from `from_s`.
inline void sound(FakeState& state, double from_s, horn::Note note, double cents) {
    for (int i = 0; i < 94; ++i) {
        state.readings.push_back(reading_of(from_s + i * 256.0 / 48000.0, note, cents));
        state.readings.back().hand = everything_heard(note).estimate;
    }
    trainer::PlayedNote played;
    played.index = static_cast<std::uint32_t>(from_s * 2.0);
    played.written = note;
    played.deviation_cents = cents;
    played.finished = true;
    played.start_s = from_s;
    played.duration_s = 0.5;
    played.heard = everything_heard(note);
    state.ended.push_back(played);
}

/// A held note of a run, so long and so far beside its pitch, and what the analysis says of it; `written` as it is asked.
inline void
play_asked(FakeState& state, std::uint32_t index, horn::Note written, double cents, double held_s) {
    const double start_s = state.elapsed_s + 0.1;
    trainer::Reading reading;
    for (int i = 0; i < static_cast<int>(180.0 * held_s); ++i) {
        reading = reading_of(start_s + i / 180.0, written, cents, state.tuning);
        state.readings.push_back(reading);
    }
    trainer::PlayedNote note;
    note.index = index;
    note.start_s = start_s;
    note.duration_s = held_s;
    note.written = written;
    note.partial = reading.note.partial;
    note.hand = reading.note.hand;
    note.f0_hz = reading.frame.f0_hz;
    note.target_hz = reading.note.target_hz;
    note.deviation_cents = cents;
    note.attack_cents = cents;
    note.level_dbfs = -20.0;
    note.finished = true;
    state.ended.push_back(note);
    state.elapsed_s = start_s + held_s + 0.05;
}

} // namespace bellhand::test

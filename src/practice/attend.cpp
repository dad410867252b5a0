#include "practice/attend.h"

namespace bellhand::practice {

namespace {

void record_takes(Practice& practice, run::Run& session) {
    takes::Recorder* const recorder = practice.recorder();
    run::TakeWish wish;
    while (session.next(wish)) {
        const takes::TakeLabel label{wish.block, wish.why, wish.kept};
        if (recorder == nullptr) {
            continue;
        }
        switch (wish.kind) {
        case run::TakeWish::Kind::begin:
            recorder->begin(wish.from_s, label);
            break;
        case run::TakeWish::Kind::end:
            recorder->end(wish.to_s);
            break;
        case run::TakeWish::Kind::keep:
            recorder->keep(wish.from_s, wish.to_s, label);
            break;
        }
    }
}

void hand_to_log(Practice& practice, run::Run& session) {
    run::Record record;
    while (session.next(record)) {
        practice.log(std::move(record));
    }
}

void listen_with(Practice& practice, const run::Run& session, Heard& heard, const OwnHandOn& own) {
    if (!heard.tuning || !(session.tuning() == *heard.tuning)) {
        practice.set_tuning(session.tuning(), own ? own(session.tuning()) : std::nullopt);
        heard.tuning = session.tuning();
    }
    const run::State& state = session.state();
    practice.expect(
        state.stage == run::Stage::playing && state.asked != nullptr
            ? drill::expected_around(*state.asked, state.where.next, state.where.quarter_s)
            : trainer::ExpectedPitches{});
}

/// Notes in the order of time with the readings and beats between them, as the follower wants them.
void hand_over(run::Run& session, const Heard& heard, const std::vector<HeardBeat>& beats) {
    for (const HeardBeat& beat : beats) {
        session.beat(beat.time_s, beat.measured);
    }
    auto note = heard.notes.begin();
    for (const trainer::Reading& reading : heard.readings) {
        while (note != heard.notes.end() &&
               note->start_s + note->duration_s < reading.frame.time_s) {
            session.finished(*note++);
        }
        session.hear(reading);
    }
    for (; note != heard.notes.end(); ++note) {
        session.finished(*note);
    }
    if (heard.sounding) {
        session.sounding(*heard.sounding);
    }
}

} // namespace

void attend(Practice& practice, run::Run& session, Heard& heard, const OwnHandOn& own) {
    // A key may have changed the block since the last call: what comes now is heard with its tuning.
    listen_with(practice, session, heard, own);
    heard.readings.clear();
    heard.notes.clear();
    const double now_s = practice.elapsed_s();
    heard.over = !practice.poll(
        [&heard](const trainer::Reading& reading) { heard.readings.push_back(reading); });
    practice.take_notes(heard.notes);
    heard.sounding = practice.sounding();
    std::vector<HeardBeat> beats;
    practice.take_beats(beats);

    hand_over(session, heard, beats);
    session.advance(now_s);
    listen_with(practice, session, heard, own);
    practice.sound(session.sound());
    hand_to_log(practice, session);
    record_takes(practice, session);
}

void conclude(Practice& practice, run::Run& session) {
    session.finish();
    practice.sound(session.sound());
    hand_to_log(practice, session);
    record_takes(practice, session);
}

} // namespace bellhand::practice

#include "practice/attend.h"

namespace bellhand::practice {

namespace {

void hand_to_log(Practice& practice, Lesson& lesson) {
    LessonRecord record;
    while (lesson.next(record)) {
        practice.log(std::move(record));
    }
}

/// Notes in the order of time with the readings and beats between them, as the follower wants them.
void hand_over(Lesson& lesson, const Heard& heard, const std::vector<HeardBeat>& beats) {
    for (const HeardBeat& beat : beats) {
        lesson.beat(beat.time_s);
    }
    auto note = heard.notes.begin();
    for (const trainer::Reading& reading : heard.readings) {
        while (note != heard.notes.end() &&
               note->start_s + note->duration_s < reading.frame.time_s) {
            lesson.finished(*note++);
        }
        lesson.hear(reading);
    }
    for (; note != heard.notes.end(); ++note) {
        lesson.finished(*note);
    }
    if (heard.sounding) {
        lesson.sounding(*heard.sounding);
    }
}

} // namespace

void attend(Practice& practice, Lesson& lesson, Heard& heard) {
    heard.readings.clear();
    heard.notes.clear();
    const double now_s = practice.elapsed_s();
    heard.over = !practice.poll(
        [&heard](const trainer::Reading& reading) { heard.readings.push_back(reading); });
    practice.take_notes(heard.notes);
    heard.sounding = practice.sounding();
    std::vector<HeardBeat> beats;
    practice.take_beats(beats);

    const horn::Tuning tuning = lesson.tuning();
    hand_over(lesson, heard, beats);
    lesson.advance(now_s);
    if (!(lesson.tuning() == tuning)) {
        practice.set_tuning(lesson.tuning());
    }
    practice.sound(lesson.sound());
    hand_to_log(practice, lesson);
}

void conclude(Practice& practice, Lesson& lesson) {
    lesson.finish();
    practice.sound(lesson.sound());
    hand_to_log(practice, lesson);
}

} // namespace bellhand::practice

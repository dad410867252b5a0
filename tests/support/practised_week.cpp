#include "support/practised_week.h"

#include "core/calendar.h"
#include "horn/hand_chart.h"

#include <cstdlib>
#include <random>

namespace bellhand::test {

namespace {

void must(const Result<void>& done) {
    if (!done) {
        std::abort();
    }
}

class Student {
public:
    Student(logbook::Logbook& log, std::string words) : log_(log), words_(std::move(words)) {}

    std::int64_t practise(std::int64_t day, const char* crook, int notes) {
        logbook::SessionRecord record;
        record.started_at = calendar::iso_day(day) + "T15:20:00Z";
        record.input = "microphone" + words_;
        record.crook = crook;
        record.a4_hz = 430.0;
        record.temperament = "vallotti";
        session_ = log_.begin_session(record).value();
        horn::Tuning tuning;
        tuning.crook = horn::parse_crook(crook).value();
        tuning.a4_hz = 430.0;
        double at_s = 4.0;
        exercise(0, "hand-pairs", "Open and stopped pairs", at_s, crook);
        exercise(1, "scales", "Stopped scale", at_s + 300.0, crook);
        for (int i = 0; i < notes; ++i) {
            play(static_cast<std::uint32_t>(i), at_s, tuning);
            at_s += i % 25 == 24 ? 31.0 : 1.3;
        }
        must(log_.end_session(session_, at_s + 5.0));
        return session_;
    }

private:
    void exercise(std::uint32_t number,
                  const char* id,
                  const char* title,
                  double start_s,
                  const char* crook) {
        logbook::BlockRecord block;
        block.number = number;
        block.exercise = id;
        block.title = title + words_;
        block.why = (number == 0 ? "The half-stopped B was flat in three notes of four last week."
                                 : "Due again: not played for six days.") +
                    words_;
        block.crook = crook;
        block.start_s = start_s;
        block.planned_s = 300.0;
        block.duration_s = number == 0 ? 290.0 : 240.0;
        block.planned_rest_s = 300.0;
        block.rest_s = 120.0;
        block.finished = number == 0;
        must(log_.put_block(session_, block));
    }

    void play(std::uint32_t index, double at_s, const horn::Tuning& tuning) {
        // C4 D4 E4 F4 G4 A4 B4 C5 D5 and down again.
        constexpr int kScale[] = {60, 62, 64, 65, 67, 69, 71, 72, 74, 72, 71, 69, 67, 65, 64, 62};
        const int number = kScale[index % 16];
        const horn::ChartEntry* entry = horn::chart_entry(horn::usual_spelling(number));
        trainer::PlayedNote note;
        note.index = index;
        note.start_s = at_s;
        note.duration_s = 1.1;
        note.written = entry->written;
        note.partial = entry->usual().partial;
        note.hand = entry->usual().hand;
        note.target_hz = horn::target_hz(note.written, tuning);
        const bool flat_b = number == 71 && index % 4 != 0;
        note.deviation_cents = flat_b ? -17.0 - noise_(random_) : noise_(random_);
        note.attack_cents = note.deviation_cents - 5.0;
        note.spread_cents = 1.2;
        note.finished = true;
        must(log_.put_note(session_, tuning, note));

        logbook::JudgedStep step;
        step.number = index / 2;
        step.asked = note.written;
        step.asked_hand = note.hand;
        step.judgement.step = index % 16;
        step.judgement.pass = index / 16;
        step.judgement.played = true;
        step.judgement.note = note;
        step.judgement.held_cents = note.deviation_cents;
        step.judgement.tolerance_cents = 10.0;
        if (flat_b) {
            step.judgement.faults.push_back(drill::Fault::flat);
        }
        if (number == 74 && index % 3 == 0) {
            step.judgement.faults.push_back(drill::Fault::late);
        }
        must(log_.put_step(session_, index % 2, step));
    }

    logbook::Logbook& log_;
    std::string words_;
    std::int64_t session_ = 0;
    std::mt19937 random_{5};
    std::normal_distribution<double> noise_{1.0, 3.2};
};

} // namespace

void practise_a_week(logbook::Logbook& log, const std::string& words) {
    Student student(log, words);
    student.practise(kPractisedSunday - 30, "D", 60); // before the week
    student.practise(kPractisedSunday - 6, "F", 160);
    student.practise(kPractisedSunday - 4, "F", 240);
    const std::int64_t friday = student.practise(kPractisedSunday - 2, "Eb", 200);
    const std::int64_t sunday = student.practise(kPractisedSunday, "F", 180);
    must(log.delete_session(student.practise(kPractisedSunday, "G", 40)));

    logbook::TakeRecord take;
    take.session = friday;
    take.block = 0;
    take.file = "20260227-152000-1.flac";
    take.start_s = 62.0;
    take.duration_s = 48.0;
    take.bytes = 2400000;
    take.kept = true;
    take.why = "keep that" + words;
    logbook::CommentRecord comment;
    comment.session = friday;
    comment.take = log.put_take(take).value();
    comment.who = logbook::Who::teacher;
    comment.at_s = 12.0;
    comment.text = "The hand arrives late here: put it in place before the attack." + words;
    comment.written_at = "2026-02-28T09:00:00Z";
    (void)log.add_comment(comment).value();
    logbook::CommentRecord own;
    own.session = sunday;
    own.note = 6;
    own.text = "Felt steadier today." + words;
    own.written_at = "2026-03-01T16:00:00Z";
    (void)log.add_comment(own).value();
}

} // namespace bellhand::test

#include "desk/mark_keeper.h"

#include "desk/model/lesson_words.h"

#include <algorithm>

namespace bellhand::desk {

namespace {

constexpr double kBefore_s = 4.0; // of the lesson before the marked note: the way into it
constexpr double kAfter_s = 1.0;

} // namespace

void MarkKeeper::clear() {
    to_log_.clear();
    to_take_.clear();
}

void MarkKeeper::changed(const LessonNote& note) {
    to_log_.insert(note.number);
    if (note.marked) {
        to_take_.insert(note.number);
    } else {
        to_take_.erase(note.number);
    }
}

void MarkKeeper::keep(const Lesson& lesson, practice::Practice& practice, bool last) {
    if (to_log_.empty() && to_take_.empty()) {
        return;
    }
    for (const LessonNote& note : lesson.notes()) {
        if (!note.ended) {
            continue;
        }
        if (to_log_.erase(note.number) == 1) {
            run::MarkRecord mark;
            mark.at_s = note.start_s;
            mark.note = note.index;
            mark.words = note.marked ? mark_words(note) : std::string();
            practice.log(mark);
        }
        const bool heard = last || practice.elapsed_s() >= note.end_s() + kAfter_s;
        if (heard && to_take_.erase(note.number) == 1) {
            if (takes::Recorder* const recorder = practice.recorder()) {
                takes::TakeLabel label;
                label.why = kMarkedTake + mark_words(note);
                recorder->keep(
                    std::max(0.0, note.start_s - kBefore_s), note.end_s() + kAfter_s, label);
            }
        }
    }
}

} // namespace bellhand::desk

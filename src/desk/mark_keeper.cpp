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
    marked_at_s_.clear();
}

void MarkKeeper::changed(const LessonNote& note) {
    to_log_.insert(note.number);
    if (note.marked) {
        to_take_.insert(note.number);
    } else {
        to_take_.erase(note.number);
    }
}

void MarkKeeper::keep(const Lesson& lesson,
                      practice::Practice& practice,
                      practice::Practice* call,
                      const practice::Practice* ends) {
    if (to_log_.empty() && to_take_.empty()) {
        return;
    }
    for (const LessonNote& note : lesson.notes()) {
        if (!note.ended) {
            continue;
        }
        if (to_log_.erase(note.number) == 1) {
            run::MarkRecord mark;
            if (note.side == Side::here) {
                mark.at_s = note.own_start_s;
                mark.note = note.index;
            } else { // the log keeps no notes of the call, only when it was marked
                mark.at_s = marked_at_s_.emplace(note.number, practice.elapsed_s()).first->second;
            }
            mark.words = note.marked ? mark_words(note) : std::string();
            practice.log(mark);
        }
        practice::Practice* const input = note.side == Side::call ? call : &practice;
        if (input == nullptr || note.out_of_reach) {
            continue;
        }
        const double end_s = note.own_end_s() + kAfter_s;
        if ((input == ends || input->elapsed_s() >= end_s) && to_take_.erase(note.number) == 1) {
            if (takes::Recorder* const recorder = input->recorder()) {
                takes::TakeLabel label;
                label.why = kMarkedTake + mark_words(note);
                recorder->keep(std::max(0.0, note.own_start_s - kBefore_s), end_s, label);
            }
        }
    }
}

} // namespace bellhand::desk

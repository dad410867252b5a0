#pragma once

#include "desk/model/lesson.h"
#include "practice/practice.h"

#include <cstdint>
#include <map>
#include <set>
#include <string>

namespace bellhand::desk {

/// What the take of a mark is called in the log before the note's words.
inline constexpr const char* kMarkedTake = "marked: ";

/// Brings the marks of a lesson to the log: a comment on the note when it has ended, and a take of the sound around it
/// when that has been heard.
class MarkKeeper {
public:
    void clear();
    /// The note was just marked, or its mark taken away.
    void changed(const LessonNote& note);
    /// Once a frame. `call`: the second input, or null. `ends`: the input that hears nothing more, or null.
    void keep(const Lesson& lesson,
              practice::Practice& practice,
              practice::Practice* call,
              const practice::Practice* ends);

private:
    std::set<std::uint32_t> to_log_;  ///< numbers of notes
    std::set<std::uint32_t> to_take_; ///< the same
    /// When notes of the call were marked, by number: the place of their marks in the log.
    std::map<std::uint32_t, double> marked_at_s_;
};

} // namespace bellhand::desk

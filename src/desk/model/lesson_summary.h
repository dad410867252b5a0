#pragma once

#include "desk/model/lesson.h"
#include "homework/homework.h"

#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

/// A note that the lesson leaves to be practised, with the hand that was asked for it.
struct ToPractise {
    Asked asked;
    std::optional<horn::Note>
        from;      ///< the note that led to it most lately, by which its way in is practised
    int times = 0; ///< played with a pitch that could be judged
    int off = 0;   ///< of them beyond the tolerance
    int marks = 0;
    double median_cents = 0.0;
};

/// What is worth practising after a lesson: marked notes first, then those that were off at least twice and at least every
/// other time; at most `most` of them. Where a call is heard too, the student is at its other end.
[[nodiscard]] std::vector<ToPractise> what_to_practise(const std::vector<LessonNote>& notes,
                                                       std::size_t most = 8);

/// "F4 with three-quarters: marked, 3 of 4 off, 14 flat in the middle".
[[nodiscard]] std::string practise_words(const ToPractise& item);

/// A draft of homework: each note held, after the note that led to it. `today`: ISO date. Title, teacher and student are
/// left to be filled in as usual.
[[nodiscard]] homework::Homework homework_after(const std::vector<ToPractise>& items,
                                                const horn::Tuning& tuning,
                                                const std::string& today);

} // namespace bellhand::desk

#pragma once

#include "drill/judgement.h"
#include "homework/homework.h"

#include <string>
#include <vector>

namespace bellhand::desk {

/// What came of one step, as it is told under the note: one shape, at a height that says how far off the pitch was, and
/// few words.
struct Verdict {
    enum class Shape {
        round,   ///< played as asked, or only its pitch lay beside
        diamond, ///< something else sounded
        hollow,  ///< nothing was played
    };
    Shape shape = Shape::round;
    double cents = 0.0;        ///< height of the shape; positive = high
    double within_cents = 0.0; ///< of a short note's pitch: it lies somewhere so far about there
    double tolerance_cents = 5.0;
    std::vector<std::string> words; ///< the most important first; empty when all was well
};

[[nodiscard]] Verdict verdict_of(const drill::Judgement& judgement);

/// The same of a step that came back with homework.
[[nodiscard]] Verdict verdict_of(const homework::StepResult& step);

} // namespace bellhand::desk

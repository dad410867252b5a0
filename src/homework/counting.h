#pragma once

#include "homework/homework.h"

#include <cstdint>
#include <string>
#include <vector>

namespace bellhand::homework {

/// A judged step, as far as counting needs it.
struct CountedStep {
    std::uint32_t crook = 0; ///< which of the exercise's, in order of playing
    std::uint32_t pass = 0;
    std::uint32_t step = 0;
    bool played = true; ///< rightly or wrongly; false: left out, or nothing asked for it
};

/// How often all notes of an exercise were played in these steps of one block, on each of its crooks. A pass counts when nine
/// in ten of its notes came (of fewer than ten: all): a note that was not heard does not cost the student a whole pass.
[[nodiscard]] int complete_passes(const drill::Exercise& exercise,
                                  const std::vector<CountedStep>& steps);

/// What a block of a task came to.
struct BlockDone {
    int passes = 0;
    bool finished = false;
    double duration_s = 0.0;
};
/// How often a task was done, as its teacher counts.
[[nodiscard]] int times_done(const Task& task, const std::vector<BlockDone>& blocks);
/// The same for each task, from a file that came back.
[[nodiscard]] std::vector<int> times_done(const Homework& homework);

/// What is asked: "3 times through", "once 5 minutes", "2 times a block of practice (so older files count)".
[[nodiscard]] std::string times_words(const Task& task);
/// What one attempt adds: "2 times through", "not once through", "4 minutes", "a block", "broken off".
[[nodiscard]] std::string attempt_words(const Task& task, const Attempt& attempt);
/// What became of it, for student and teacher alike: "2 of 3 times played", "3 of 3 times played: done".
[[nodiscard]] std::string done_words(const Task& task, int done);

} // namespace bellhand::homework

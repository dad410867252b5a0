#pragma once

#include "audio/synth.h"
#include "drill/plan.h"

#include <cstdint>
#include <vector>

namespace bellhand::app {

/// A fault that the demo player makes on purpose.
enum class PlantedFault {
    none,
    flat,
    sharp,
    hand_too_open, ///< and so too high
};

/// A note of an exercise as the demo player plays it: the truth that tests compare with.
struct DemoStep {
    std::uint32_t step = 0; ///< of the exercise
    int pass = 0;
    double start_s = 0.0;
    double duration_s = 0.0;
    PlantedFault fault = PlantedFault::none;
};

/// What the demo player is asked to play.
struct DemoTask {
    const drill::Exercise* exercise = nullptr;
    const std::vector<drill::Asked>* asked =
        nullptr;                 ///< its notes, or the bars that are asked again
    std::uint32_t from_step = 0; ///< the first time through begins here
    int passes = 1;
    double first_s = 0.0; ///< silence before the first note
    bool faults = true;   ///< two are planted, in the first times through
    std::uint64_t seed = 1;
};

struct DemoPart {
    std::vector<DemoStep> steps;
    audio::SynthScore sound; ///< ends in silence that goes on
    int planted = 0;         ///< faults; fewer than two where the notes leave no room for them
};

/// The exercise as a practised player plays it, with asked hands, in tempo (free: unhurried), and two faults: a hand note
/// with the hand too open, or an open note too high, and another note too low. Both are clearly beyond what is allowed.
/// Trills, slow closings and swells are played as written. Same task, same performance.
[[nodiscard]] DemoPart demo_part(const DemoTask& task);

} // namespace bellhand::app

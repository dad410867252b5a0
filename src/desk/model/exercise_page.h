#pragma once

#include "drill/exercise.h"
#include "engraving/note_value.h"
#include "engraving/staff_place.h"

#include <cstdint>
#include <string>
#include <vector>

namespace bellhand::desk {

/// One step of an exercise on the page. Lengths in staff spaces; `x` counts from where the notes of a system begin.
struct PlacedStep {
    std::uint32_t step = 0; ///< index into the exercise
    int system = 0;
    int bar = 0;       ///< counted through the exercise, from 0
    float x = 0.0F;    ///< middle of the head
    float left = 0.0F; ///< the room that belongs to it
    float right = 0.0F;
    engraving::StaffPlace place; ///< of a rest: the middle line
    bool new_clef = false;       ///< its clef stands before it, within the system
    bool restored = false;       ///< a natural takes an accidental back
};

struct BarLine {
    int system = 0;
    float x = 0.0F;
    bool last = false; ///< of the exercise
};

/// An exercise cut into systems, as it is played from.
struct ExercisePage {
    std::vector<PlacedStep> steps; ///< one for each step, in order
    std::vector<BarLine> bar_lines;
    std::vector<engraving::Clef> clefs; ///< at the head of each system
    int highest = 8;                    ///< staff step that the notes reach
    int lowest = 0;

    [[nodiscard]] int systems() const noexcept { return static_cast<int>(clefs.size()); }
};

/// Cuts at bar lines as long as a bar fits into `spaces`; systems are stretched to that width unless they are much
/// shorter. Steps without a length are bars of their own, without bar lines.
[[nodiscard]] ExercisePage lay_out(const drill::Exercise& exercise, float spaces);

/// Hand signs over the step: what it asks for, or the usual way of the hand chart; empty for a rest.
[[nodiscard]] std::string step_hand_signs(const drill::Step& step);

/// The two systems that are shown while `step` is played: they take turns, so that the eye never has to follow a
/// moving page. The row that was played gives way to the one after next as soon as two notes of the next one are
/// begun. -1: nothing there.
struct ShownSystems {
    int upper = 0;
    int lower = 1;
};
[[nodiscard]] ShownSystems shown_systems(const ExercisePage& page, std::uint32_t step) noexcept;

} // namespace bellhand::desk

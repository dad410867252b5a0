#pragma once

#include "drill/exercise.h"
#include "engraving/layout.h"

#include <cstdint>
#include <string>

namespace bellhand::desk {

/// An exercise as music for the page: cut over the bar lines with ties, rests by the metre, hand signs and remarks over
/// the notes, the bass clef for low passages. Steps without a length are bars of their own, without bar lines. `step`
/// of every event is its step.
[[nodiscard]] engraving::Score exercise_score(const drill::Exercise& exercise);

/// Hand signs over the step: what it asks for, or the usual way of the hand chart; empty for a rest.
[[nodiscard]] std::string step_hand_signs(const drill::Step& step);

/// The same in words: "half", "¾ to full stop"; empty for a rest.
[[nodiscard]] std::string step_hand_words(const drill::Step& step);

/// A figure that changes with whatever an exercise shows on its page.
[[nodiscard]] std::uint64_t page_key(const drill::Exercise& exercise) noexcept;

/// The two systems that are shown while `step` is played: they take turns, so that the eye never has to follow a
/// moving page. The row that was played gives way to the one after next as soon as two notes of the next one are
/// begun. -1: nothing there.
struct ShownSystems {
    int upper = 0;
    int lower = 1;
};
[[nodiscard]] ShownSystems shown_systems(const engraving::Layout& layout,
                                         const engraving::Score& score,
                                         std::uint32_t step) noexcept;

} // namespace bellhand::desk

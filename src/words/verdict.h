#pragma once

#include "drill/exercise.h"
#include "drill/judgement.h"

#include <string>
#include <vector>

namespace bellhand::words {

/// One word for what was played as it was asked, everywhere.
inline constexpr const char* kRight = "right";
/// "12 of 16 right".
template <typename Count>
[[nodiscard]] std::string right_of(Count right, Count all) {
    return std::to_string(right) + " of " + std::to_string(all) + " " + kRight;
}

/// "12 flat", "3 sharp", "on pitch" (nearer than half a cent).
[[nodiscard]] std::string off_pitch(double cents);

/// The kind of a fault, for counting: "flat", "another partial", "attack from below".
[[nodiscard]] const char* fault_kind(drill::Fault fault) noexcept;
/// One fault of a judgement with its direction and size: "14 cents flat", "partial 9 sounded, D5", "150 ms late".
[[nodiscard]] std::string fault_words(const drill::Judgement& judgement, drill::Fault fault);
/// The same as short as it stands under a note: "14 flat", "9th partial", "150 ms late".
[[nodiscard]] std::string short_fault(const drill::Judgement& judgement, drill::Fault fault);

/// A judgement's faults as a teacher takes them, first what is to be put right first: what sounded, hand, pitch, attack
/// and steadiness, time, loudness and colour (common practice, no source).
[[nodiscard]] std::vector<drill::Fault> in_teachers_order(std::vector<drill::Fault> faults);

/// What is said of a judged step: "F4: 14 cents flat; 150 ms late", "G4: right"; at most three faults, of another note
/// only that.
[[nodiscard]] std::string verdict(const drill::Judgement& judgement, const drill::Step& asked);

/// "st", "nd", "rd" or "th": what makes an ordinal of the number; and both: "1st", "12th".
[[nodiscard]] const char* ordinal_ending(int number) noexcept;
[[nodiscard]] std::string ordinal(int number);

} // namespace bellhand::words

#pragma once

#include "desk/model/lesson.h"

#include <string>

namespace bellhand::desk {

/// The signs of a way that is asked: "o", "½", "¾ +"; empty where the chart does not know the note.
[[nodiscard]] std::string asked_signs(const hand::Intent& way);
/// The signs of the range that was heard, by its two ends: "½", "½ ¾"; empty when the hand was not heard.
[[nodiscard]] std::string heard_signs(const hand::HandEstimate& hand);

/// How far off the note is: "14 flat", "on pitch", "pitch within 18" of one too short to be judged.
[[nodiscard]] std::string off_words(const LessonNote& note);
/// The same as short as it stands in the strip: "−14", "0", "±18".
[[nodiscard]] std::string short_off_words(const LessonNote& note);

/// How much higher or lower the call's note is than this side's: "+6"; a dash where one of them is not known.
[[nodiscard]] std::string apart_words(const LessonNote& here, const LessonNote& call);

/// Why no hand is shown: "sounding", "too short to tell", "the sound does not tell".
[[nodiscard]] std::string no_hand_words(const LessonNote& note);

/// What is kept of a marked note begins with it when it was the call's.
inline constexpr const char* kCallMark = "the call, ";
/// What is kept of a marked note: "F4, half asked, quarter to half heard, 14 flat".
[[nodiscard]] std::string mark_words(const LessonNote& note);

/// "F4 with three-quarters", "G4, open": what is asked, in words.
[[nodiscard]] std::string asked_words(const Asked& asked);

/// "this side", "the call".
[[nodiscard]] const char* side_words(Side side) noexcept;

/// "Horn in F, A = 440, heard: this microphone": on which horn the lesson is, and which side is heard.
[[nodiscard]] std::string lesson_line(const horn::Tuning& tuning, const std::string& heard);

} // namespace bellhand::desk

#pragma once

#include "desk/model/lesson.h"

#include <array>
#include <cstdint>
#include <string>
#include <vector>

namespace bellhand::test {

inline constexpr double kCallRate_hz = 48000.0;

struct CallNote {
    desk::Side side = desk::Side::here;
    double start_s = 0.0;
    double duration_s = 0.0;
    int number = 60;
    double cents = 0.0;
};

/// A teacher and a student over a call, as two inputs of the teacher's computer hear them: phrases alternate and overlap, and
/// each side's sound comes back in the other's input, late, softer, through gain riding and Opus at 24 kbit/s.
struct CallLesson {
    std::vector<CallNote> truth;
    std::vector<float> microphone;  ///< the teacher, and the call from her loudspeaker
    std::vector<float> call;        ///< the student, and the teacher from his
    std::array<double, 2> late_s{}; ///< of what comes back, by the side in whose input it does
    std::string ways;               ///< in words
};

/// opusenc and opusdec are there (Debian opus-tools; the Opus reference library, RFC 6716). Without them the sound goes
/// through with gain riding alone.
[[nodiscard]] bool has_call_codec();
[[nodiscard]] CallLesson make_call_lesson(std::uint64_t seed, double length_s);

struct CallScore {
    int notes = 0;    ///< that are not masked
    int right = 0;    ///< told, by their name, of the side that played them
    int counted = 0;  ///< notes told
    int invented = 0; ///< of a side that did not play them
    std::string faults;
};

/// `shift_s`: of each side, what is added to the truth's time to get the lesson's.
[[nodiscard]] CallScore score_call(const CallLesson& lesson,
                                   const std::vector<desk::LessonNote>& told,
                                   const std::array<double, 2>& shift_s = {});

/// The shift of that side with which most notes are told where they were played.
[[nodiscard]] double
found_shift_s(const CallLesson& lesson, const std::vector<desk::LessonNote>& told, desk::Side side);

} // namespace bellhand::test

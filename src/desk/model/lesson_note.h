#pragma once

#include "hand/hand_ear.h"
#include "horn/tuning.h"
#include "trainer/played_note.h"

#include <array>
#include <cstddef>
#include <cstdint>

namespace bellhand::desk {

/// Which input carries a note: the microphone (or whatever is listened to first), or the call, as this computer plays it.
enum class Side { here, call };
inline constexpr std::array kSides{Side::here, Side::call};
[[nodiscard]] constexpr Side other(Side side) noexcept {
    return side == Side::here ? Side::call : Side::here;
}
[[nodiscard]] constexpr std::size_t place(Side side) noexcept {
    return side == Side::here ? 0 : 1;
}

/// One note of a lesson. Everything in it belongs to that note: it is taken as a whole and replaced as a whole.
struct LessonNote {
    Side side = Side::here;
    std::uint32_t number =
        0; ///< in the lesson, from 1, in the order in which notes were first heard
    std::uint32_t index = 0; ///< in the session of its input; certain once it has ended
    double start_s = 0.0;    ///< in the lesson, which both inputs share
    double duration_s = 0.0;
    double own_start_s = 0.0; ///< in the session of its input: what log, takes and sound go by
    horn::Note written;
    int partial = 0;
    double f0_hz = 0.0;
    double level_dbfs = -200.0;
    hand::Intent asked;      ///< of the hand; partial 0 where the chart does not know the note
    hand::HandEstimate hand; ///< `position.known` false: not heard
    double cents = 0.0;      ///< from where the note should be
    double known_within_cents = 0.0; ///< 0: as close as anybody asks
    double tolerance_cents = 5.0;
    horn::Tuning tuning; ///< that it was played with
    bool ended = false;  ///< false: it sounds; figures so far
    bool sure = true;    ///< false: it sounds, and is heard too unsurely to judge by
    bool marked = false;
    bool out_of_reach = false; ///< its input was left: what it remembered of the sound is gone

    [[nodiscard]] double end_s() const noexcept { return start_s + duration_s; }
    [[nodiscard]] double own_end_s() const noexcept { return own_start_s + duration_s; }
    /// Its pitch is close enough to be judged.
    [[nodiscard]] bool pitch_known() const noexcept {
        return known_within_cents <= trainer::PlayedNote::kPitchKnown_cents;
    }
};

} // namespace bellhand::desk

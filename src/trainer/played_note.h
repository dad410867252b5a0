#pragma once

#include "hand/hand_ear.h"
#include "horn/hand_chart.h"

#include <cstdint>

namespace bellhand::trainer {

/// One note as it was played. Times in seconds of the session.
struct PlayedNote {
    std::uint32_t index = 0; ///< in the session, from 0
    double start_s = 0.0;
    double duration_s = 0.0;
    horn::Note written;
    int partial = 0;
    horn::Hand hand = horn::Hand::open; ///< the position the note calls for
    double f0_hz = 0.0;                 ///< median of the held part
    double target_hz = 0.0;
    double deviation_cents = 0.0; ///< median of the held part, attack left out
    double spread_cents =
        0.0; ///< half the distance between the 16th and 84th percentile of the held part
    double attack_cents = 0.0;     ///< median deviation of the attack (first 100 ms)
    double level_dbfs = -200.0;    ///< energy mean of the held part
    double tolerance_factor = 1.0; ///< the player's, on `tolerance_cents` of the hand
    double known_within_cents =
        0.0; ///< f0 is right to within about so many; 0: as close as anybody asks
    /// Between notes the room rings on (`RoomRing`): where this one begins and ends, and how its first moments sound, is
    /// told less surely.
    bool in_ringing_room = false;
    bool start_unsure =
        false;             ///< nothing told its beginning but the pitch, which a room shows late
    bool finished = false; ///< false: still sounding, figures so far
    hand::NoteHand heard;  ///< what the sound betrayed of the hand; only of notes that ended

    /// Close enough to be judged. Else the row is there, and its pitch only to within `known_within_cents`.
    [[nodiscard]] bool pitch_known() const noexcept {
        return known_within_cents <= kPitchKnown_cents;
    }
    static constexpr double kPitchKnown_cents = 10.0;
};

} // namespace bellhand::trainer

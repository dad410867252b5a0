#pragma once

#include <cstdint>

namespace bellhand::practice {

/// A beat of the program's own metronome, placed in the sound that the microphone captures.
///
/// `time_s` is in seconds of the session, as the times of readings and notes are: a note that starts at `time_s` is
/// exactly on the beat as it sounds at the microphone. It contains the whole way of the click: output buffer,
/// loudspeaker, air, microphone, input buffer (`round_trip_s`). That way is measured by finding the clicks in the
/// captured sound; until three of them agree, and with headphones always, it is what the two drivers report
/// (`measured` false: good to some 20 ms).
///
/// A beat is told when it is written to the device, which is before it sounds; those of an output's first half second
/// are told when its clock is known.
struct HeardBeat {
    double time_s = 0.0;
    double round_trip_s = 0.0;
    bool measured = false;
    std::uint32_t number = 0; ///< since the metronome was started, from 0
    std::int32_t in_bar = 0;  ///< from 0
    std::uint32_t stream =
        0; ///< of the output: another one means that the device was lost and the count began anew
};

} // namespace bellhand::practice

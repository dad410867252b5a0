#pragma once

namespace bellhand::drill {

/// What a player lets pass. All defaults are common practice, no source; those of pitch by hand position are
/// `trainer::tolerance_cents`.
struct Tolerances {
    double pitch_factor = 1.0;  ///< multiplies the tolerance of each hand position
    double attack_cents = 30.0; ///< of the first 100 ms, which nobody hears as pitch yet
    double timing_s = 0.080;
    double length_share = 0.4; ///< a note may be this much shorter or longer than written
    double level_db = 5.0;     ///< against the neighbours
    double colour_octaves =
        1.6; ///< of the centroid of the sound, against the note before under the same hand; open
             ///< neighbours of measured sources stay within 1.35
    double unsteady_cents = 8.0;
    double hairpin_db = 4.0;      ///< that a hairpin grows or fades by at least
    double trill_hz = 3.0;        ///< slowest trill; lip trills run at 5 to 7 Hz (from memory)
    double hand_confidence = 0.8; ///< below it nothing is said about the hand
};

} // namespace bellhand::drill

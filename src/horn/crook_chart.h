#pragma once

#include "horn/hand_response.h"

#include <string>
#include <vector>

namespace bellhand::horn {

/// How a note comes out, for counting: the hand notes of a passage decide which crook suits it.
enum class Tone {
    open,    ///< open, also with the hand drawn out
    covered, ///< a quarter to a half
    stopped, ///< three-quarters to full
    lipped,  ///< factitious: the lips do more than the hand
};

[[nodiscard]] Tone tone_of(const HandWay& way) noexcept;

/// Evenness of tone expected from the hand alone: 5 open, 4 a quarter, 3 half, 2 three-quarters, 1 full stop (of a range
/// the more closed end), one less for a way that is known as poor or made by the lips, never below 1. Common practice, no source; Widor's remark that
/// half-covered notes are reasonably sonorous and the others dull (Initiation musicale, p. 34) gives the order.
[[nodiscard]] int evenness_of(const HandWay& way) noexcept;

/// One way to play a note on this crook, at this pitch and temperament, with this hand. needed = hand + lips.
struct PlayedWay {
    HandWay way;
    double needed_cents = 0.0; ///< from n * f1 of the nominal tube to the target
    double hand_cents = 0.0;   ///< what tube and hand give of it
    double lips_cents = 0.0;   ///< what is left for the lips; positive = the lips lift
    double closure = 0.0; ///< 0 open to 1 full, within the way's range, that needs the lips least
    int evenness = 5;
    double doubt_cents = 0.0; ///< one standard deviation of `hand_cents`
    /// The sign as it is taught and this hand disagree: by more than `kSignsAgree_cents` no closure of the sign gives
    /// the note. Ways that are taught with the lips' help are not asked.
    bool sign_doubted = false;
    double best_closure = 0.0; ///< of the same partial, whatever the sign says
};

/// Further than this a hand is said to disagree with the taught sign.
inline constexpr double kSignsAgree_cents = 50.0;

/// Where hand and taught sign disagree: "½ gives −48 ± 44 here: ¾ comes nearer." Empty when they agree.
[[nodiscard]] std::string sign_remark(const PlayedWay& played);

struct PlayedNote {
    Note written;
    Note sounding;
    double target_hz = 0.0;
    std::vector<PlayedWay> ways; ///< the usual one first
    bool in_usual_compass = true;
    const char* remark = "";
};

/// The hand chart as it is on one horn: every note of `hand_chart` in order.
[[nodiscard]] std::vector<PlayedNote> crook_chart(const Tuning& tuning,
                                                  const HandResponse& response);

enum class BassClef {
    sounding_octave, ///< new notation: as in the treble clef
    octave_lower,    ///< old notation: written an octave lower than in the treble clef
};

/// Where a written note (treble octave) stands in the bass clef.
[[nodiscard]] Note in_bass_clef(Note written, BassClef notation) noexcept;

} // namespace bellhand::horn

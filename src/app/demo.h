#pragma once

#include "audio/synth.h"
#include "horn/hand_chart.h"
#include "horn/tuning.h"

#include <cstdint>
#include <vector>

namespace bellhand::app {

/// What goes wrong in a note of the demo player.
enum class Mistake {
    none,
    neighbour, ///< the next partial sounds instead
    flat_stop, ///< the hand closes too far: well below the note
    scoop,     ///< the attack comes from below
    sagging,   ///< the pitch falls while the note is held
    unsteady,  ///< the hand wobbles
};

/// One note of the demo player's performance: the truth that tests compare with.
struct DemoNote {
    double start_s = 0.0;
    double duration_s = 0.0;
    horn::Note meant;  ///< what stands in the exercise
    horn::Note played; ///< what sounds; another note when the partial was missed
    int partial = 0;   ///< of the note that sounds, by the hand chart
    horn::Hand hand = horn::Hand::open;
    double f0_hz = 0.0;           ///< of the held part, in the middle of the note
    double deviation_cents = 0.0; ///< from where the played note should be
    Mistake mistake = Mistake::none;
    bool slurred = false;
};

struct DemoScore {
    std::vector<DemoNote> notes;
    audio::SynthScore sound;
};

/// The built-in player: an exercise of our own (open chord, the scale from C5 down by hand, stopped neighbours, a held
/// G, the false partial B flat) on the chosen crook, played `passes` times with the small faults of a real player and
/// about one mistake in eight notes, then again from the start for ever. Same seed, same performance. Invented data.
[[nodiscard]] DemoScore demo_score(const horn::Tuning& tuning, std::uint64_t seed, int passes = 3);

} // namespace bellhand::app

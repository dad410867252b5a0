#pragma once

#include "audio/synth.h"

#include <algorithm>
#include <cmath>

namespace bellhand::audio {

/// Adds a note cut into slurred tones of about `piece_s` seconds, so that pitch, loudness and hand can change inside it. `shape`
/// is told the tone, its number and how far through the note its middle lies, 0 to 1.
template <typename Shape>
void add_in_pieces(SynthScore& score, const ToneSpec& whole, double piece_s, const Shape& shape) {
    const int pieces = std::max(1, static_cast<int>(std::lround(whole.duration_s / piece_s)));
    for (int piece = 0; piece < pieces; ++piece) {
        ToneSpec tone = whole;
        tone.duration_s = whole.duration_s / pieces;
        tone.start_s = whole.start_s + piece * tone.duration_s;
        tone.slurred = whole.slurred || piece > 0;
        tone.attack_cents = piece > 0 ? 0.0 : whole.attack_cents;
        shape(tone, piece, (piece + 0.5) / pieces);
        score.tones.push_back(tone);
    }
}

} // namespace bellhand::audio

#include "audio/tone_pieces.h"
#include "core/cents.h"
#include "support/performance.h"

#include <algorithm>
#include <cmath>

namespace bellhand::test {

namespace {

using drill::Asked;
using drill::Manner;

constexpr double kScoop_cents = 40.0; // an attack further off is not over in a moment
constexpr double kScoop_s = 0.08;

/// The attack stays where it begins, then the note is reached in a slur.
void add_with_scoop(audio::SynthScore& score, const audio::ToneSpec& whole) {
    audio::ToneSpec first = whole;
    first.duration_s = kScoop_s;
    first.f0_hz = whole.f0_hz * std::exp2(whole.attack_cents / 1200.0);
    first.attack_cents = 0.0;
    first.vibrato_cents = 0.0;
    audio::ToneSpec rest = whole;
    rest.start_s += kScoop_s;
    rest.duration_s -= kScoop_s;
    rest.attack_cents = 0.0;
    rest.slurred = true;
    score.tones.push_back(first);
    score.tones.push_back(rest);
}

double swell(drill::Hairpin hairpin, double through) {
    switch (hairpin) {
    case drill::Hairpin::growing:
        return through;
    case drill::Hairpin::fading:
        return 1.0 - through;
    case drill::Hairpin::growing_and_fading:
        return 1.0 - std::fabs(2.0 * through - 1.0);
    case drill::Hairpin::none:
        break;
    }
    return 0.0;
}

} // namespace

audio::SynthScore sound_of(const Performance& performance, std::uint64_t seed) {
    audio::SynthScore score;
    score.seed = seed;
    score.jitter_cents =
        0.5; // the scatter of the notes holds what lips do: a right note stays right
    score.length_s = performance.end_s + 1.0;
    for (const PerformedNote& played : performance.notes) {
        const Asked& asked =
            performance.plan[std::min<std::size_t>(played.asked, performance.plan.size() - 1)];
        audio::ToneSpec tone;
        tone.start_s = played.start_s;
        tone.duration_s = played.duration_s;
        tone.f0_hz = played.f0_hz;
        tone.attack_cents = played.attack_cents;
        tone.level_dbfs = played.level_dbfs;
        tone.closure = played.closure;
        tone.slurred = played.slurred;
        if (played.wobble_cents > 0.0) {
            tone.vibrato_hz = 3.1;
            tone.vibrato_cents = played.wobble_cents;
        }
        const bool as_asked = played.right && asked.manner != Manner::plain && asked.other_hz;
        if (as_asked && asked.manner == Manner::slow_closing) {
            const double way = cents_between(*asked.other_hz, asked.target_hz);
            audio::add_in_pieces(
                score, tone, 0.05, [&](audio::ToneSpec& piece, int, double through) {
                    piece.f0_hz = played.f0_hz * std::exp2(through * way / 1200.0);
                    piece.closure = through;
                });
        } else if (as_asked) {
            const double step = *asked.other_hz / asked.target_hz;
            audio::add_in_pieces(score, tone, 0.09, [&](audio::ToneSpec& piece, int index, double) {
                piece.f0_hz = played.f0_hz * (index % 2 == 0 ? 1.0 : step);
            });
        } else if (played.swell_db > 0.0 && played.right) {
            audio::add_in_pieces(
                score, tone, 0.1, [&](audio::ToneSpec& piece, int, double through) {
                    piece.level_dbfs += played.swell_db * (swell(asked.hairpin, through) - 0.5);
                });
        } else if (std::fabs(tone.attack_cents) > kScoop_cents &&
                   tone.duration_s > 3.0 * kScoop_s) {
            add_with_scoop(score, tone);
        } else {
            score.tones.push_back(tone);
        }
    }
    return score;
}

} // namespace bellhand::test

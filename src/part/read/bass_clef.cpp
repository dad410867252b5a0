#include "part/read/interpret.h"

#include <algorithm>

namespace bellhand::part {

namespace {

constexpr int kG2 = 43;

/// A run of bass clef without a change of octave, from its clef to the next on the same staff.
struct Stretch {
    Place from;
    Place to;
    int staff_of_part = 1;
};

std::vector<Stretch> bass_stretches(const Music& music) {
    std::vector<Stretch> stretches;
    const Place end{static_cast<int>(music.bars.size()), 0};
    for (std::size_t i = 0; i < music.clefs.size(); ++i) {
        const ClefChange& change = music.clefs[i];
        if (change.clef.sign != 'F' || change.clef.octave_change != 0) {
            continue;
        }
        const auto next = std::find_if(
            music.clefs.begin() + static_cast<std::ptrdiff_t>(i) + 1,
            music.clefs.end(),
            [&](const auto& later) { return later.staff_of_part == change.staff_of_part; });
        stretches.push_back(
            {change.at, next == music.clefs.end() ? end : next->at, change.staff_of_part});
    }
    return stretches;
}

bool holds(const Stretch& stretch, const Note& note) {
    return !(note.at < stretch.from) && note.at < stretch.to &&
           note.staff_of_part == stretch.staff_of_part;
}

} // namespace

BassEvidence bass_evidence(const std::vector<const Music*>& musics) {
    BassEvidence evidence;
    for (const Music* const music : musics) {
        if (music == nullptr || music->sounding_pitch) {
            continue;
        }
        for (const Stretch& stretch : bass_stretches(*music)) {
            evidence.proven_old =
                evidence.proven_old ||
                std::any_of(music->notes.begin(), music->notes.end(), [&](const Note& note) {
                    return !note.rest && note.number < kG2 && holds(stretch, note);
                });
        }
    }
    return evidence;
}

void settle_bass_clef(Part& part, const BassEvidence& evidence, const ReadOptions& options) {
    if (part.music.sounding_pitch || options.notes == Notation::sounding) {
        return;
    }
    std::vector<Attack*> low;
    for (const Stretch& stretch : bass_stretches(part.music)) {
        for (Attack& attack : part.attacks) {
            if (holds(stretch, part.music.notes[attack.note])) {
                low.push_back(&attack);
            }
        }
    }
    if (low.empty()) {
        return;
    }
    if (!options.bass_clef && !evidence.proven_old) {
        part.questions.push_back("The bass clef from " + bar_words(part.music, low.front()->at) +
                                 " on may stand an octave low, as it used to, or as it sounds, and "
                                 "nothing proves either: "
                                 "answer --bass-clef old or --bass-clef new.");
        return;
    }
    const bool old = options.bass_clef ? *options.bass_clef == horn::BassClef::octave_lower : true;
    if (!old) {
        return;
    }
    for (Attack* const attack : low) {
        attack->written.number += 12;
    }
    part.doubts.push_back("The bass clef from " + bar_words(part.music, low.front()->at) +
                          " on is read as old notation, an octave low" +
                          (options.bass_clef ? "." : ": a note under G2 proves it."));
}

} // namespace bellhand::part

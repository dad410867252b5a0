#pragma once

#include "part/part.h"

#include <string>
#include <vector>

namespace bellhand::part {

// The steps of `read_part`, each a function of what was read before it.

/// The notes of the part's player with ties joined: place, length, slurs, dynamics and signs; `written` stands as
/// printed until crook and clef are known.
[[nodiscard]] std::vector<Attack> struck_notes(const Part& part);

/// Seconds at the tempo of the part, from `options` or the marks; fermatas are not lengthened.
void put_times(Part& part, const ReadOptions& options);

/// Finds the crooks and where they change; puts doubts and questions into `part`. Errors: a bar that is not there.
[[nodiscard]] Result<void> find_crooks(Part& part, const ReadOptions& options);

/// Writes what sounds and what the treble clef would show into the attacks, once the crooks are known.
void settle_pitches(Part& part, const ReadOptions& options);

/// How a file shows what its bass clef means.
struct BassEvidence {
    bool proven_old = false; ///< a note under G2, in this part or in another horn at the same bar
};

/// Looks through all horns of a score. `musics`: the music of each part, empty where it is no horn.
[[nodiscard]] BassEvidence bass_evidence(const std::vector<const Music*>& musics);

/// An octave up for the notes of every bass-clef stretch in old notation; a question when nothing proves it.
void settle_bass_clef(Part& part, const BassEvidence& evidence, const ReadOptions& options);

/// "bar 12", "bar 3 (of the first four)": a place for people.
[[nodiscard]] std::string bar_words(const Music& music, Place at);

} // namespace bellhand::part

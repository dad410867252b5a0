#pragma once

#include "part/music.h"

#include <string>

namespace bellhand::part {

/// Words that tell a tempo: "Allegro vivace", "Più lento".
[[nodiscard]] bool is_tempo(const std::string& words);

/// A letter to rehearse from: "A", "BB".
[[nodiscard]] bool is_rehearsal_mark(const std::string& words);

/// Where words send the player: "D.S. al Coda".
enum class Jump { none, to_coda, fine, da_capo, dal_segno };
[[nodiscard]] Jump jump_of(const std::string& words);

/// What holds for all players often stands over the first part of a full score alone: tempos with their words,
/// rehearsal letters, jumps. Gives `mine` each kind of which it has none. Does nothing where the bars differ in number.
void take_system_marks(Music& mine, const Music& first);

} // namespace bellhand::part

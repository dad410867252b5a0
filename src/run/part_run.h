#pragma once

#include "run/run.h"

#include <string>

namespace bellhand::run {

/// True of a stretch of a part.
[[nodiscard]] bool is_part(const drill::Exercise& exercise) noexcept;

/// A metronome can sound: tempo and metre that are written stay the same to the end.
[[nodiscard]] bool one_tempo(const drill::Exercise& exercise) noexcept;

/// Where the player of a part is, in one line: the bar, in rests which of their bars, a new crook, the entry that comes.
[[nodiscard]] std::string place_in_part(const State& state);

} // namespace bellhand::run

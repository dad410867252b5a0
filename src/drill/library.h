#pragma once

#include "core/result.h"
#include "drill/exercise.h"

#include <cstdint>
#include <string>
#include <vector>

namespace bellhand::drill {

/// The exercises that come with the program: every file of assets/exercises, by file and place in it. Errors: a file
/// that is missing or cannot be read, an id that is used twice.
[[nodiscard]] Result<std::vector<Exercise>> built_in_exercises();

/// An exercise by its id: a built-in one, else a generated one for this crook (`seed` changes orders that are left to
/// chance). Errors (usage): unknown; the sentence names what comes nearest.
[[nodiscard]] Result<Exercise>
find_exercise(const std::string& id, const horn::Crook& crook, std::uint64_t seed);

} // namespace bellhand::drill

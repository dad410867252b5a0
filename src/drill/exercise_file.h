#pragma once

#include "core/result.h"
#include "drill/exercise.h"

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace bellhand::drill {

/// Version of the exercise file that this program writes; it reads this one and older ones.
inline constexpr int kExerciseVersion = 1;
/// An exercise may come from somebody else's computer: anything larger is not read at all.
inline constexpr std::size_t kLargestExerciseFile_bytes = 2'000'000;
inline constexpr std::size_t kMostExercises = 256;
inline constexpr std::size_t kMostSteps = 512;

/// What one file holds: a single exercise, or a collection of several.
struct ExerciseFile {
    std::string title; ///< of a collection; empty for a single one
    std::string note;
    std::vector<Exercise> exercises; ///< at least one
};

/// Reads exercises from text that is not trusted. `where` names it in errors (a file name). Errors: one sentence that
/// names the place in the file and what to do; nothing is guessed and no key is ignored.
[[nodiscard]] Result<ExerciseFile> parse_exercises(std::string_view text, const std::string& where);

/// The same from a file; its kind and size are looked at before its contents.
[[nodiscard]] Result<ExerciseFile> load_exercises(const std::filesystem::path& path);

/// JSON with every field that differs from its default, a step on a line. Reading it again gives the same exercises.
[[nodiscard]] std::string exercises_text(const ExerciseFile& file);

} // namespace bellhand::drill

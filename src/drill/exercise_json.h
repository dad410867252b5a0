#pragma once

// Exercises inside JSON, for files that hold more than exercises. Needs nlohmann-json.

#include "datafile/json_fields.h"
#include "drill/exercise.h"

#include <string>

#include <nlohmann/json.hpp>

namespace bellhand::drill {

/// One exercise; `place` names it in errors ("exercise 3"). After a problem the result means nothing.
[[nodiscard]] Exercise read_exercise(const nlohmann::json& value,
                                     const std::string& place,
                                     datafile::FileProblem& problem);

/// The same back, with every field that differs from its default.
[[nodiscard]] nlohmann::ordered_json exercise_json(const Exercise& exercise);

inline constexpr const char* kExerciseFormat = "bellhand exercises";

} // namespace bellhand::drill

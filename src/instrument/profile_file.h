#pragma once

// Shared by the readers and writers of profile and set-list files only.

#include "datafile/json_fields.h"
#include "instrument/profile.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace bellhand::instrument {

using datafile::Fields;
using datafile::FileProblem;
using datafile::NumberRange;
using datafile::plain_number;

inline constexpr const char* kProfileFormat = "bellhand horn profile";

inline constexpr const char* kSetListFormat = "bellhand set list";

/// A key of the crook family, empty when absent; an ambiguous one is refused with the question which is meant.
[[nodiscard]] std::optional<horn::Crook> read_key(Fields& fields, std::string_view key);

/// A list of names, empty when absent.
[[nodiscard]] std::vector<std::string>
read_names(Fields& fields, std::string_view key, std::size_t most);

/// The "calibration" part.
[[nodiscard]] Calibration read_calibration(const nlohmann::json& value, FileProblem& problem);
[[nodiscard]] nlohmann::ordered_json calibration_json(const Calibration& calibration);

/// What the fields say together: names used once, names that exist, sensible assemblies, something to play on.
void check_profile(const Profile& profile, FileProblem& problem);

} // namespace bellhand::instrument

#pragma once

// Shared by the reader and the writer of homework files only.

#include "datafile/json_fields.h"
#include "homework/homework.h"

#include <array>
#include <string>

#include <nlohmann/json.hpp>

namespace bellhand::homework {

inline constexpr const char* kFormat = "bellhand homework";
inline constexpr std::array<const char*, 2> kWho{"student", "teacher"};

[[nodiscard]] Return read_return(const nlohmann::json& value, datafile::FileProblem& problem);
[[nodiscard]] nlohmann::ordered_json return_json(const Return& returned);

[[nodiscard]] horn::Crook read_crook(datafile::Fields& fields, std::string_view key);
[[nodiscard]] std::optional<horn::Note> read_note(datafile::Fields& fields, std::string_view key);
/// How files name `TimeIs`.
inline constexpr std::array<const char*, 3> kTimeIs{"once-through", "minutes", "block"};
/// A line, and words in paragraphs, of a limited length in bytes.
[[nodiscard]] std::string
read_name(datafile::Fields& fields, std::string_view key, std::size_t longest);
[[nodiscard]] std::string
read_words(datafile::Fields& fields, std::string_view key, std::size_t longest);
/// An instant, "2026-03-01T10:11:12Z"; empty when absent.
[[nodiscard]] std::string read_instant(datafile::Fields& fields, std::string_view key);

/// Three decimals are enough for seconds and cents of people; it keeps files small and the same on every machine.
[[nodiscard]] double rounded(double value) noexcept;

} // namespace bellhand::homework

#pragma once

#include "core/result.h"
#include "homework/package.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::homework {

/// Where a teacher's homework files are kept, and where a student's that go back, both beside the log.
[[nodiscard]] std::filesystem::path set_folder(const std::filesystem::path& log);
[[nodiscard]] std::filesystem::path returned_folder(const std::filesystem::path& log);

/// A homework file on the teacher's side: set, and in time returned.
struct Filed {
    std::filesystem::path file;
    Homework homework;
    std::string problem; ///< why it could not be read: one sentence; empty otherwise
};

/// Every homework file of the folder, the one written or returned last first, those that cannot be read at the end. A
/// folder that is not there holds none.
[[nodiscard]] std::vector<Filed> files_in(const std::filesystem::path& folder);

/// Writes a homework that was composed, with an id and the date of `today` (ISO) where they are missing; its path. Errors: it
/// cannot be given (`problems`), the folder cannot be written.
[[nodiscard]] Result<std::filesystem::path>
file_set(Homework homework, const std::filesystem::path& folder, const std::string& today);

/// Takes a copy of a homework that came back; its path. The same file again leads to the copy that is there, with the
/// comments written since. Errors (usage): nothing was returned in it; the folder cannot be written.
[[nodiscard]] Result<std::filesystem::path> file_returned(const Package& package,
                                                          const std::filesystem::path& folder);

[[nodiscard]] std::filesystem::path draft_file(const std::filesystem::path& folder);
/// What is being composed, kept in the same folder at every change; empty: nothing. Errors: the file is damaged.
[[nodiscard]] Result<std::optional<Homework>> load_draft(const std::filesystem::path& folder);
/// Replaces it in one step; empty: removes it.
[[nodiscard]] Result<void> keep_draft(const std::optional<Homework>& draft,
                                      const std::filesystem::path& folder);

} // namespace bellhand::homework

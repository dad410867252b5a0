#pragma once

#include "core/result.h"

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>

namespace bellhand {

/// The whole of a small file. Its kind and size are looked at first: folders, devices and pipes are refused, and a
/// file above `largest_bytes` is not read at all (nor one that grows beyond it meanwhile).
[[nodiscard]] Result<std::string> read_small_file(const std::filesystem::path& path,
                                                  std::size_t largest_bytes);

/// Writes beside the file, flushes to the disk, then renames over it (POSIX rename): a crash at any moment leaves the
/// old file or the new one. Errors: folder missing or not writable, disk full; the old file is then untouched.
[[nodiscard]] Result<void> write_file_in_one_step(const std::filesystem::path& path,
                                                  std::string_view text);

/// The folder with all above it. Errors: it cannot be made.
[[nodiscard]] Result<void> make_folder(const std::filesystem::path& folder);

} // namespace bellhand

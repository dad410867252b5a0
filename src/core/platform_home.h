#pragma once

#include <filesystem>

namespace bellhand::platform {

/// The folder in which this user's own folders lie; empty when the system does not tell. A part of `core/platform.h` for
/// those who only look for files.
[[nodiscard]] std::filesystem::path home_folder();

} // namespace bellhand::platform

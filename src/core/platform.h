#pragma once

#include <filesystem>

// What the operating system is asked beyond the standard library. One file answers on each system.

namespace bellhand::platform {

/// The file of the program that runs; empty when the system does not tell.
[[nodiscard]] std::filesystem::path program_file();

} // namespace bellhand::platform

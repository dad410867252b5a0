#pragma once

namespace bellhand {

/// The program's version, as in CMake's project().
[[nodiscard]] const char* version() noexcept;

} // namespace bellhand

#pragma once

#include <cstdint>

struct ImDrawData;

namespace bellhand::gui {

/// What a frame consists of, in one number: two frames with the same number look alike. `ground`: anything else that the
/// picture depends on. FNV-1a (Fowler, Noll, Vo 1991), eight bytes at a time.
[[nodiscard]] std::uint64_t print_of(const ImDrawData& data, std::uint64_t ground) noexcept;

} // namespace bellhand::gui

#pragma once

#include <span>

namespace bellhand::words {

struct Caution {
    const char* about;
    const char* words;
};

/// What can hurt, and where to ask. All of them: the help sheet.
[[nodiscard]] std::span<const Caution> all_cautions() noexcept;
/// The first three in a sentence each, and whom to ask: today's plan and rests.
[[nodiscard]] std::span<const Caution> short_cautions() noexcept;

} // namespace bellhand::words

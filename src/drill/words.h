#pragma once

#include "drill/exercise.h"

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace bellhand::drill {

/// Names of the written things in files, in the order of their enumerations; the first of each is the default.
inline constexpr std::array<const char*, 7> kDynamics{
    "as-before", "pp", "p", "mp", "mf", "f", "ff"};
inline constexpr std::array<const char*, 4> kHairpins{
    "none", "growing", "fading", "growing-and-fading"};
inline constexpr std::array<const char*, 4> kManners{
    "plain", "lip-trill", "hand-trill", "slow-closing"};
inline constexpr std::array<const char*, 2> kMeasures{"temperament", "chord"};

template <typename Enum, std::size_t N>
[[nodiscard]] const char* word_of(Enum value, const std::array<const char*, N>& words) noexcept {
    return words[static_cast<std::size_t>(value)];
}

} // namespace bellhand::drill

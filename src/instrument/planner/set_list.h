#pragma once

#include "instrument/profile.h"

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace bellhand::instrument {

inline constexpr int kSetListVersion = 1;
inline constexpr std::size_t kLargestSetList_bytes = 200'000;
inline constexpr std::size_t kMostNumbers = 64;

/// One number of a programme or opera: the key the part asks for, and the rest that leads into it.
struct Number {
    std::string name;
    horn::Crook key{};
    std::optional<double> rest_before_s; ///< empty: long enough for any change
    std::optional<double> a4_hz;         ///< where it differs from the list's
    std::optional<double> temperature_c;
    std::string note;
};

struct SetList {
    std::string title;
    std::string note;
    double a4_hz = 440.0;
    std::optional<double> temperature_c; ///< of the air in the horn; the profile's when absent
    std::vector<Number> numbers;         ///< in playing order
};

/// Reads a set list from text that is not trusted; see `parse_profile`.
[[nodiscard]] Result<SetList> parse_set_list(std::string_view text, const std::string& where);
[[nodiscard]] Result<SetList> load_set_list(const std::filesystem::path& path);

} // namespace bellhand::instrument

#pragma once

#include <cstdint>
#include <filesystem>

namespace bellhand::test {

/// What a long log holds. All of it is invented.
struct LongLog {
    int years = 10;
    std::int64_t notes = 2000000;
    std::int64_t last_day = 20513; ///< 2026-03-01
    std::uint32_t seed = 1;
};

/// Writes a log as its first version would have: a player on six days a week, two sessions a day, five crooks, note
/// after note a step or two up or down, who slowly gets better. Opening it brings it up to date.
void write_long_log(const std::filesystem::path& path, const LongLog& what);

/// Adds judged exercises to an up-to-date log: twelve blocks a session of up to twelve steps each, one step in five
/// faulty.
void add_long_log_steps(const std::filesystem::path& path, std::uint32_t seed);

} // namespace bellhand::test

#pragma once

#include <chrono>
#include <cstddef>
#include <string>
#include <vector>

namespace bellhand::test {

inline constexpr double kBurstS = 0.5; ///< length of a burst; the pause after it is longer

/// Pitch of burst i: written C3, G3, E4, C5, G5 on the F crook, again and again.
[[nodiscard]] double burst_hz(std::size_t i) noexcept;

/// Plays `count` bursts of horn tone through `paplay` into an output of the sound server, after two seconds of silence,
/// written at the pace of the clock in pieces of 5 ms. Returns when each burst's first sample was written; empty when
/// the player does not start. Takes the whole time.
[[nodiscard]] std::vector<std::chrono::steady_clock::time_point>
play_bursts(const std::string& output, int count);

} // namespace bellhand::test

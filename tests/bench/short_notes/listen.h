#pragma once

#include "practice/analysis.h"

#include <span>
#include <vector>

namespace bellhand::test {

/// What the program makes of a sound: every reading and every note, as `trace` and `notes` have them.
struct Heard {
    std::vector<trainer::Reading> readings;
    std::vector<trainer::PlayedNote> notes;
};
[[nodiscard]] Heard
listen(std::span<const float> samples, double rate_hz, const horn::Tuning& tuning = {});

/// Longest stretch of readings after `from_s` whose pitch is more than 50 cents from `f0_hz`, in seconds. `sure_only`:
/// readings that the ear does not trust are not counted.
[[nodiscard]] double
wrong_stretch_s(const Heard& heard, double f0_hz, double from_s, bool sure_only);

/// Share of the hops between two times that show the pitch within 50 cents.
[[nodiscard]] double
right_share(const Heard& heard, double f0_hz, double from_s, double to_s, bool sure_only);

} // namespace bellhand::test

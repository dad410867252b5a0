#pragma once

#include "core/result.h"

#include <cstdint>
#include <string>
#include <string_view>

namespace bellhand::homework {

/// What a FLAC file says of itself.
struct FlacHead {
    std::uint32_t rate_hz = 0;
    int channels = 0;
    int bits = 0;
    std::uint64_t samples = 0; ///< 0: the file does not say
};

inline constexpr double kLongestTake_s = 3000.0;

/// Reads the stream information that a FLAC file begins with (RFC 9639, sections 6 and 8.2: "fLaC", then the block of 34 bytes)
/// and checks it against what a take can be: one or two channels, 8 to 192 kHz, 16 or 24 bits, at most
/// `kLongestTake_s`. `where` names the take in errors.
[[nodiscard]] Result<FlacHead> read_flac_head(std::string_view bytes, const std::string& where);

} // namespace bellhand::homework

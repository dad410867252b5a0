#include "homework/flac_head.h"

namespace bellhand::homework {

Result<FlacHead> read_flac_head(std::string_view bytes, const std::string& where) {
    constexpr std::size_t kInformation = 8; // after "fLaC" and the head of the block
    constexpr std::size_t kLength = 34;
    const auto byte = [&](std::size_t i) -> std::uint64_t {
        return static_cast<unsigned char>(bytes[i]);
    };
    if (bytes.size() < kInformation + kLength || bytes.substr(0, 4) != "fLaC" ||
        (byte(4) & 0x7FU) != 0 || ((byte(5) << 16U) | (byte(6) << 8U) | byte(7)) != kLength) {
        return failure(where + " is no FLAC sound: ask for the file again.");
    }
    FlacHead head;
    head.rate_hz =
        static_cast<std::uint32_t>((byte(18) << 12U) | (byte(19) << 4U) | (byte(20) >> 4U));
    head.channels = static_cast<int>((byte(20) >> 1U) & 0x7U) + 1;
    head.bits = static_cast<int>(((byte(20) & 1U) << 4U) | (byte(21) >> 4U)) + 1;
    head.samples = ((byte(21) & 0xFU) << 32U) | (byte(22) << 24U) | (byte(23) << 16U) |
                   (byte(24) << 8U) | byte(25);
    const auto refuse = [&](const std::string& what) {
        return failure(where + " " + what +
                       ": a take has one or two channels of 16 or 24 bits at 8 "
                       "to 192 kHz and lasts at most " +
                       std::to_string(static_cast<int>(kLongestTake_s) / 60) + " minutes.");
    };
    if (head.channels > 2) {
        return refuse("has " + std::to_string(head.channels) + " channels");
    }
    if (head.rate_hz < 8000 || head.rate_hz > 192'000) {
        return refuse("has " + std::to_string(head.rate_hz) + " samples a second");
    }
    if (head.bits != 16 && head.bits != 24) {
        return refuse("has samples of " + std::to_string(head.bits) + " bits");
    }
    if (head.samples == 0 ||
        static_cast<double>(head.samples) > kLongestTake_s * static_cast<double>(head.rate_hz)) {
        return refuse("says that it has " + std::to_string(head.samples) + " samples");
    }
    return head;
}

} // namespace bellhand::homework

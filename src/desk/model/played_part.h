#pragma once

#include "part/write/printed.h"

#include <cstddef>
#include <cstdint>
#include <vector>

namespace bellhand::desk {

/// A part that is being played: its page, and where on it every step of a run stands.
struct PlayedPart {
    std::uint64_t key = 0; ///< another one for every page
    part::PrintedPart printed;
    /// Of every block, of every step of its exercise: the attack that it is, of rests the next.
    std::vector<std::vector<std::size_t>> attack_of;
};

} // namespace bellhand::desk

#pragma once

#include "audio/source.h"

#include <chrono>
#include <thread>
#include <vector>

namespace bellhand::test {

struct Drained {
    std::vector<float> samples;
    std::uint64_t jumps = 0; ///< blocks that did not follow the one before
    audio::SourceStatus status;
};

/// Reads until the source has ended or failed, or `limit_s` has passed; naps `nap` after each block.
inline Drained drain(audio::Source& source,
                     audio::BlockRing& ring,
                     double limit_s = 20.0,
                     std::chrono::microseconds nap = std::chrono::microseconds(0)) {
    Drained out;
    std::uint64_t expected = 0;
    const auto began = std::chrono::steady_clock::now();
    while (std::chrono::steady_clock::now() - began < std::chrono::duration<double>(limit_s)) {
        out.status = source.status();
        audio::Block block;
        if (ring.try_pop(block)) {
            out.jumps += block.first_sample == expected ? 0U : 1U;
            expected = block.first_sample + block.count;
            out.samples.insert(
                out.samples.end(), block.samples.begin(), block.samples.begin() + block.count);
            if (nap.count() > 0) {
                std::this_thread::sleep_for(nap);
            }
        } else if (out.status.state == audio::SourceState::ended ||
                   out.status.state == audio::SourceState::failed) {
            break;
        } else {
            std::this_thread::sleep_for(std::chrono::microseconds(100));
        }
    }
    return out;
}

} // namespace bellhand::test

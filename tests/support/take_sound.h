#pragma once

#include "audio/source.h"
#include "takes/sound_memory.h"

#include <cstdint>
#include <filesystem>
#include <vector>

#include <sndfile.h>

namespace bellhand::test {

/// A sample that tells its own number, on the grid of 24 bits.
[[nodiscard]] inline float counted_sample(std::uint64_t number) {
    return static_cast<float>(static_cast<std::int64_t>((number * 48271U) % 16'000'000U) -
                              8'000'000) /
           8388608.0F;
}

/// Lets a memory hear samples `from` to `to` of that sound, the first sample of all at `start_s`.
inline void hear_counted(takes::SoundMemory& memory,
                         std::uint64_t from,
                         std::uint64_t to,
                         double rate_hz = 48000.0,
                         double start_s = 0.0) {
    audio::Block block;
    block.sample_rate_hz = rate_hz;
    while (from < to) {
        block.count = 0;
        block.first_sample = from;
        const double at_s = start_s + static_cast<double>(from) / rate_hz;
        while (block.count < audio::kBlockSamples && from < to) {
            block.samples[block.count++] = counted_sample(from++);
        }
        memory.hear(block, at_s);
    }
}

/// All samples of a sound file with one channel; empty when it cannot be read.
[[nodiscard]] inline std::vector<float> samples_of(const std::filesystem::path& path) {
    SF_INFO info{};
    SNDFILE* const file = sf_open(path.string().c_str(), SFM_READ, &info);
    std::vector<float> samples;
    if (file != nullptr) {
        samples.resize(static_cast<std::size_t>(info.frames));
        samples.resize(static_cast<std::size_t>(sf_readf_float(file, samples.data(), info.frames)));
        sf_close(file);
    }
    return samples;
}

} // namespace bellhand::test

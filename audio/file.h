#pragma once

#include "audio/source.h"

#include <filesystem>

namespace bellhand::audio {

enum class Pace {
    as_fast_as_possible, ///< waits for the reader: nothing is ever dropped
    real_time,           ///< as a microphone would
};

/// A sound file (WAV, FLAC, OGG ... through libsndfile). `channel` from 1, 0 = mix of all. Errors: missing, not a
/// sound file, empty, no such channel.
[[nodiscard]] Result<std::unique_ptr<Source>>
open_file(const std::filesystem::path& path, Pace pace, int channel = 0);

} // namespace bellhand::audio

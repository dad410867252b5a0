#pragma once

#include "audio/source.h"

#include <filesystem>
#include <span>

namespace bellhand::audio {

enum class Pace {
    as_fast_as_possible, ///< waits for the reader: nothing is ever dropped
    real_time,           ///< as a microphone would
};

/// A sound file (WAV, FLAC, OGG ... through libsndfile), 8 to 192 kHz, any number of channels. `channel` from 1, 0 =
/// mix of all (their mean, so that nothing clips). Samples that are no numbers become silence and are counted in the
/// status's message when the file has ended. Errors: missing, a folder, may not be read, not a sound file, empty, no
/// such channel, sample rate out of range.
[[nodiscard]] Result<std::unique_ptr<Source>>
open_file(const std::filesystem::path& path, Pace pace, int channel = 0);

/// Writes mono samples (full scale +-1, louder ones are held there) as a sound file of 24 bits: WAV, or FLAC when the
/// name ends in ".flac". Errors: another ending, a folder that is not there or may not be written, disk full.
[[nodiscard]] Result<void> write_file(const std::filesystem::path& path,
                                      std::span<const float> samples,
                                      double sample_rate_hz);

} // namespace bellhand::audio

#include "audio/file.h"

#include <cmath>
#include <string>
#include <system_error>

#include <sndfile.h>

namespace bellhand::audio {

namespace {

/// libsndfile's format for the ending of a name, 0 = none.
int format_of(const std::filesystem::path& path) {
    const std::string ending = path.extension().string();
    if (ending == ".wav" || ending == ".WAV") {
        return SF_FORMAT_WAV | SF_FORMAT_PCM_24;
    }
    return ending == ".flac" || ending == ".FLAC" ? SF_FORMAT_FLAC | SF_FORMAT_PCM_24 : 0;
}

} // namespace

Result<void> write_file(const std::filesystem::path& path,
                        std::span<const float> samples,
                        double sample_rate_hz) {
    SF_INFO info{};
    info.samplerate = static_cast<int>(std::lround(sample_rate_hz));
    info.channels = 1;
    info.format = format_of(path);
    if (info.format == 0) {
        return usage_error("'" + path.string() +
                           "' must end in .wav or .flac to be written as sound.");
    }
    SNDFILE* file = sf_open(path.string().c_str(), SFM_WRITE, &info);
    if (file == nullptr) {
        return failure("'" + path.string() + "' cannot be written (" + sf_strerror(nullptr) + ").");
    }
    sf_command(file, SFC_SET_CLIPPING, nullptr, SF_TRUE);
    const auto count = static_cast<sf_count_t>(samples.size());
    const bool written = sf_writef_float(file, samples.data(), count) == count;
    const bool closed = sf_close(file) == 0;
    if (!written || !closed) {
        std::error_code ignored;
        std::filesystem::remove(path, ignored); // half a file would pass for a whole one
        return failure("'" + path.string() +
                       "' could not be written completely: is the disk full?");
    }
    return {};
}

} // namespace bellhand::audio

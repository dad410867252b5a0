#include "core/platform.h"
#include "takes/journal.h"

#include <array>
#include <cmath>
#include <memory>

#include <sndfile.h>

namespace bellhand::takes {

std::int32_t as_24_bits(float sample) noexcept {
    if (!std::isfinite(sample)) {
        return 0;
    }
    const double scaled = std::nearbyint(static_cast<double>(sample) * 8388608.0);
    return static_cast<std::int32_t>(std::fmin(std::fmax(scaled, -8388608.0), 8388607.0));
}

Result<std::int64_t>
write_flac(const std::filesystem::path& path, double rate_hz, FlacSource& source) {
    const std::filesystem::path half = platform::path_of(path.string() + ".half");
    const auto cannot = [&](const std::string& why) {
        platform::remove_file(half);
        return failure("The take " + path.string() + " cannot be written: " + why +
                       "; it is tried again.");
    };
    auto file = platform::File::open(half, platform::File::Use::replace);
    if (!file) {
        return cannot(platform::reason());
    }
    SF_INFO info{};
    info.samplerate = static_cast<int>(std::lround(rate_hz));
    info.channels = 1;
    info.format = SF_FORMAT_FLAC | SF_FORMAT_PCM_24;
    SNDFILE* const sound = sf_open_fd(file->number(), SFM_WRITE, &info, SF_FALSE);
    if (sound == nullptr) {
        return cannot(sf_strerror(nullptr));
    }
    std::unique_ptr<SNDFILE, int (*)(SNDFILE*)> closing(sound, &sf_close);
    std::array<std::int32_t, 8192> chunk{};
    sf_count_t frames = 0;
    for (;;) {
        const auto count = source.next(chunk);
        if (!count) {
            closing.reset();
            platform::remove_file(half);
            return tl::unexpected(count.error());
        }
        if (*count == 0) {
            break;
        }
        for (std::size_t i = 0; i < *count; ++i) {
            chunk[i] *= 256; // libsndfile's integers are left-aligned
        }
        const auto wanted = static_cast<sf_count_t>(*count);
        if (sf_writef_int(sound, chunk.data(), wanted) != wanted) {
            return cannot("the disk is full or not writable");
        }
        frames += wanted;
    }
    if (sf_close(closing.release()) != 0 || !file->flush()) {
        return cannot("the disk is full or not writable");
    }
    // The encoder does not report every failed write: the file itself tells whether it is whole.
    SF_INFO check{};
    SNDFILE* const again = sf_open(half.string().c_str(), SFM_READ, &check);
    if (again != nullptr) {
        sf_close(again);
    }
    const auto bytes = file->size();
    if (again == nullptr || check.frames != frames || !bytes || !file->close()) {
        return cannot("the disk is full or not writable");
    }
    if (!platform::replace_file(half, path)) {
        return cannot(platform::reason());
    }
    return static_cast<std::int64_t>(*bytes);
}

} // namespace bellhand::takes

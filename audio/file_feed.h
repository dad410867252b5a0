#pragma once

#include "audio/paced_source.h"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

struct sf_private_tag; // libsndfile's

namespace bellhand::audio {

struct CloseSound {
    void operator()(sf_private_tag* file) const noexcept;
};
using SoundFile = std::unique_ptr<sf_private_tag, CloseSound>;

/// What a sound file says of itself.
struct FileFacts {
    double sample_rate_hz = 0.0;
    int channels = 0;
    std::uint64_t frames = 0;
};

/// One channel, or the mean of all, of an open sound file.
class FileFeed final : public SampleFeed {
public:
    FileFeed(SoundFile file, std::string name, FileFacts facts, int channel);

    /// Errors: the file is damaged from there on.
    Result<std::size_t> read(std::span<float> out) override;
    /// The next `read` begins there, at most at the end. Errors: a kind of file that cannot be wound.
    [[nodiscard]] Result<void> seek(double time_s);
    [[nodiscard]] std::string remark() const override;
    [[nodiscard]] const FileFacts& facts() const noexcept { return facts_; }

private:
    float cleaned(float sample) noexcept;
    float mean(std::span<const float> frame) noexcept;

    SoundFile file_;
    std::string name_;
    FileFacts facts_;
    int channel_;
    std::vector<float> frames_;
    std::uint64_t position_ = 0;
    std::uint64_t not_numbers_ = 0;
};

/// Errors: those of `open_file`.
[[nodiscard]] Result<std::unique_ptr<FileFeed>> open_feed(const std::filesystem::path& path,
                                                          int channel);

} // namespace bellhand::audio

#include "audio/file.h"
#include "audio/paced_source.h"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cmath>
#include <cstdio>
#include <memory>
#include <string>
#include <system_error>
#include <utility>
#include <vector>

#include <sndfile.h>

namespace bellhand::audio {

namespace {

namespace fs = std::filesystem;

constexpr int kLowestRateHz = 8000;
constexpr int kHighestRateHz = 192000;

struct CloseSound {
    void operator()(SNDFILE* file) const noexcept { sf_close(file); }
};
using SoundFile = std::unique_ptr<SNDFILE, CloseSound>;

std::string quoted(const fs::path& path) {
    return "'" + path.string() + "'";
}

/// One channel, or the mean of all, of an open sound file.
class FileFeed final : public SampleFeed {
public:
    FileFeed(SoundFile file, const SF_INFO& info, std::string name, int channel)
        : file_(std::move(file)),
          name_(std::move(name)),
          rate_hz_(info.samplerate),
          channels_(info.channels),
          channel_(channel),
          frames_(kBlockSamples * static_cast<std::size_t>(info.channels)) {}

    Result<std::size_t> read(std::span<float> out) override {
        const std::size_t wanted = std::min(out.size(), kBlockSamples);
        const sf_count_t got =
            sf_readf_float(file_.get(), frames_.data(), static_cast<sf_count_t>(wanted));
        if (sf_error(file_.get()) != SF_ERR_NO_ERROR) {
            std::array<char, 48> where{};
            std::snprintf(
                where.data(), where.size(), "%.2f", static_cast<double>(position_) / rate_hz_);
            return failure(name_ + " is damaged: it could be read up to " + where.data() + " s (" +
                           sf_strerror(file_.get()) + ").");
        }
        const auto count = static_cast<std::size_t>(std::max<sf_count_t>(got, 0));
        const auto channels = static_cast<std::size_t>(channels_);
        for (std::size_t i = 0; i < count; ++i) {
            const std::span<const float> frame(frames_.data() + i * channels, channels);
            out[i] =
                channel_ > 0 ? cleaned(frame[static_cast<std::size_t>(channel_ - 1)]) : mean(frame);
        }
        position_ += count;
        return count;
    }

    [[nodiscard]] std::string remark() const override {
        if (not_numbers_ == 0) {
            return {};
        }
        return std::to_string(not_numbers_) + (not_numbers_ == 1 ? " sample of " : " samples of ") +
               name_ +
               (not_numbers_ == 1 ? " was no number and was" : " were no numbers and were") +
               " taken as silence.";
    }

private:
    float cleaned(float sample) noexcept {
        if (std::isfinite(sample)) {
            return sample;
        }
        ++not_numbers_;
        return 0.0F;
    }

    float mean(std::span<const float> frame) noexcept {
        double sum = 0.0; // a double holds the sum of the loudest floats of all channels
        for (const float sample : frame) {
            sum += static_cast<double>(cleaned(sample));
        }
        return static_cast<float>(sum / static_cast<double>(frame.size()));
    }

    SoundFile file_;
    std::string name_;
    int rate_hz_;
    int channels_;
    int channel_;
    std::vector<float> frames_;
    std::uint64_t position_ = 0;
    std::uint64_t not_numbers_ = 0;
};

/// What is plainly wrong with the path before any sound is looked for; empty = nothing.
std::string fault_of(const fs::path& path) {
    std::error_code error;
    const fs::file_status status = fs::status(path, error);
    if (status.type() == fs::file_type::not_found) {
        return "There is no file " + quoted(path) + ".";
    }
    if (fs::is_directory(status)) {
        return quoted(path) + " is a folder, not a sound file.";
    }
    if (!fs::is_regular_file(status)) {
        return quoted(path) + " is not a file that can be read as sound.";
    }
    errno = 0;
    const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rb"),
                                                               &std::fclose);
    if (file == nullptr) {
        return quoted(path) + " cannot be read: " + std::generic_category().message(errno) + ".";
    }
    if (fs::file_size(path, error) == 0 && !error) {
        return quoted(path) + " is empty: it holds no sound.";
    }
    return {};
}

} // namespace

Result<std::unique_ptr<Source>> open_file(const fs::path& path, Pace pace, int channel) {
    if (std::string fault = fault_of(path); !fault.empty()) {
        return failure(std::move(fault));
    }
    SF_INFO info{};
    SoundFile file(sf_open(path.c_str(), SFM_READ, &info));
    if (file == nullptr) {
        std::string reason = sf_strerror(nullptr);
        while (!reason.empty() && (reason.back() == '.' || reason.back() == '\n')) {
            reason.pop_back();
        }
        return failure(quoted(path) + " is not a sound file that can be read (" + reason +
                       "); WAV, FLAC and OGG can.");
    }
    if (info.frames == 0) {
        return failure(quoted(path) + " holds no sound: its length is zero.");
    }
    if (channel < 0 || channel > info.channels) {
        return usage_error(quoted(path) + " has " + std::to_string(info.channels) +
                           (info.channels == 1 ? " channel" : " channels") +
                           ": there is no channel " + std::to_string(channel) + " (0 mixes all).");
    }
    if (info.samplerate < kLowestRateHz || info.samplerate > kHighestRateHz) {
        return failure(quoted(path) + " has a sample rate of " + std::to_string(info.samplerate) +
                       " Hz; it must be between 8000 and 192000 Hz.");
    }
    SourceStatus about;
    about.name = path.filename().string();
    about.sample_rate_hz = info.samplerate;
    about.channels = info.channels;
    about.channel = channel;
    return std::make_unique<PacedSource>(
        std::make_unique<FileFeed>(std::move(file), info, quoted(path), channel),
        pace,
        std::move(about));
}

} // namespace bellhand::audio

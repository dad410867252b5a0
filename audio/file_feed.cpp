#include "audio/file_feed.h"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cmath>
#include <cstdio>
#include <string>
#include <system_error>
#include <utility>

#include <sndfile.h>

namespace bellhand::audio {

namespace {

namespace fs = std::filesystem;

constexpr int kLowestRateHz = 8000;
constexpr int kHighestRateHz = 192000;

std::string quoted(const fs::path& path) {
    return "'" + path.string() + "'";
}

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
    const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(
        std::fopen(path.string().c_str(), "rb"), &std::fclose);
    if (file == nullptr) {
        return quoted(path) + " cannot be read: " + std::generic_category().message(errno) + ".";
    }
    if (fs::file_size(path, error) == 0 && !error) {
        return quoted(path) + " is empty: it holds no sound.";
    }
    return {};
}

} // namespace

void CloseSound::operator()(sf_private_tag* file) const noexcept {
    sf_close(file);
}

FileFeed::FileFeed(SoundFile file, std::string name, FileFacts facts, int channel)
    : file_(std::move(file)),
      name_(std::move(name)),
      facts_(facts),
      channel_(channel),
      frames_(kBlockSamples * static_cast<std::size_t>(facts.channels)) {}

Result<std::size_t> FileFeed::read(std::span<float> out) {
    const std::size_t wanted = std::min(out.size(), kBlockSamples);
    const sf_count_t got =
        sf_readf_float(file_.get(), frames_.data(), static_cast<sf_count_t>(wanted));
    if (sf_error(file_.get()) != SF_ERR_NO_ERROR) {
        std::array<char, 48> where{};
        std::snprintf(where.data(),
                      where.size(),
                      "%.2f",
                      static_cast<double>(position_) / facts_.sample_rate_hz);
        return failure(name_ + " is damaged: it could be read up to " + where.data() + " s (" +
                       sf_strerror(file_.get()) + ").");
    }
    const auto count = static_cast<std::size_t>(std::max<sf_count_t>(got, 0));
    const auto channels = static_cast<std::size_t>(facts_.channels);
    for (std::size_t i = 0; i < count; ++i) {
        const std::span<const float> frame(frames_.data() + i * channels, channels);
        out[i] =
            channel_ > 0 ? cleaned(frame[static_cast<std::size_t>(channel_ - 1)]) : mean(frame);
    }
    position_ += count;
    return count;
}

Result<void> FileFeed::seek(double time_s) {
    const double last = static_cast<double>(facts_.frames);
    const auto frame =
        static_cast<sf_count_t>(std::clamp(time_s * facts_.sample_rate_hz, 0.0, last));
    if (sf_seek(file_.get(), frame, SEEK_SET) != frame) {
        return failure(name_ + " cannot be played from another place (" + sf_strerror(file_.get()) +
                       ").");
    }
    position_ = static_cast<std::uint64_t>(frame);
    return {};
}

std::string FileFeed::remark() const {
    if (not_numbers_ == 0) {
        return {};
    }
    return std::to_string(not_numbers_) + (not_numbers_ == 1 ? " sample of " : " samples of ") +
           name_ + (not_numbers_ == 1 ? " was no number and was" : " were no numbers and were") +
           " taken as silence.";
}

float FileFeed::cleaned(float sample) noexcept {
    if (std::isfinite(sample)) {
        return sample;
    }
    ++not_numbers_;
    return 0.0F;
}

float FileFeed::mean(std::span<const float> frame) noexcept {
    double sum = 0.0; // a double holds the sum of the loudest floats of all channels
    for (const float sample : frame) {
        sum += static_cast<double>(cleaned(sample));
    }
    return static_cast<float>(sum / static_cast<double>(frame.size()));
}

Result<std::unique_ptr<FileFeed>> open_feed(const fs::path& path, int channel) {
    if (std::string fault = fault_of(path); !fault.empty()) {
        return failure(std::move(fault));
    }
    SF_INFO info{};
    SoundFile file(sf_open(path.string().c_str(), SFM_READ, &info));
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
    return std::make_unique<FileFeed>(std::move(file),
                                      quoted(path),
                                      FileFacts{static_cast<double>(info.samplerate),
                                                info.channels,
                                                static_cast<std::uint64_t>(info.frames)},
                                      channel);
}

} // namespace bellhand::audio

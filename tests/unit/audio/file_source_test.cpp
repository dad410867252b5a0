#include "audio/file.h"
#include "audio/synth.h"
#include "drain.h"

#include <chrono>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <limits>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <sndfile.h>

#include <unistd.h>

using namespace bellhand;
using namespace bellhand::audio;
namespace fs = std::filesystem;

namespace {

/// A folder that goes away with the test.
class Folder {
public:
    Folder() : path_(fs::temp_directory_path() / ("bellhand-file-" + std::to_string(::getpid()))) {
        fs::create_directories(path_);
    }
    ~Folder() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    [[nodiscard]] fs::path operator/(const char* name) const { return path_ / name; }
    [[nodiscard]] const fs::path& path() const { return path_; }

private:
    fs::path path_;
};

/// Interleaved samples, written by the reference library.
void write(const fs::path& path,
           int format,
           int rate_hz,
           int channels,
           const std::vector<float>& samples) {
    SF_INFO info{};
    info.samplerate = rate_hz;
    info.channels = channels;
    info.format = format;
    SNDFILE* file = sf_open(path.string().c_str(), SFM_WRITE, &info);
    REQUIRE(file != nullptr);
    const auto frames = static_cast<sf_count_t>(samples.size()) / channels;
    CHECK(sf_writef_float(file, samples.data(), frames) == frames);
    sf_close(file);
}

/// A different, recognisable wave in each channel.
std::vector<float> waves(int channels, std::size_t frames) {
    std::vector<float> out;
    for (std::size_t i = 0; i < frames; ++i) {
        for (int c = 1; c <= channels; ++c) {
            out.push_back(
                static_cast<float>(0.5 * std::sin(0.01 * c * static_cast<double>(i)) / c));
        }
    }
    return out;
}

std::string refusal(const fs::path& path, int channel = 0) {
    const auto source = open_file(path, Pace::as_fast_as_possible, channel);
    REQUIRE_FALSE(source.has_value());
    return source.error().message;
}

constexpr int kFloatWav = SF_FORMAT_WAV | SF_FORMAT_FLOAT;

} // namespace

TEST_SUITE("audio/file_source") {
    TEST_CASE("every sample of a file arrives, in order, whatever the format, rate and number of "
              "channels") {
        const Folder folder;
        struct Kind {
            const char* name;
            int format;
            int rate_hz;
            int channels;
            double tolerance;
        };
        const Kind kinds[] = {
            {"a.wav", kFloatWav, 48000, 1, 0.0},
            {"b.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_16, 44100, 2, 2e-5 * 2},
            {"c.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_24, 192000, 8, 1e-6},
            {"d.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_U8, 8000, 1, 0.01},
            {"e.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_16, 22050, 2, 2e-5 * 2},
            {"f.ogg", SF_FORMAT_OGG | SF_FORMAT_VORBIS, 48000, 1, 0.1},
        };
        for (const Kind& kind : kinds) {
            CAPTURE(kind.name);
            const std::size_t frames = 20011; // no multiple of a block
            const std::vector<float> all = waves(kind.channels, frames);
            write(folder / kind.name, kind.format, kind.rate_hz, kind.channels, all);
            const int channel = kind.channels;
            auto source = open_file(folder / kind.name, Pace::as_fast_as_possible, channel);
            REQUIRE(source.has_value());
            BlockRing ring(8); // small: the file must wait for the reader
            REQUIRE((*source)->start(ring).has_value());
            const test::Drained got = test::drain(**source, ring);
            CHECK(got.status.state == SourceState::ended);
            CHECK(got.status.message.empty());
            CHECK(got.status.sample_rate_hz == kind.rate_hz);
            CHECK(got.status.channels == kind.channels);
            CHECK(got.status.dropped_samples == 0);
            CHECK(got.status.delivered_samples == frames);
            CHECK(got.jumps == 0);
            REQUIRE(got.samples.size() == frames);
            double worst = 0.0;
            for (std::size_t i = 0; i < frames; ++i) {
                const auto at = i * static_cast<std::size_t>(kind.channels) +
                                static_cast<std::size_t>(channel - 1);
                worst = std::max(
                    worst,
                    std::abs(static_cast<double>(got.samples[i]) - static_cast<double>(all[at])));
            }
            CHECK(worst <= kind.tolerance);
        }
    }

    TEST_CASE("channel 0 is the mean of all channels") {
        const Folder folder;
        write(folder / "two.wav", kFloatWav, 48000, 2, {1.0F, 0.5F, -0.25F, 0.25F, 1.0F, 1.0F});
        auto source = open_file(folder / "two.wav", Pace::as_fast_as_possible, 0);
        REQUIRE(source.has_value());
        BlockRing ring(4);
        REQUIRE((*source)->start(ring).has_value());
        CHECK(test::drain(**source, ring).samples == std::vector<float>{0.75F, 0.0F, 1.0F});
    }

    TEST_CASE("samples that are no numbers become silence and are mentioned") {
        const Folder folder;
        const float nan = std::numeric_limits<float>::quiet_NaN();
        const float inf = std::numeric_limits<float>::infinity();
        write(folder / "nan.wav", kFloatWav, 48000, 1, {0.5F, nan, inf, -inf, 0.25F});
        auto source = open_file(folder / "nan.wav", Pace::as_fast_as_possible, 1);
        REQUIRE(source.has_value());
        BlockRing ring(4);
        REQUIRE((*source)->start(ring).has_value());
        const test::Drained got = test::drain(**source, ring);
        CHECK(got.samples == std::vector<float>{0.5F, 0.0F, 0.0F, 0.0F, 0.25F});
        CHECK(got.status.state == SourceState::ended);
        CHECK(got.status.message == "3 samples of '" + (folder / "nan.wav").string() +
                                        "' were no numbers and were taken as silence.");
    }

    TEST_CASE("each kind of bad file is refused with a sentence of its own") {
        const Folder folder;
        CHECK(refusal(folder / "none.wav") ==
              "There is no file '" + (folder / "none.wav").string() + "'.");
        CHECK(refusal(folder.path()) ==
              "'" + folder.path().string() + "' is a folder, not a sound file.");
        std::ofstream(folder / "empty.wav").flush();
        CHECK(refusal(folder / "empty.wav") ==
              "'" + (folder / "empty.wav").string() + "' is empty: it holds no sound.");
        std::ofstream(folder / "words.wav") << "This is no sound, these are words.\n";
        CHECK(refusal(folder / "words.wav").find("is not a sound file that can be read") !=
              std::string::npos);
        write(folder / "zero.wav", kFloatWav, 48000, 1, {});
        CHECK(refusal(folder / "zero.wav").find("holds no sound: its length is zero.") !=
              std::string::npos);
        write(folder / "two.wav", kFloatWav, 48000, 2, waves(2, 10));
        CHECK(refusal(folder / "two.wav", 3).find("has 2 channels: there is no channel 3") !=
              std::string::npos);
        CHECK(refusal(folder / "two.wav", -1).find("there is no channel -1") != std::string::npos);
        write(folder / "slow.wav", kFloatWav, 4000, 1, waves(1, 10));
        CHECK(refusal(folder / "slow.wav").find("has a sample rate of 4000 Hz") !=
              std::string::npos);
        CHECK(refusal("/dev/null").find("is not a file that can be read as sound") !=
              std::string::npos);
        if (::geteuid() != 0) {
            fs::permissions(folder / "two.wav", fs::perms::none);
            CHECK(refusal(folder / "two.wav").find("cannot be read: Permission denied.") !=
                  std::string::npos);
        } else {
            MESSAGE("running as root, which may read everything: the refusal of an unreadable file "
                    "was not tried");
        }
    }

    TEST_CASE("a file cut off in the middle gives what is there") {
        const Folder folder;
        write(folder / "cut.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_16, 48000, 1, waves(1, 10000));
        fs::resize_file(folder / "cut.wav", 44 + 2 * 4000);
        auto source = open_file(folder / "cut.wav", Pace::as_fast_as_possible, 1);
        REQUIRE(source.has_value());
        BlockRing ring(16);
        REQUIRE((*source)->start(ring).has_value());
        const test::Drained got = test::drain(**source, ring);
        CHECK(got.status.state == SourceState::ended);
        CHECK(got.samples.size() == 4000);
    }

    TEST_CASE("a damaged file says up to where it could be read, or plays on, and never hangs") {
        const Folder folder;
        write(folder / "bad.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_16, 48000, 1, waves(1, 96000));
        {
            std::fstream file(folder / "bad.flac", std::ios::in | std::ios::out | std::ios::binary);
            const auto size = static_cast<std::streamoff>(fs::file_size(folder / "bad.flac"));
            file.seekp(size / 2);
            file << std::string(static_cast<std::size_t>(size / 2), 'x');
        }
        auto source = open_file(folder / "bad.flac", Pace::as_fast_as_possible, 1);
        REQUIRE(source.has_value());
        BlockRing ring(16);
        REQUIRE((*source)->start(ring).has_value());
        const test::Drained got = test::drain(**source, ring);
        CHECK(got.samples.size() > 20000);
        if (got.status.state == SourceState::failed) {
            CHECK(got.status.message.find("is damaged: it could be read up to") !=
                  std::string::npos);
        } else {
            CHECK(got.status.state == SourceState::ended);
        }
    }

    TEST_CASE("at real-time pace a file takes as long as it sounds, and a slow reader loses "
              "counted samples") {
        const Folder folder;
        write(folder / "half.wav", kFloatWav, 16000, 1, waves(1, 6400)); // 0.4 s, 50 blocks
        auto source = open_file(folder / "half.wav", Pace::real_time, 1);
        REQUIRE(source.has_value());
        BlockRing ring(64);
        const auto began = std::chrono::steady_clock::now();
        REQUIRE((*source)->start(ring).has_value());
        test::Drained got = test::drain(**source, ring);
        CHECK(std::chrono::steady_clock::now() - began >= std::chrono::milliseconds(395));
        CHECK(got.samples.size() == 6400);
        CHECK(got.jumps == 0);

        source = open_file(folder / "half.wav", Pace::real_time, 1);
        REQUIRE(source.has_value());
        BlockRing small(2);
        REQUIRE((*source)->start(small).has_value());
        std::this_thread::sleep_for(std::chrono::milliseconds(200)); // 25 blocks into a ring of two
        got = test::drain(**source, small);
        CHECK(got.status.state == SourceState::ended);
        CHECK(got.jumps >= 1);
        CHECK(got.status.dropped_samples >= 1000);
        CHECK(got.status.overruns * kBlockSamples == got.status.dropped_samples);
        CHECK(got.samples.size() + got.status.dropped_samples == 6400);
        CHECK(got.status.delivered_samples == got.samples.size());
    }

    TEST_CASE("stop ends at once while the reader is asleep, and can be called again") {
        const Folder folder;
        write(folder / "long.wav", kFloatWav, 48000, 1, waves(1, 100000));
        for (const Pace pace : {Pace::as_fast_as_possible, Pace::real_time}) {
            auto source = open_file(folder / "long.wav", pace, 1);
            REQUIRE(source.has_value());
            BlockRing ring(2);
            REQUIRE((*source)->start(ring).has_value());
            CHECK_FALSE((*source)->start(ring).has_value()); // once only
            std::this_thread::sleep_for(std::chrono::milliseconds(20));
            const auto began = std::chrono::steady_clock::now();
            (*source)->stop();
            (*source)->stop();
            CHECK(std::chrono::steady_clock::now() - began < std::chrono::seconds(1));
            CHECK((*source)->status().state == SourceState::running); // it did not end by itself
        }
    }

    TEST_CASE("the demo player delivers through a ring exactly what it renders") {
        SynthScore score;
        ToneSpec spec;
        spec.start_s = 0.05;
        spec.duration_s = 0.2;
        score.tones = {spec};
        score.length_s = 0.3;
        const std::vector<float> wanted = render(score, 44100.0);
        BlockRing ring(4);
        const std::unique_ptr<Source> source =
            make_synth(score, Pace::as_fast_as_possible, 44100.0);
        REQUIRE(source->start(ring).has_value());
        const test::Drained got = test::drain(*source, ring);
        CHECK(got.status.state == SourceState::ended);
        CHECK(got.samples == wanted);
    }
}

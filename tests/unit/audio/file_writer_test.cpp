#include "audio/file.h"
#include "drain.h"

#include <cmath>
#include <filesystem>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include <unistd.h>

using namespace bellhand;
using namespace bellhand::audio;
namespace fs = std::filesystem;

TEST_SUITE("audio/file_writer") {
    TEST_CASE("what is written is read back, to 24 bits; louder than full scale is held there") {
        std::vector<float> samples;
        for (int i = 0; i < 3000; ++i) {
            samples.push_back(static_cast<float>(0.9 * std::sin(0.05 * i)));
        }
        samples.push_back(1.7F);
        samples.push_back(-1.7F);
        for (const char* name : {"bellhand-written.wav", "bellhand-written.flac"}) {
            const fs::path path = fs::temp_directory_path() / (std::to_string(::getpid()) + name);
            REQUIRE(write_file(path, samples, 44100.0).has_value());
            auto source = open_file(path, Pace::as_fast_as_possible);
            REQUIRE(source.has_value());
            BlockRing ring(8);
            REQUIRE((*source)->start(ring).has_value());
            const test::Drained got = test::drain(**source, ring);
            CHECK(got.status.sample_rate_hz == 44100.0);
            REQUIRE(got.samples.size() == samples.size());
            for (std::size_t i = 0; i < 3000; ++i) {
                REQUIRE(std::abs(got.samples[i] - samples[i]) < 2e-7F);
            }
            CHECK(got.samples[3000] > 0.9999F);
            CHECK(got.samples[3001] == -1.0F);
            fs::remove(path);
        }
    }

    TEST_CASE("what cannot be written is told in one sentence") {
        const std::vector<float> samples(1000, 0.1F);
        const auto ending = write_file("sound.mp7", samples, 48000.0);
        REQUIRE_FALSE(ending.has_value());
        CHECK(ending.error().kind == ErrorKind::usage);
        CHECK(ending.error().message ==
              "'sound.mp7' must end in .wav or .flac to be written as sound.");
        const auto nowhere = write_file("/no/such/folder/a.wav", samples, 48000.0);
        REQUIRE_FALSE(nowhere.has_value());
        CHECK(nowhere.error().message.find("'/no/such/folder/a.wav' cannot be written") == 0);
    }
}

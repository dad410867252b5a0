#include "audio/file.h"

#include <csignal>
#include <filesystem>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include <sys/resource.h>
#include <unistd.h>

using namespace bellhand;
using namespace bellhand::audio;
namespace fs = std::filesystem;

TEST_SUITE("audio/file_writer on a full disk") {
    TEST_CASE("what cannot be written completely is told in one sentence, and no half file stays") {
        const std::vector<float> samples(1000, 0.1F);
        const fs::path path =
            fs::temp_directory_path() / (std::to_string(::getpid()) + "bellhand-full.wav");
        rlimit usual{};
        ::getrlimit(RLIMIT_FSIZE, &usual);
        const rlimit small{1000, usual.rlim_max}; // as if the disk were full after 1000 bytes
        auto* const before = std::signal(SIGXFSZ, SIG_IGN);
        ::setrlimit(RLIMIT_FSIZE, &small);
        const auto full = write_file(path, samples, 48000.0);
        ::setrlimit(RLIMIT_FSIZE, &usual);
        std::signal(SIGXFSZ, before);
        REQUIRE_FALSE(full.has_value());
        CHECK(full.error().message ==
              "'" + path.string() + "' could not be written completely: is the disk full?");
        CHECK_FALSE(fs::exists(path));
    }
}

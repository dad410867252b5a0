#include "audio/device.h"

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <thread>

#include <doctest/doctest.h>

#include <unistd.h>

using namespace bellhand;
using namespace bellhand::audio;
namespace fs = std::filesystem;

namespace {

/// Makes the real sound libraries see a computer without any sound device; before their first use.
class NoSoundDevices {
public:
    NoSoundDevices()
        : folder_(fs::temp_directory_path() / ("bellhand-none-" + std::to_string(::getpid()))) {
        fs::create_directories(folder_);
        // Names without a device behind them, as on any computer: PortAudio 19.6 does not survive none at all.
        std::ofstream(folder_ / "asound.conf")
            << "pcm.one { type hw card 98 }\npcm.two { type hw card 99 }\n";
        ::setenv("ALSA_CONFIG_PATH", (folder_ / "asound.conf").c_str(), 1);
        ::setenv("HOME", folder_.c_str(), 1);
        ::setenv("XDG_RUNTIME_DIR", folder_.c_str(), 1);
        ::setenv("PULSE_SERVER", ("unix:" + (folder_ / "nobody").string()).c_str(), 1);
        ::setenv("JACK_NO_START_SERVER", "1", 1);
        ::setenv("JACK_DEFAULT_SERVER", "bellhand-nobody", 1);
    }
    ~NoSoundDevices() {
        std::error_code ignored;
        fs::remove_all(folder_, ignored);
    }
    NoSoundDevices(const NoSoundDevices&) = delete;
    NoSoundDevices& operator=(const NoSoundDevices&) = delete;

private:
    fs::path folder_;
};

/// What a piece of code writes to the standard error stream.
template <typename Code>
std::string stderr_of(Code code) {
    const fs::path path =
        fs::temp_directory_path() / ("bellhand-stderr-" + std::to_string(::getpid()));
    const int saved = ::dup(STDERR_FILENO);
    REQUIRE(std::freopen(path.c_str(), "w", stderr) != nullptr);
    code();
    std::fflush(stderr);
    ::dup2(saved, STDERR_FILENO);
    ::close(saved);
    std::ifstream file(path);
    std::string text((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
    fs::remove(path);
    return text;
}

} // namespace

TEST_SUITE("faults/device_none") {
    TEST_CASE("a computer without a sound device gives an empty list, a source that waits, and a "
              "quiet stderr") {
        const NoSoundDevices none;
        const std::string noise = stderr_of([] {
            const auto devices = list_devices();
            REQUIRE(devices.has_value());
            CHECK(devices->empty());

            auto source = open_device({});
            REQUIRE(source.has_value());
            BlockRing ring(16);
            REQUIRE((*source)->start(ring).has_value());
            const std::string wanted =
                "No sound input was found; one that is plugged in is taken by itself.";
            for (int i = 0; i < 1000 && (*source)->status().message != wanted; ++i) {
                std::this_thread::sleep_for(std::chrono::milliseconds(10));
            }
            CHECK((*source)->status().state == SourceState::waiting);
            CHECK((*source)->status().message == wanted);
            const auto began = std::chrono::steady_clock::now();
            (*source)->stop();
            CHECK(std::chrono::steady_clock::now() - began < std::chrono::seconds(4));
        });
        CHECK(noise == "");

        DeviceChoice choice;
        choice.index = 3;
        const auto by_index = open_device(choice);
        REQUIRE_FALSE(by_index.has_value());
        CHECK(by_index.error().kind == ErrorKind::usage);
        choice.index = -1;
        choice.channel = -2;
        REQUIRE_FALSE(open_device(choice).has_value());
        choice.channel = 1;
        choice.name = "some microphone"; // could still come
        CHECK(open_device(choice).has_value());
    }
}

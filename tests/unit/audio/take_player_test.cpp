#include "audio/take_player.h"

#include "audio/file.h"
#include "audio/reference_sound.h"
#include "pitch/estimator.h"
#include "support/fake_loudspeaker.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <numbers>

#include <doctest/doctest.h>

#include <unistd.h>

using namespace bellhand;
using namespace bellhand::audio;
namespace fs = std::filesystem;
using namespace std::chrono_literals;

namespace {

/// A file with a harmonic tone of 220 Hz in its first half and of 330 in its second.
struct Take {
    fs::path path =
        fs::temp_directory_path() / ("bellhand_take_" + std::to_string(getpid()) + ".flac");
    explicit Take(double length_s, double rate_hz = 44100.0) {
        std::vector<float> samples(static_cast<std::size_t>(length_s * rate_hz));
        double turns = 0.0;
        for (std::size_t i = 0; i < samples.size(); ++i) {
            turns += (i < samples.size() / 2 ? 220.0 : 330.0) / rate_hz;
            for (int k = 1; k <= 8; ++k) {
                samples[i] +=
                    static_cast<float>(0.1 / k * std::sin(2.0 * std::numbers::pi * k * turns));
            }
        }
        REQUIRE(write_file(path, samples, rate_hz));
    }
    ~Take() { fs::remove(path); }
    Take(const Take&) = delete;
    Take& operator=(const Take&) = delete;
};

struct Playing {
    std::shared_ptr<test::FakeLoudspeaker> speaker = std::make_shared<test::FakeLoudspeaker>();
    std::unique_ptr<TakePlayer> player;
    explicit Playing(const Take& take) {
        DevicePatience patience;
        patience.first_pause = 5ms;
        patience.longest_pause = 20ms;
        auto opened = open_take(
            take.path,
            {},
            [speaker = speaker] { return std::make_unique<test::FakeLoudspeakerDriver>(speaker); },
            patience);
        REQUIRE(opened);
        player = std::move(*opened);
    }
    template <typename Condition>
    bool until(Condition condition) const {
        for (int i = 0; i < 10000; ++i) {
            if (condition(player->status())) {
                return true;
            }
            std::this_thread::sleep_for(1ms);
        }
        return false;
    }
};

/// What was played, without the silence before and after.
std::vector<float> sounding(std::vector<float> played) {
    const auto loud = [](float sample) { return std::abs(sample) > 1e-3F; };
    const auto first = std::find_if(played.begin(), played.end(), loud);
    const auto last = std::find_if(played.rbegin(), played.rend(), loud).base();
    return first < last ? std::vector<float>(first, last) : std::vector<float>{};
}

double median_hz(std::span<const float> samples, double rate_hz) {
    auto estimator = pitch::make_estimator({.sample_rate_hz = rate_hz});
    REQUIRE(estimator);
    std::vector<double> found;
    pitch::PitchFrame frame;
    while (!samples.empty()) {
        samples = samples.subspan((*estimator)->push(samples));
        while ((*estimator)->frame(frame)) {
            if (frame.judged_hz > 0.0) {
                found.push_back(frame.judged_hz);
            }
        }
    }
    REQUIRE(!found.empty());
    std::nth_element(
        found.begin(), found.begin() + static_cast<std::ptrdiff_t>(found.size() / 2), found.end());
    return found[found.size() / 2];
}

} // namespace

TEST_SUITE("audio/take_player") {
    TEST_CASE("at any speed a take lasts as long as it should and keeps its pitch") {
        const Take take(1.6);
        for (const double speed : {1.0, 0.5, 0.75}) {
            CAPTURE(speed);
            Playing playing(take);
            playing.player->set_speed(speed);
            playing.player->play();
            REQUIRE(playing.until([](const TakeStatus& s) { return s.ended; }));
            const std::vector<float> sound = sounding(playing.speaker->taken());
            CHECK(static_cast<double>(sound.size()) / 48000.0 ==
                  doctest::Approx(1.6 / speed).epsilon(0.03));
            const auto half = std::span<const float>(sound).first(sound.size() * 2 / 5);
            const auto other = std::span<const float>(sound).last(sound.size() * 2 / 5);
            CHECK(std::abs(1200.0 * std::log2(median_hz(half, 48000.0) / 220.0)) < 3.0);
            CHECK(std::abs(1200.0 * std::log2(median_hz(other, 48000.0) / 330.0)) < 3.0);
            CHECK_FALSE(playing.player->status().playing);
            CHECK(playing.player->status().position_s == doctest::Approx(1.6).epsilon(0.02));
        }
    }

    TEST_CASE("it begins at the marked place, jumps, pauses and goes on, and starts again after "
              "its end") {
        const Take take(4.0);
        Playing playing(take);
        playing.player->seek(2.5);
        CHECK(playing.player->status().position_s == 2.5);
        playing.player->play();
        REQUIRE(playing.until([](const TakeStatus& s) { return s.position_s > 2.8; }));
        playing.player->pause();
        std::this_thread::sleep_for(50ms);
        const double paused_s = playing.player->status().position_s;
        std::this_thread::sleep_for(50ms);
        CHECK(playing.player->status().position_s == paused_s);
        CHECK(std::abs(1200.0 * std::log2(median_hz(sounding(playing.speaker->taken()), 48000.0) /
                                          330.0)) < 3.0);
        playing.player->seek(3.7);
        playing.player->play();
        REQUIRE(playing.until([](const TakeStatus& s) { return s.ended; }));
        playing.player->play();
        REQUIRE(playing.until(
            [](const TakeStatus& s) { return s.position_s > 0.05 && s.position_s < 3.0; }));
    }

    TEST_CASE("nothing it plays exceeds the limit of what the program sounds") {
        const fs::path path =
            fs::temp_directory_path() / ("bellhand_loud_" + std::to_string(getpid()) + ".wav");
        std::vector<float> samples(24000);
        for (std::size_t i = 0; i < samples.size(); ++i) {
            samples[i] = i % 200 < 100 ? 0.99F : -0.99F;
        }
        REQUIRE(write_file(path, samples, 48000.0));
        const auto speaker = std::make_shared<test::FakeLoudspeaker>();
        auto player = open_take(
            path, {}, [speaker] { return std::make_unique<test::FakeLoudspeakerDriver>(speaker); });
        REQUIRE(player);
        (*player)->play();
        for (int i = 0; i < 5000 && !(*player)->status().ended; ++i) {
            std::this_thread::sleep_for(1ms);
        }
        player->reset();
        float most = 0.0F;
        for (const float sample : speaker->taken()) {
            most = std::max(most, std::abs(sample));
        }
        CHECK(most > 0.2F);
        CHECK(most <= kLoudestPeak);
        fs::remove(path);
    }

    TEST_CASE("a device that goes away is waited for, and the take goes on where it was") {
        const Take take(60.0);
        Playing playing(take);
        playing.player->play();
        REQUIRE(playing.until([](const TakeStatus& s) { return s.position_s > 0.3; }));
        playing.speaker->there = false;
        REQUIRE(
            playing.until([](const TakeStatus& s) { return s.output == SourceState::waiting; }));
        // The device itself ends a moment after its loss was told; then an attempt to take it again fails.
        REQUIRE(playing.until([](const TakeStatus& s) {
            return s.message.find("not there") != std::string::npos ||
                   s.message.find("No sound output") != std::string::npos;
        }));
        const double lost_s = playing.player->status().position_s;
        playing.speaker->there = true;
        REQUIRE(playing.until([&](const TakeStatus& s) { return s.position_s > lost_s + 0.1; }));
        CHECK(playing.speaker->opened.load() >= 2);
    }

    TEST_CASE("what is no sound file is refused with a sentence") {
        const auto missing = open_take("/no/such/take.flac", {}, [] {
            return std::make_unique<test::FakeLoudspeakerDriver>(
                std::make_shared<test::FakeLoudspeaker>());
        });
        REQUIRE_FALSE(missing);
        CHECK(missing.error().message == "There is no file '/no/such/take.flac'.");
    }
}

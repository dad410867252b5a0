#include "audio/reference_player.h"

#include "audio/latest_value.h"
#include "measure.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <thread>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::audio;

namespace {

constexpr double kRateHz = 48000.0;

std::vector<float> play(ReferencePlayer& player, double seconds, std::size_t buffer = 128) {
    std::vector<float> out(static_cast<std::size_t>(seconds * kRateHz));
    for (std::size_t done = 0; done < out.size(); done += buffer) {
        player.fill(std::span<float>(out).subspan(done, std::min(buffer, out.size() - done)));
    }
    return out;
}

std::span<const float> part(const std::vector<float>& samples, double from_s, double to_s) {
    const auto first = static_cast<std::size_t>(from_s * kRateHz);
    return std::span<const float>(samples).subspan(
        first, static_cast<std::size_t>(to_s * kRateHz) - first);
}

double peak(std::span<const float> samples) {
    double out = 0.0;
    for (const float sample : samples) {
        out = std::max(out, std::abs(static_cast<double>(sample)));
    }
    return out;
}

double steepest(std::span<const float> samples) {
    double out = 0.0;
    for (std::size_t i = 1; i < samples.size(); ++i) {
        out = std::max(
            out, std::abs(static_cast<double>(samples[i]) - static_cast<double>(samples[i - 1])));
    }
    return out;
}

} // namespace

TEST_SUITE("audio/reference_player") {
    TEST_CASE("without a wish there is silence") {
        ReferencePlayer player;
        player.prepare(kRateHz, 0);
        CHECK(peak(play(player, 0.2)) == 0.0);
    }

    TEST_CASE("a drone has its pitch and level in both colours, and fades in and out") {
        for (const ReferenceColour colour :
             {ReferenceColour::soft_sawtooth, ReferenceColour::horn}) {
            ReferencePlayer player;
            player.prepare(kRateHz, 0);
            ReferenceSound sound;
            sound.drone_hz[0] = 174.614;
            sound.drone_dbfs = -40.0;
            sound.colour = colour;
            player.want(sound);
            const std::vector<float> on = play(player, 1.2);
            CHECK(std::abs(measured::rms_dbfs(part(on, 0.6, 1.2)) + 40.0) < 0.3);
            CHECK(peak(part(on, 0.0, 0.002)) < 0.05 * peak(part(on, 0.6, 1.2)));
            for (const int harmonic : {1, 2, 3}) {
                const double hz = measured::line_hz(part(on, 0.6, 1.2), kRateHz, harmonic * 174.7);
                CHECK(std::abs(measured::cents(hz, harmonic * 174.614)) < 0.02);
            }
            sound.drone_hz[0] = 0.0;
            player.want(sound);
            const std::vector<float> off = play(player, 1.5);
            CHECK(steepest(off) < 1.2 * steepest(on));
            CHECK(peak(part(off, 1.2, 1.5)) == 0.0);
        }
    }

    TEST_CASE("a change of pitch is made in silence, without a click") {
        ReferencePlayer player;
        player.prepare(kRateHz, 0);
        ReferenceSound sound;
        sound.drone_hz = {110.0, 165.0, 0.0, 0.0};
        player.want(sound);
        const std::vector<float> before = play(player, 1.0);
        sound.drone_hz[0] = 123.47;
        player.want(sound);
        const std::vector<float> after = play(player, 2.5);
        CHECK(steepest(after) < 1.5 * steepest(before));
        CHECK(std::abs(measured::cents(measured::line_hz(part(after, 1.5, 2.5), kRateHz, 123.5),
                                       123.47)) < 0.1);
        CHECK(measured::line_dbfs(part(after, 1.5, 2.5), kRateHz, 110.0) < -75.0);
        CHECK(measured::line_dbfs(part(after, 1.5, 2.5), kRateHz, 165.0) > -55.0);
    }

    TEST_CASE("a reference note sounds once for as long as was asked, each time it is requested") {
        ReferencePlayer player;
        player.prepare(kRateHz, 0);
        ReferenceSound sound;
        sound.note_hz = 220.0;
        sound.note_s = 0.5;
        for (int i = 0; i < 2; ++i) {
            ++sound.note_request;
            player.want(sound);
            player.want(sound); // the same request again is no new note
            const std::vector<float> out = play(player, 1.6);
            CHECK(measured::rms_dbfs(part(out, 0.25, 0.5)) > -40.0);
            CHECK(peak(part(out, 1.4, 1.6)) == 0.0);
        }
    }

    TEST_CASE("beats come in tempo, to the sample, and the first of a bar is marked") {
        ReferencePlayer player;
        player.prepare(kRateHz, 5);
        ReferenceSound sound;
        sound.beats_per_minute = 90.0; // 32000 samples
        sound.beats_in_bar = 3;
        player.want(sound);
        const std::vector<float> out = play(player, 4.2, 100);
        std::vector<Beat> beats;
        for (Beat beat; player.beats().try_pop(beat);) {
            beats.push_back(beat);
        }
        REQUIRE(beats.size() == 7);
        for (std::size_t i = 0; i < beats.size(); ++i) {
            CHECK(beats[i].sample == 32000 * i);
            CHECK(beats[i].number == i);
            CHECK(beats[i].in_bar == static_cast<int>(i % 3));
            CHECK(beats[i].stream == 5);
            const double at_s = static_cast<double>(beats[i].sample) / kRateHz;
            if (at_s + 0.3 < 4.2) {
                CHECK(measured::rms_dbfs(part(out, at_s, at_s + 0.02)) > -45.0);
                CHECK(peak(part(out, at_s + 0.2, at_s + 0.3)) < 1e-4);
            }
        }
    }

    TEST_CASE("whatever is asked for, the peak stays 12 dB under full scale") {
        ReferencePlayer player;
        player.prepare(kRateHz, 0);
        ReferenceSound sound;
        sound.drone_hz = {60.0, 120.0, 180.0, 240.0};
        sound.drone_dbfs = 20.0;
        sound.note_hz = 300.0;
        sound.note_dbfs = 0.0;
        sound.note_request = 1;
        sound.beats_per_minute = 300.0;
        sound.beat_dbfs = 40.0;
        player.want(sound);
        const std::vector<float> out = play(player, 3.0);
        CHECK(peak(out) <= static_cast<double>(kLoudestPeak));
        CHECK(peak(out) > 0.2);
    }

    TEST_CASE("wishes that make no sense are silence") {
        ReferencePlayer player;
        player.prepare(kRateHz, 0);
        const double nan = std::numeric_limits<double>::quiet_NaN();
        ReferenceSound sound;
        sound.drone_hz = {nan, -5.0, 1e9, std::numeric_limits<double>::infinity()};
        sound.note_hz = 440.0;
        sound.note_s = nan;
        sound.note_request = 1;
        sound.beats_per_minute = nan;
        player.want(sound);
        CHECK(peak(play(player, 0.3)) == 0.0);
        sound.drone_hz = {220.0, 0.0, 0.0, 0.0};
        sound.drone_dbfs = nan;
        sound.beats_per_minute = 1e7;
        player.want(sound);
        CHECK(peak(play(player, 0.3)) == 0.0);
    }

    TEST_CASE("a reader gets whole values, the newest last, however fast they are written") {
        struct Pair {
            std::uint64_t a = 0;
            std::uint64_t b = 0;
        };
        LatestValue<Pair> value;
        Pair seen;
        CHECK_FALSE(value.read(seen));
        std::thread writer([&] {
            for (std::uint64_t i = 1; i <= 200000; ++i) {
                value.write({i, ~i});
            }
        });
        std::uint64_t torn = 0;
        std::uint64_t backwards = 0;
        std::uint64_t last = 0;
        while (last < 200000) {
            if (value.read(seen)) {
                torn += seen.b == ~seen.a ? 0U : 1U;
                backwards += seen.a > last ? 0U : 1U;
                last = seen.a;
            }
        }
        writer.join();
        CHECK(torn == 0);
        CHECK(backwards == 0);
        CHECK_FALSE(value.read(seen));
    }
}

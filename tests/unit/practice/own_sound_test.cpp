#include "practice/own_sound.h"

#include "audio/reference_player.h"
#include "support/signals.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

/// Two devices with clocks of their own, in one second's steps of a pretended steady clock.
struct TwoDevices {
    double output_rate_hz = 48000.0;
    double output_drift = 0.0;     ///< its second is longer by this share
    double microphone_drift = 0.0; ///< likewise
    double output_start_s = 100.0; ///< clock when sample 0 was handed over
    double microphone_start_s = 100.2;
    double late_s = 0.004; ///< blocks cross up to so much late
    test::Random random{"two devices"};
    audio::ReferencePlayer player;
    practice::OwnSound own;
    std::uint64_t written = 0;
    std::uint64_t captured = 0;

    void begin(const audio::ReferenceSound& sound) {
        player.prepare(output_rate_hz, 1);
        player.want(sound);
    }

    /// Clock time at which output sample `sample` is handed over.
    [[nodiscard]] double output_clock(std::uint64_t sample) const {
        return output_start_s + static_cast<double>(sample) / output_rate_hz * (1.0 + output_drift);
    }
    /// Session second of the captured sound that arrives at clock time `clock_s`.
    [[nodiscard]] double session_at(double clock_s) const {
        return (clock_s - microphone_start_s) / (1.0 + microphone_drift);
    }

    void run_until(double clock_s, std::vector<practice::HeardBeat>& beats) {
        for (;;) {
            const double out_s = output_clock(written + 128);
            const double in_s = microphone_start_s + static_cast<double>(captured + 128) / 48000.0 *
                                                         (1.0 + microphone_drift);
            if (std::min(out_s, in_s) > clock_s) {
                return;
            }
            if (out_s <= in_s) {
                std::vector<float> samples(128);
                audio::PlayedBlock block;
                player.fill(samples, &block);
                block.first_sample = written;
                block.count = 128;
                block.sample_rate_hz = output_rate_hz;
                block.stream = 1;
                block.clock_s = out_s + random.between(0.0, late_s);
                (void)own.played().try_push(block);
                written += 128;
            } else {
                audio::Block block;
                block.first_sample = captured;
                block.count = 128;
                block.sample_rate_hz = 48000.0;
                block.clock_s = in_s + random.between(0.0, late_s);
                own.follow();
                for (audio::Beat beat; player.beats().try_pop(beat);) {
                    own.add_beat(beat);
                }
                own.hear(block, static_cast<double>(captured) / 48000.0, false);
                captured += 128;
                for (practice::HeardBeat beat; own.next_beat(beat);) {
                    beats.push_back(beat);
                }
            }
        }
    }
};

audio::ReferenceSound metronome(double per_minute) {
    audio::ReferenceSound sound;
    sound.beats_per_minute = per_minute;
    sound.beats_in_bar = 3;
    return sound;
}

} // namespace

TEST_SUITE("practice/own_sound") {
    TEST_CASE("each beat is told where it lies in the captured sound, though blocks come late and "
              "the clocks differ") {
        TwoDevices devices;
        devices.output_rate_hz = 44100.0;
        devices.output_drift = 120e-6;
        devices.microphone_drift = -80e-6;
        devices.begin(metronome(100.0));
        devices.own.set_reported_latency(0.037);
        std::vector<practice::HeardBeat> beats;
        devices.run_until(130.0, beats);
        REQUIRE(beats.size() == 50);
        for (std::size_t i = 0; i < beats.size(); ++i) {
            CHECK(beats[i].number == i);
            CHECK(beats[i].in_bar == static_cast<int>(i % 3));
            CHECK_FALSE(beats[i].measured);
            const auto sample =
                static_cast<std::uint64_t>(std::ceil(0.6 * 44100.0 * static_cast<double>(i)));
            const double truth_s = devices.session_at(devices.output_clock(sample)) + 0.037;
            CHECK(std::abs(beats[i].time_s - truth_s) < 0.0015);
        }
    }

    TEST_CASE("beats of an output that was lost are not told as beats of the next") {
        TwoDevices devices;
        devices.begin(metronome(60.0));
        std::vector<practice::HeardBeat> beats;
        devices.run_until(103.0, beats);
        beats.clear();
        devices.own.add_beat({.sample = 1, .number = 99, .in_bar = 0, .stream = 0});
        devices.run_until(105.5, beats);
        REQUIRE(beats.size() >= 2);
        CHECK(std::none_of(beats.begin(), beats.end(), [](const practice::HeardBeat& beat) {
            return beat.number == 99;
        }));
    }

    TEST_CASE("without the pace of time (a file read at once) no beat is told") {
        practice::OwnSound own;
        own.add_beat({.sample = 0, .number = 0, .in_bar = 0, .stream = 0});
        audio::Block block;
        block.sample_rate_hz = 48000.0;
        block.count = 128;
        for (int i = 0; i < 1000; ++i) {
            own.hear(block, 128.0 * i / 48000.0, false);
        }
        practice::HeardBeat beat;
        CHECK_FALSE(own.next_beat(beat));
    }
}

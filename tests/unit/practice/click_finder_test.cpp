#include "practice/click_finder.h"

#include "audio/reference_player.h"
#include "support/signals.h"
#include "support/signals_room.h"

#include <cmath>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

/// The program's own metronome, as it is captured `way_s` later in a room, and when each beat was written.
struct Captured {
    std::vector<float> sound;
    std::vector<audio::Beat> beats;
};

Captured metronome(double way_s, double noise_db, double room_s, double rate_hz = 48000.0) {
    audio::ReferencePlayer player;
    player.prepare(rate_hz, 0);
    audio::ReferenceSound wanted;
    wanted.beats_per_minute = 132.0;
    player.want(wanted);
    std::vector<float> played(static_cast<std::size_t>(4.5 * rate_hz));
    for (std::size_t at = 0; at + 128 <= played.size(); at += 128) {
        player.fill(std::span<float>(played).subspan(at, 128));
    }
    Captured out;
    for (audio::Beat beat; player.beats().try_pop(beat);) {
        out.beats.push_back(beat);
    }
    test::Random random("clicks");
    test::Samples late(played.size(), 0.0);
    const auto delay = static_cast<std::size_t>(std::lround(way_s * rate_hz));
    for (std::size_t i = delay; i < late.size(); ++i) {
        late[i] = static_cast<double>(played[i - delay]);
    }
    if (room_s > 0.0) {
        test::Room room;
        room.rt60_s = room_s;
        late = test::convolved(late, test::impulse_response(room, rate_hz, random));
    }
    for (const double sample : late) {
        out.sound.push_back(
            static_cast<float>(sample + std::pow(10.0, noise_db / 20.0) * random.gauss()));
    }
    return out;
}

void look_through(practice::ClickFinder& finder,
                  const Captured& captured,
                  double rate_hz = 48000.0) {
    finder.reset_sound(rate_hz);
    std::size_t next = 0;
    for (std::size_t at = 0; at + 128 <= captured.sound.size(); at += 128) {
        while (next < captured.beats.size() && captured.beats[next].sample < at) {
            finder.expect(static_cast<double>(captured.beats[next].sample) / rate_hz,
                          captured.beats[next].in_bar == 0);
            ++next;
        }
        finder.hear(std::span<const float>(captured.sound).subspan(at, 128),
                    static_cast<double>(at) / rate_hz);
    }
}

} // namespace

TEST_SUITE("practice/click_finder") {
    TEST_CASE("the way of the clicks is measured within a millisecond, at any rate and length") {
        for (const double rate_hz : {16000.0, 44100.0, 48000.0}) {
            for (const double way_s : {0.012, 0.0437, 0.195}) {
                CAPTURE(rate_hz);
                CAPTURE(way_s);
                practice::ClickFinder finder;
                look_through(finder, metronome(way_s, -70.0, 0.0, rate_hz), rate_hz);
                REQUIRE(finder.known());
                CHECK(std::abs(finder.way_s() - way_s) < 0.001);
            }
        }
    }

    TEST_CASE("in a room and in noise it is still good to three milliseconds") {
        practice::ClickFinder finder;
        look_through(finder, metronome(0.06, -55.0, 0.5));
        REQUIRE(finder.known());
        CHECK(std::abs(finder.way_s() - 0.06) < 0.003);
    }

    TEST_CASE("with headphones nothing is found, and nothing is claimed") {
        practice::ClickFinder finder;
        Captured silent = metronome(0.05, -50.0, 0.0);
        test::Random random("no clicks");
        for (float& sample : silent.sound) {
            sample = static_cast<float>(0.01 * random.gauss());
        }
        look_through(finder, silent);
        CHECK_FALSE(finder.known());
    }

    TEST_CASE("another output is measured anew") {
        practice::ClickFinder finder;
        look_through(finder, metronome(0.05, -70.0, 0.0));
        CHECK(finder.known());
        finder.reset_way();
        CHECK_FALSE(finder.known());
        look_through(finder, metronome(0.11, -70.0, 0.0));
        REQUIRE(finder.known());
        CHECK(std::abs(finder.way_s() - 0.11) < 0.001);
    }
}

#include "bleed/tone_remover.h"

#include "support/loudspeaker.h"

#include <algorithm>
#include <limits>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;
using bleed::State;
using test::Loudspeaker;

namespace {

double
level_db(const std::vector<float>& samples, double from_s, double to_s, double rate_hz = 48000.0) {
    double sum = 0.0;
    const auto first = static_cast<std::size_t>(from_s * rate_hz);
    const auto last = static_cast<std::size_t>(to_s * rate_hz);
    for (std::size_t i = first; i < last; ++i) {
        sum += static_cast<double>(samples[i]) * static_cast<double>(samples[i]);
    }
    return 10.0 * std::log10(sum / static_cast<double>(last - first) + 1e-20);
}

std::vector<float> sum(std::vector<float> a, const std::vector<float>& b, float sign = 1.0F) {
    for (std::size_t i = 0; i < a.size(); ++i) {
        a[i] += sign * b[i];
    }
    return a;
}

std::vector<float> noise(double length_s, double level_db, const std::string& seed) {
    test::Random random(seed);
    std::vector<float> out(static_cast<std::size_t>(length_s * 48000.0));
    for (float& sample : out) {
        sample = static_cast<float>(std::pow(10.0, level_db / 20.0) * random.gauss());
    }
    return out;
}

/// A horn at `hz`, twice the drone's level, from `from_s` to the end.
std::vector<float> horn(double hz, double from_s, double length_s) {
    Loudspeaker horn;
    horn.hz = {hz};
    horn.clock = 0.0;
    horn.start_s = from_s;
    horn.level = 0.2;
    horn.seed = "horn";
    return horn.heard(length_s);
}

} // namespace

TEST_SUITE("bleed/tone_remover") {
    TEST_CASE("while nothing is played the sound passes as it is") {
        bleed::ToneRemover remover(48000.0);
        const std::vector<float> sound = horn(200.0, 0.1, 0.5);
        CHECK(test::removed(remover, {.hz = {}}, sound) == sound);
        CHECK(remover.report().state == State::silent);
    }

    TEST_CASE(
        "a drone is silenced from its first moment on, learnt within a second, and the other clock "
        "found") {
        for (const double rate_hz : {16000.0, 44100.0, 48000.0, 96000.0}) {
            CAPTURE(rate_hz);
            bleed::ToneRemover remover(rate_hz);
            Loudspeaker drone;
            drone.rate_hz = rate_hz;
            const std::vector<float> left = test::removed(remover, drone, drone.heard(2.5));
            CHECK(level_db(left, 0.25, 1.0, rate_hz) <
                  level_db(drone.heard(2.5), 0.5, 1.0, rate_hz) - 40.0);
            CHECK(level_db(left, 1.0, 2.5, rate_hz) <
                  level_db(drone.heard(2.5), 0.5, 1.0, rate_hz) - 40.0);
            CHECK(remover.report().state == State::removed);
            CHECK(remover.report().clock_ppm == doctest::Approx(60.0).epsilon(0.02));
            CHECK(10.0 * std::log10(remover.report().heard) ==
                  doctest::Approx(level_db(drone.heard(2.5), 1.5, 2.5, rate_hz)).epsilon(0.02));
        }
    }

    TEST_CASE("a horn exactly in unison, in tune or a little beside it, comes through whole") {
        for (const double cents : {0.0, 0.4, -7.0}) {
            CAPTURE(cents);
            bleed::ToneRemover remover(48000.0);
            const Loudspeaker drone;
            const double length_s = 4.5;
            const std::vector<float> played =
                horn(220.0 * (1.0 + drone.clock) * std::exp2(cents / 1200.0), 2.2, length_s);
            const std::vector<float> room = noise(length_s, -60.0, "room");
            const std::vector<float> out =
                test::removed(remover, drone, sum(sum(drone.heard(length_s), played), room));
            // What is not the horn, while the horn sounds: 30 dB under it, where the drone was 6.
            CHECK(level_db(sum(out, played, -1.0F), 2.5, 4.4) < level_db(played, 2.5, 4.4) - 30.0);
            CHECK(std::abs(level_db(out, 2.5, 4.4) - level_db(played, 2.5, 4.4)) < 0.2);
            CHECK(remover.report().changes == 0);
        }
    }

    TEST_CASE("two voices a tempered fifth apart, whose harmonics beat slowly, are told apart") {
        bleed::ToneRemover remover(48000.0);
        Loudspeaker drone;
        drone.hz = {196.0, 196.0 * std::exp2(7.0 / 12.0)};
        const std::vector<float> left =
            test::removed(remover, drone, sum(drone.heard(5.0), noise(5.0, -70.0, "room")));
        CHECK(level_db(left, 3.0, 5.0) < level_db(drone.heard(5.0), 3.0, 5.0) - 30.0);
        CHECK(remover.report().clock_ppm == doctest::Approx(60.0).epsilon(0.1));
    }

    TEST_CASE("a turned knob is noticed as a change of the way, and learnt anew") {
        bleed::ToneRemover remover(48000.0);
        const Loudspeaker drone;
        std::vector<float> sound = sum(drone.heard(6.0), noise(6.0, -70.0, "room"));
        for (std::size_t i = 3 * 48000; i < sound.size(); ++i) {
            sound[i] *= 0.5F;
        }
        const std::vector<float> left = test::removed(remover, drone, sound);
        CHECK(level_db(left, 4.5, 6.0) < level_db(sound, 4.5, 6.0) - 30.0);
        CHECK(remover.report().changes == 1);
    }

    TEST_CASE("after the end of a tone its ringing is not let through as a note, a horn is") {
        for (const bool with_horn : {false, true}) {
            CAPTURE(with_horn);
            bleed::ToneRemover remover(48000.0);
            Loudspeaker note;
            note.end_s = 2.0;
            Loudspeaker ringing = note; // the room goes on for a while
            ringing.end_s = 2.15;
            std::vector<float> sound = sum(ringing.heard(3.0), noise(3.0, -70.0, "room"));
            if (with_horn) {
                sound = sum(sound, horn(165.0, 2.1, 3.0));
            }
            const std::vector<float> out = test::removed(remover, note, sound);
            if (with_horn) {
                CHECK(level_db(out, 2.3, 3.0) ==
                      doctest::Approx(level_db(sound, 2.3, 3.0)).epsilon(0.05));
            } else {
                CHECK(level_db(out, 2.05, 2.4) < -60.0);
            }
        }
    }

    TEST_CASE("with headphones nothing is heard, nothing is held back, and that is said") {
        bleed::ToneRemover remover(48000.0);
        const Loudspeaker drone;
        const std::vector<float> room = noise(4.0, -40.0, "room");
        const std::vector<float> out = test::removed(remover, drone, room);
        CHECK(remover.report().state == State::unheard);
        CHECK(level_db(out, 2.0, 4.0) == doctest::Approx(level_db(room, 2.0, 4.0)).epsilon(0.01));
    }

    TEST_CASE("a microphone that keeps moving cannot be learnt, and that is said") {
        bleed::ToneRemover remover(48000.0);
        const Loudspeaker drone;
        const std::vector<float> clean = drone.heard(7.0);
        std::vector<float> sound = clean; // its distance sways by 17 cm, twice a second
        for (std::size_t i = 64; i < sound.size(); ++i) {
            const double t_s = static_cast<double>(i) / 48000.0;
            const double back = 24.0 * (1.0 + std::sin(2.0 * std::numbers::pi * 2.1 * t_s));
            const auto whole = static_cast<std::size_t>(back);
            const auto share = static_cast<float>(back - std::floor(back));
            sound[i] = (1.0F - share) * clean[i - whole] + share * clean[i - whole - 1];
        }
        (void)test::removed(remover, drone, sound);
        CHECK(remover.report().state == State::stuck);
    }

    TEST_CASE("samples that are no numbers do no lasting harm") {
        bleed::ToneRemover remover(48000.0);
        const Loudspeaker drone;
        std::vector<float> sound = sum(drone.heard(4.0), noise(4.0, -70.0, "room"));
        sound[60000] = std::numeric_limits<float>::quiet_NaN();
        sound[60001] = std::numeric_limits<float>::infinity();
        const std::vector<float> left = test::removed(remover, drone, sound);
        CHECK(level_db(left, 3.0, 4.0) < level_db(drone.heard(4.0), 3.0, 4.0) - 30.0);
    }

    TEST_CASE("when the streams lose each other it is learnt anew") {
        bleed::ToneRemover remover(48000.0);
        Loudspeaker drone;
        (void)test::removed(remover, drone, drone.heard(2.0));
        CHECK(remover.report().state == State::removed);
        remover.lose_phase();
        drone.start_s = -10.0;
        drone.seed = "another way";
        const std::vector<float> left = test::removed(remover, drone, drone.heard(2.0));
        CHECK(level_db(left, 1.2, 2.0) < level_db(drone.heard(2.0), 1.2, 2.0) - 30.0);
    }
}

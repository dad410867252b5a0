#include "pitch/note_follower.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>
#include <random>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand::pitch;

namespace {

constexpr double kRate_hz = 24000.0;
constexpr int kHop = 128;

/// Six harmonics whose pitch goes its way (cents from 220 Hz at a time), with white noise 34 dB below.
std::vector<float> tone(double length_s, const std::function<double(double)>& cents_at) {
    std::mt19937 chance(11); // the same numbers with every library
    std::vector<float> out(static_cast<std::size_t>(length_s * kRate_hz));
    double phase = 0.0;
    for (std::size_t n = 0; n < out.size(); ++n) {
        const double t = static_cast<double>(n) / kRate_hz;
        phase += 2.0 * std::numbers::pi * 220.0 * std::exp2(cents_at(t) / 1200.0) / kRate_hz;
        double sum = 0.0;
        for (int k = 1; k <= 6; ++k) {
            sum += 0.1 / k * std::sin(k * phase + k * k);
        }
        const double even = static_cast<double>(chance()) / 4294967296.0 - 0.5;
        out[n] = static_cast<float>(sum + 0.006 * even);
    }
    return out;
}

double cents(double omega) {
    return 1200.0 * std::log2(omega * kRate_hz / (2.0 * std::numbers::pi) / 220.0);
}

/// Follows the sound from 0.3 s on; tells every hop: seconds, and what is known.
void follow(const std::vector<float>& sound,
            const std::function<void(double, const Following&)>& tell) {
    History history(NoteFollower::reach(kRate_hz));
    NoteFollower follower(kRate_hz, kHop);
    const auto begin = static_cast<std::size_t>(0.3 * kRate_hz);
    for (std::size_t at = 0; at + kHop <= sound.size(); at += kHop) {
        history.append({sound.data() + at, kHop});
        if (at < begin) {
            continue;
        }
        if (!follower.active()) {
            follower.start(history, 2.0 * std::numbers::pi * 220.0 / kRate_hz, begin / 2);
            continue;
        }
        tell(static_cast<double>(at + kHop) / kRate_hz, follower.advance(history));
    }
}

} // namespace

TEST_SUITE("pitch/note_follower") {
    TEST_CASE(
        "of a pitch that sways the judged deviation tells the error, neither far more nor less") {
        const auto sway = [](double t) {
            return 15.0 * std::sin(2.0 * std::numbers::pi * 6.0 * t);
        };
        int count = 0;
        int within = 0;
        int live_within = 0;
        double worst_sd = 0.0;
        follow(tone(4.0, sway), [&](double now_s, const Following& heard) {
            if (now_s < 1.0) {
                return;
            }
            CHECK_FALSE(heard.changed);
            const double off =
                cents(heard.judged_omega) - sway(now_s - heard.judged_age / kRate_hz);
            worst_sd = std::max(worst_sd, heard.judged_sd_cents);
            ++count;
            within += std::fabs(off) < heard.judged_sd_cents ? 1 : 0;
            live_within +=
                std::fabs(cents(heard.live_omega) - sway(now_s)) < heard.live_sd_cents ? 1 : 0;
        });
        MESSAGE("within one deviation " << within << " of " << count << ", which is at most "
                                        << worst_sd);
        REQUIRE(count > 500);
        CHECK(within > count / 2);
        MESSAGE("live " << live_within);
        CHECK(worst_sd < 1.0);
    }

    TEST_CASE("of a pitch that stands the judged deviation is hundredths of a cent") {
        double worst_sd = 0.0;
        follow(tone(3.0, [](double) { return 0.0; }), [&](double now_s, const Following& heard) {
            worst_sd = now_s > 1.0 ? std::max(worst_sd, heard.judged_sd_cents) : worst_sd;
        });
        MESSAGE("at most " << worst_sd << " cents");
        CHECK(worst_sd < 0.3);
    }

    TEST_CASE("a second sound that sets in softly does not end the note; one as strong does") {
        // Another tone, 330 cents higher, so much below the first.
        const auto changes = [](double below_db) {
            auto sound = tone(2.0, [](double) { return 0.0; });
            const auto other = tone(2.0, [](double) { return 330.0; });
            const auto from = static_cast<std::size_t>(kRate_hz);
            for (std::size_t n = from; n < sound.size(); ++n) {
                sound[n] += static_cast<float>(std::pow(10.0, -below_db / 20.0)) * other[n];
            }
            int count = 0;
            follow(sound, [&](double, const Following& heard) {
                count += heard.changed || heard.doubtful ? 1 : 0;
            });
            return count;
        };
        for (const double below_db : {0.0, 3.0, 6.0, 9.0}) {
            CAPTURE(below_db);
            CHECK(changes(below_db) > 0);
        }
        for (const double below_db : {15.0, 18.0}) {
            CAPTURE(below_db);
            CHECK(changes(below_db) == 0);
        }
    }
}

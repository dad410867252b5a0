#pragma once

#include "pitch/motion.h"
#include "support/signals.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

namespace bellhand::test {

/// A player who holds a note, moves the hand once, and holds on; with a jolt or without. Shares no formula with what listens:
/// movements of four shapes, skewed and uneven, a horn that answers the hand by a power of its own, lips that wander by a sum
/// of waves.
struct HandMover {
    double moves_s = 2.0;
    double bend_cents = -120.0;
    double wobble_cents = 1.0;
    double jolt_cents = 0.0;
    double jolt_at_s = 0.0; ///< its middle
    double jolt_s = 0.15;

    static constexpr double kAt_s = 1.2; ///< the hand sets out
    static constexpr double kAfter_s = 1.2;
    [[nodiscard]] double length_s() const { return kAt_s + moves_s + kAfter_s; }

    /// Everything but the jolt by chance: 70 to 200 cents down, in `shortest_s` to three times that.
    static HandMover any(Random& random, double shortest_s, double wobble_cents) {
        HandMover player;
        player.moves_s = shortest_s * std::pow(3.0, random.uniform());
        player.bend_cents = -random.between(70.0, 200.0);
        player.wobble_cents = wobble_cents;
        player.shape_ = static_cast<int>(random.below(4));
        player.skew_ = random.between(0.75, 1.35);
        player.answer_ = random.between(0.8, 1.3);
        player.ahead_ = {0.035 * random.gauss(), 0.02 * random.gauss()};
        double power = 0.0;
        for (Wave& wave : player.lips_) {
            wave.hz = 0.4 * std::pow(22.0, random.uniform());
            wave.cents = 1.0 / std::sqrt(wave.hz);
            wave.phase = random.between(0.0, 2.0 * std::numbers::pi);
            power += 0.5 * wave.cents * wave.cents;
        }
        for (Wave& wave : player.lips_) {
            wave.cents /= std::sqrt(power);
        }
        return player;
    }
    /// A jolt of 3 to 15 cents, 50 to 300 ms long, somewhere in the movement or just beside it.
    void jolt(Random& random) {
        jolt_cents = random.between(3.0, 15.0) * (random.uniform() < 0.5 ? -1.0 : 1.0);
        jolt_s = random.between(0.05, 0.3);
        jolt_at_s = kAt_s + random.between(-0.1, moves_s + 0.1);
    }

    /// Cents from where the note began.
    [[nodiscard]] double cents(double time_s) const {
        double lips = 0.0;
        for (const Wave& wave : lips_) {
            lips += wave.cents * std::sin(2.0 * std::numbers::pi * wave.hz * time_s + wave.phase);
        }
        const double through = (time_s - jolt_at_s) / jolt_s + 0.5;
        const double bump = jolt_cents != 0.0 && through > 0.0 && through < 1.0
                                ? std::pow(std::sin(std::numbers::pi * through), 2.0)
                                : 0.0;
        return bend_cents * std::pow(closure(time_s), answer_) + wobble_cents * lips +
               jolt_cents * bump;
    }
    /// 0 open to 1 where the hand arrives.
    [[nodiscard]] double closure(double time_s) const {
        const double x = std::pow(std::clamp((time_s - kAt_s) / moves_s, 0.0, 1.0), skew_);
        const double uneven =
            x + ahead_[0] * std::sin(2.0 * std::numbers::pi * x) +
            ahead_[1] * std::sin(3.0 * std::numbers::pi * x) * std::sin(std::numbers::pi * x);
        return shaped(std::clamp(uneven, 0.0, 1.0));
    }

    /// As the ear reports it: a hop apart, 0.3 cents of noise.
    [[nodiscard]] std::vector<pitch::PitchPoint> heard(Random& random) const {
        constexpr double kHop_s = 256.0 / 48000.0;
        std::vector<pitch::PitchPoint> points;
        for (double time_s = 0.15; time_s < length_s(); time_s += kHop_s) {
            points.push_back({time_s, cents(time_s) + 0.3 * random.gauss(), 0.3});
        }
        return points;
    }

private:
    struct Wave {
        double hz = 1.0;
        double cents = 0.0;
        double phase = 0.0;
    };
    [[nodiscard]] double shaped(double x) const {
        switch (shape_) {
        case 0:
            return x * x * x * (10.0 - 15.0 * x + 6.0 * x * x);
        case 1:
            return 0.5 - 0.5 * std::cos(std::numbers::pi * x);
        case 2: {
            const double low = 1.0 / (1.0 + std::exp(4.0));
            return (1.0 / (1.0 + std::exp(-8.0 * (x - 0.5))) - low) / (1.0 - 2.0 * low);
        }
        default:
            return x * x * (3.0 - 2.0 * x);
        }
    }

    int shape_ = 0;
    double skew_ = 1.0;
    double answer_ = 1.0;
    std::array<double, 2> ahead_{};
    std::array<Wave, 14> lips_{};
};

} // namespace bellhand::test

// Jolts of the horn while the hand moves: told where they were put in, and not told of a quiet player. Most on pitch as the
// ear reports it, some through sound and ear. BELLHAND_BALANCE_TRIALS=1000 for more, BELLHAND_BALANCE_SEED=... for others.
#include "hand/balance.h"

#include "audio/horn_spectrum.h"
#include "core/cents.h"
#include "pitch/estimator.h"
#include "support/hand_mover.h"

#include <cmath>
#include <cstdlib>
#include <numbers>
#include <span>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;
using test::HandMover;
using test::Random;

namespace {

constexpr double kLeastJolt_cents = 6.0;

int trials(int usual) {
    const char* asked = std::getenv("BELLHAND_BALANCE_TRIALS");
    return asked != nullptr ? std::atoi(asked) : usual;
}

std::string seed() {
    const char* asked = std::getenv("BELLHAND_BALANCE_SEED");
    return asked != nullptr ? asked : "unseen";
}

struct Tally {
    int changes = 0; ///< of a quiet horn, heard as changes of the hand
    int slow = 0;    ///< of these, slow enough for a jolt to be told
    int falsely = 0; ///< with a jolt
    int jolts = 0;   ///< put in, of 6 cents and more
    int named = 0;

    [[nodiscard]] double share_named() const { return static_cast<double>(named) / jolts; }
    [[nodiscard]] double share_false() const { return static_cast<double>(falsely) / changes; }
    [[nodiscard]] std::string words() const {
        return std::to_string(named) + " of " + std::to_string(jolts) + " named, " +
               std::to_string(falsely) + " of " + std::to_string(changes) + " falsely told, " +
               std::to_string(slow) + " slow enough";
    }
};

void count_quiet(const hand::Balance& balance, Tally& tally) {
    for (const hand::HandMove& move : balance.moves) {
        ++tally.changes;
        tally.slow += move.slow ? 1 : 0;
        tally.falsely += move.jolted ? 1 : 0;
    }
}

void count_jolted(const hand::Balance& balance, const HandMover& player, Tally& tally) {
    if (std::fabs(player.jolt_cents) < kLeastJolt_cents) {
        return;
    }
    ++tally.jolts;
    for (const hand::HandMove& move : balance.moves) {
        const double off_s = std::fabs(move.jolt_at_s - player.jolt_at_s);
        if (move.jolted && off_s < 0.5 * (player.jolt_s + move.jolt_s) + 0.05) {
            ++tally.named;
            return;
        }
    }
}

Tally on_pitch(double shortest_s, double wobble_cents, int count) {
    Random random("balance " + seed() + std::to_string(shortest_s) + std::to_string(wobble_cents));
    Tally tally;
    for (int i = 0; i < count; ++i) {
        HandMover player = HandMover::any(random, shortest_s, wobble_cents);
        count_quiet(hand::balance_of(player.heard(random)), tally);
        player.jolt(random);
        count_jolted(hand::balance_of(player.heard(random)), player, tally);
    }
    return tally;
}

/// The same as sound, in the colour of a hand that closes, through the ear.
std::vector<pitch::PitchPoint> through_ear(const HandMover& player, Random& random) {
    constexpr double kRate_hz = 48000.0;
    constexpr double kF0_hz = 261.9; // partial 6 of the F horn
    constexpr std::size_t kColour = 256;
    std::vector<float> sound;
    audio::HornSpectrum spectrum;
    double phase = 0.0;
    const auto count = static_cast<std::size_t>(player.length_s() * kRate_hz);
    for (std::size_t i = 0; i < count; ++i) {
        const double time_s = static_cast<double>(i) / kRate_hz;
        if (i % kColour == 0) {
            spectrum =
                audio::horn_spectrum({kF0_hz, 0.75 * player.closure(time_s), 0.0}, 6000.0, 5);
        }
        phase += 2.0 * std::numbers::pi * kF0_hz * ratio_of_cents(player.cents(time_s)) / kRate_hz;
        double value = 0.003 * random.gauss();
        for (int k = 0; k < std::min(spectrum.count, 20); ++k) {
            value += spectrum.amplitude[static_cast<std::size_t>(k)] * std::sin((k + 1) * phase);
        }
        const double swell = std::min({1.0, time_s / 0.03, (player.length_s() - time_s) / 0.05});
        sound.push_back(static_cast<float>(0.08 * swell * value));
    }
    const auto ear = pitch::make_estimator({}).value();
    std::vector<pitch::PitchPoint> points;
    std::span<const float> rest(sound);
    while (!rest.empty()) {
        rest = rest.subspan(ear->push(rest));
        pitch::PitchFrame frame;
        if (ear->frame(frame) && frame.voiced && !frame.doubtful && frame.judged_hz > 0.0 &&
            frame.judged_time_s > 0.15 && frame.judged_time_s < player.length_s() - 0.1) {
            points.push_back({frame.judged_time_s,
                              cents_between(frame.judged_hz, kF0_hz),
                              frame.judged_sd_cents});
        }
    }
    return points;
}

} // namespace

TEST_SUITE("property/balance") {
    TEST_CASE("slow changes of the hand: jolts of 6 cents and more are named, a quiet horn is not "
              "blamed") {
        Tally all;
        for (const double wobble_cents : {0.6, 1.0, 1.4}) {
            const Tally tally = on_pitch(1.3, wobble_cents, trials(100));
            MESSAGE("wobble of " << wobble_cents << " cents: " << tally.words());
            all.changes += tally.changes;
            all.slow += tally.slow;
            all.falsely += tally.falsely;
            all.jolts += tally.jolts;
            all.named += tally.named;
        }
        CHECK(all.share_named() >= 0.9);
        CHECK(all.share_false() <= 0.02);
        CHECK(all.slow > 0.85 * all.changes);
    }

    TEST_CASE("quick changes: what may be the hand's own speed is not told") {
        const Tally tally = on_pitch(0.2, 1.0, trials(100));
        MESSAGE("quick: " << tally.words());
        CHECK(tally.share_false() <= 0.02);
    }

    TEST_CASE("the same through sound and ear") {
        Random random("balance through the ear " + seed());
        Tally tally;
        for (int i = 0; i < std::min(trials(12), 200); ++i) {
            HandMover player = HandMover::any(random, 1.3, 1.0);
            count_quiet(hand::balance_of(through_ear(player, random)), tally);
            player.jolt(random);
            count_jolted(hand::balance_of(through_ear(player, random)), player, tally);
        }
        MESSAGE("through the ear: " << tally.words());
        CHECK(tally.falsely <= 1);
        CHECK(tally.share_named() >= 0.7);
    }
}

// How hand changes are timed, on movements whose truth can be written down: half a cosine, with and without an overshoot
// that dies away, over measured-like timbres in noise. Seeds apart from those that constants were chosen on.
#include "support/heard_sound.h"
#include "support/modelled_change.h"
#include "support/signals_disturb.h"

#include <algorithm>
#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

constexpr double kRate_hz = 48000.0;
constexpr double kSettled_cents = 8.0; // as the program defines it

std::vector<float>
sound_of(const test::KnownChange& change, test::Timbre timbre, test::Random& random) {
    test::ToneShape shape;
    shape.on_s = 0.1;
    shape.off_s = 1.7;
    shape.f0_hz = [&change](double t) { return change.f0_hz(t); };
    shape.first = test::spectrum(timbre, change.from_hz, 18000.0, random);
    auto tone = test::make_tone(shape, 1.9, kRate_hz, random);
    test::add_white(tone.samples, 40.0, random);
    return test::normalised(tone.samples);
}

/// The newest measured change between the two notes of the sound.
hand::Change heard_change(const std::vector<float>& sound) {
    hand::Change out;
    for (const auto& note : test::hear_sound(sound, kRate_hz, horn::Tuning{}).notes) {
        if (note.heard.change.known) {
            out = note.heard.change;
        }
    }
    return out;
}

} // namespace

TEST_SUITE("hand/changes") {
    TEST_CASE("transition within 10 ms of the truth, settling within 15 ms") {
        test::Random random("held-out hand changes");
        constexpr int kChanges = 90;
        int known = 0;
        int transition_good = 0;
        int settling_good = 0;
        std::vector<double> transition_ms;
        std::vector<double> settling_ms;
        for (int i = 0; i < kChanges; ++i) {
            test::KnownChange change;
            change.from_hz = 120.0 * std::exp2(2.0 * random.uniform());
            change.step_cents = random.between(60.0, 250.0) * (i % 2 == 0 ? 1.0 : -1.0);
            change.moves_s = random.between(0.03, 0.25);
            change.overshoot_cents = i % 3 == 0 ? random.between(10.0, 25.0) : 0.0;
            const auto timbre = static_cast<test::Timbre>(random.below(4));
            const hand::Change heard = heard_change(sound_of(change, timbre, random));
            if (!heard.known) {
                MESSAGE("not heard: from " << change.from_hz << " Hz by " << change.step_cents
                                           << " cents in " << change.moves_s << " s");
                continue;
            }
            ++known;
            const double off = 1000.0 * std::fabs(heard.transition_s - change.transition_s());
            const double late =
                1000.0 * std::fabs(heard.settling_s - change.settling_s(kSettled_cents));
            transition_good += off <= 10.0 ? 1 : 0;
            settling_good += late <= 15.0 ? 1 : 0;
            transition_ms.push_back(off);
            settling_ms.push_back(late);
        }
        REQUIRE(known > 0);
        std::sort(transition_ms.begin(), transition_ms.end());
        std::sort(settling_ms.begin(), settling_ms.end());
        MESSAGE("of " << kChanges << " changes " << known << " heard; transition within 10 ms "
                      << transition_good << ", median " << transition_ms[transition_ms.size() / 2]
                      << " ms, worst " << transition_ms.back() << "; settling within 15 ms "
                      << settling_good << ", median " << settling_ms[settling_ms.size() / 2]
                      << " ms, worst " << settling_ms.back());
        CHECK(known >=
              0.93 * kChanges); // the rest ends in another note, or in none, before it has settled
        CHECK(transition_good >= 0.97 * known);
        CHECK(settling_good >= 0.95 * known);
    }
}

#include "hand/hand_ear.h"
#include "support/modelled_player.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

constexpr double kHop_s = 256.0 / 48000.0;

/// A held note whose pitch, level and brightness swing by hand.
struct Held {
    double drift_cents_per_s = 0.0;
    double pitch_cents = 0.0; ///< amplitude
    double level_db = 0.0;
    double bright_octaves = 0.0;
    double hz = 6.0;
    double length_s = 2.0;
};

hand::HopRing played(const Held& held) {
    hand::HopRing hops;
    test::Random random("held");
    for (double t = 0.0; t < held.length_s; t += kHop_s) {
        const double swing = std::sin(2.0 * std::numbers::pi * held.hz * t);
        hand::Hop hop;
        hop.time_s = t + 0.02;
        hop.judged_time_s = t;
        hop.voiced = true;
        hop.judged_cents = hop.live_cents =
            9000.0 + held.drift_cents_per_s * t + held.pitch_cents * swing + 0.05 * random.gauss();
        hop.level_dbfs = -20.0 + held.level_db * swing + 0.02 * random.gauss();
        hop.colour.known = true;
        hop.colour.centroid_harmonic =
            3.0 * std::exp2(held.bright_octaves * swing + 0.005 * random.gauss());
        hops.add(hop);
    }
    return hops;
}

} // namespace

TEST_SUITE("hand/steadiness") {
    TEST_CASE("drift, tremor and sway come out as they were put in") {
        const auto s = hand::steadiness_of(
            played({.drift_cents_per_s = -6.0, .pitch_cents = 5.0, .level_db = 1.0}), 0.0, 2.0);
        REQUIRE(s.known);
        CHECK(s.drift_cents_per_s == doctest::Approx(-6.0).epsilon(0.1));
        CHECK(s.tremor_cents == doctest::Approx(5.0 / std::sqrt(2.0)).epsilon(0.08));
        CHECK(s.tremor_hz == doctest::Approx(6.0).epsilon(0.05));
        CHECK(s.sway_db == doctest::Approx(1.0 / std::sqrt(2.0)).epsilon(0.08));
    }

    TEST_CASE("a hand, the lips and the breath are told apart") {
        CHECK(hand::steadiness_of(played({.pitch_cents = 6.0, .bright_octaves = 0.1}), 0.0, 2.0)
                  .sway == hand::Sway::hand);
        CHECK(hand::steadiness_of(played({.pitch_cents = 6.0, .bright_octaves = -0.1}), 0.0, 2.0)
                  .sway == hand::Sway::hand);
        CHECK(hand::steadiness_of(played({.level_db = 2.0}), 0.0, 2.0).sway == hand::Sway::lips);
        CHECK(hand::steadiness_of(played({.pitch_cents = 6.0, .level_db = 2.0}), 0.0, 2.0).sway ==
              hand::Sway::breath);
        CHECK(hand::steadiness_of(played({}), 0.0, 2.0).sway == hand::Sway::none);
        // Under 2 cents and 0.6 dB rms nothing is called a sway.
        CHECK(hand::steadiness_of(
                  played({.pitch_cents = 1.5, .level_db = 0.5, .bright_octaves = 0.1}), 0.0, 2.0)
                  .sway == hand::Sway::none);
    }

    TEST_CASE("what goes to and fro under three times a second is no tremor") {
        CHECK(
            hand::steadiness_of(played({.pitch_cents = 6.0, .hz = 3.6, .length_s = 4.0}), 0.0, 4.0)
                .tremor_hz == doctest::Approx(3.6).epsilon(0.05));
        const auto slow =
            hand::steadiness_of(played({.pitch_cents = 6.0, .hz = 2.0, .length_s = 4.0}), 0.0, 4.0);
        CHECK(slow.tremor_cents < 2.0);
        CHECK(slow.sway == hand::Sway::none);
    }

    TEST_CASE("a short note, a gap, and an empty past are not judged") {
        CHECK_FALSE(hand::steadiness_of(played({.length_s = 0.3}), 0.0, 0.3).known);
        CHECK_FALSE(hand::steadiness_of(hand::HopRing(), 0.0, 2.0).known);
        CHECK_FALSE(hand::steadiness_of(played({}), 5.0, 7.0).known);
    }
}

TEST_SUITE("hand/change") {
    TEST_CASE("how the pitch goes over, how far beyond and when it has come to rest") {
        // Down 100 cents in 60 ms, 20 cents too far, back to within 8 cents 60 ms later.
        hand::HopRing hops;
        for (double t = 0.0; t < 2.0; t += kHop_s) {
            const double way = std::clamp((t - 1.0) / 0.06, 0.0, 1.2);
            const double back = std::clamp((t - 1.1) / 0.1, 0.0, 1.0) * 0.2;
            hand::Hop hop;
            hop.time_s = hop.judged_time_s = t;
            hop.voiced = true;
            hop.judged_cents = hop.live_cents = 9000.0 - 100.0 * (way - back);
            hop.level_dbfs = -20.0;
            hops.add(hop);
        }
        const auto change = hand::change_of(hops, {0.0, 9000.0, 1.03, 2.0, 8900.0});
        REQUIRE(change.known);
        CHECK(change.step_cents == doctest::Approx(-100.0));
        CHECK(change.overshoot_cents == doctest::Approx(20.0).epsilon(0.05));
        // A tenth at 6 ms; within 8 cents when 12 of the 20 are taken back, at 160 ms.
        CHECK(change.settling_s == doctest::Approx(0.154).epsilon(0.04));
        CHECK(change.unrest_ms ==
              doctest::Approx(1000.0 * (change.settling_s - change.transition_s) + 100.0)
                  .epsilon(0.02));
    }

    TEST_CASE("the dip is against the quieter of both notes, as they are close to the change") {
        // 20 and 23 dB below full scale beside the change, 33 on the way; far off louder, which does not count.
        hand::HopRing hops;
        for (double t = 0.0; t < 2.0; t += kHop_s) {
            hand::Hop hop;
            hop.time_s = hop.judged_time_s = t;
            hop.voiced = true;
            hop.judged_cents = hop.live_cents = t < 1.0 ? 9000.0 : 8900.0;
            const double off = t - 1.0;
            hop.level_dbfs = std::fabs(off) < 0.03 ? -33.0
                             : off < 0.0           ? (off > -0.23 ? -20.0 : -5.0)
                                                   : (off < 0.23 ? -23.0 : -5.0);
            hops.add(hop);
        }
        const auto change = hand::change_of(hops, {0.0, 9000.0, 1.0, 2.0, 8900.0});
        REQUIRE(change.known);
        CHECK(change.level_dip_db == doctest::Approx(10.0).epsilon(0.001));
    }
}

TEST_SUITE("hand/match") {
    TEST_CASE("equal notes match, louder and brighter ones do not") {
        const hand::NoteColour open{true, -30.0, 600.0, -12.0};
        const auto same = hand::match_of(open, open);
        CHECK(same.known);
        CHECK(same.uneven_db == 0.0);
        const auto other = hand::match_of(open, {true, -33.0, 1200.0, -8.0});
        CHECK(other.loudness_db == doctest::Approx(-3.0));
        CHECK(other.centroid_octaves == doctest::Approx(1.0));
        CHECK(other.slope_db_per_octave == doctest::Approx(4.0));
        CHECK(other.uneven_db == doctest::Approx(std::hypot(3.0, 6.0)));
        CHECK_FALSE(hand::match_of(open, {}).known);
    }
}

TEST_SUITE("hand/open_reference") {
    TEST_CASE("learns a microphone's colour and a horn that is flat, from open notes") {
        const auto model = *hand::load_timbre_model();
        test::Random random("reference");
        auto reference = hand::unknown_player();
        hand::Colour colour;
        colour.known = true;
        colour.group_known.fill(true);
        for (int i = 0; i < 30; ++i) {
            colour.f0_hz = 100.0 * std::exp2(2.0 * random.uniform());
            colour.level_dba = random.between(-35.0, -15.0);
            const double octaves = std::log2(colour.f0_hz / model.reference_hz);
            for (std::size_t g = 0; g < hand::kGroups; ++g) {
                const auto& u = model.usual_db[g];
                // As open tones usually are, but this microphone lifts the highest group by 8 dB.
                colour.group_db[g] = u[0] + octaves * (u[1] + octaves * u[2]) +
                                     (g == 3 ? 8.0 : 0.0) + random.gauss();
            }
            colour.high_minus_low_db = -30.0 + random.gauss();
            hand::learn_open_note(reference, colour, model, -22.0 + 4.0 * random.gauss(), 8.0);
        }
        CHECK(reference.notes == 30);
        CHECK(reference.offset_cents == doctest::Approx(-22.0).epsilon(0.15));
        const double plain = hand::evidence_of(colour, model).envelope;
        const double shifted = plain - reference.envelope_shift(colour, model);
        CHECK(std::fabs(shifted - model.open_mean) < std::fabs(plain - model.open_mean));
        CHECK(shifted == doctest::Approx(model.open_mean).epsilon(0.3));
        CHECK(reference.envelope.variance_at(0.0, 0.0) <
              hand::unknown_player().envelope.variance_at(0.0, 0.0));
    }
}

TEST_SUITE("hand/hand_ear") {
    TEST_CASE("hears a modelled player's note whole: position, match and steadiness") {
        const horn::Tuning tuning;
        const test::ModelledPlayer player(tuning, {});
        hand::HandEar ear;
        ear.set_horn(player.response(), hand::calibrated_trust(), horn::fundamental_hz(tuning));
        CHECK(ear.trouble().empty());
        double time_s = 0.0;
        const auto hold = [&](int partial, double closure, horn::Note written, double level_dbfs) {
            const auto tone = player.play(partial, closure, 0.0, test::Blown::middling, {});
            const double start_s = time_s;
            hand::HandEstimate now;
            for (int i = 0; i < 150; ++i) {
                time_s += kHop_s;
                auto frame = test::frame_of(tone, time_s, level_dbfs);
                frame.onset = i == 0;
                now = ear.hear(frame);
            }
            CHECK(now.position.known);
            CHECK(now.position.partial == partial);
            const double target = horn::target_hz(written, tuning);
            return ear.note({start_s, time_s - start_s, tone.f0_hz, 0.0, target, 10.0, written});
        };
        const auto open = hold(6, 0.0, horn::nearest_written(6), -20.0);
        REQUIRE(open.heard);
        CHECK(open.estimate.position.degree == horn::Hand::open);
        CHECK(ear.reference().notes == 1);
        const auto stopped = hold(6, 0.5, {66, 1}, -24.0);
        REQUIRE(stopped.heard);
        CHECK(stopped.estimate.position.degree == horn::Hand::half);
        CHECK(ear.reference().notes == 1); // only open notes teach
        CHECK(stopped.match.known);
        CHECK(stopped.match_open_and_stopped);
        CHECK(stopped.match.loudness_db == doctest::Approx(-4.0).epsilon(0.02));
        CHECK(stopped.steadiness.known);
        CHECK(stopped.steadiness.unsteady_cents < 0.5);
    }

    TEST_CASE("a note that was not heard says so") {
        hand::HandEar ear;
        ear.set_horn(horn::hand_response({}), hand::modelled_trust(), 43.65);
        CHECK_FALSE(ear.note({0.0, 1.0, 200.0, 0.0, 200.0, 5.0, horn::nearest_written(4)}).heard);
        CHECK_FALSE(ear.hear(pitch::PitchFrame{}).position.known);
    }
}

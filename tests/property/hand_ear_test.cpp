// What must hold of the heard hand whatever sounds.
#include "support/hand_trials.h"
#include "support/heard_sound.h"
#include "support/model_hand.h"
#include "support/signals_disturb.h"

#include <cmath>
#include <limits>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

void check_sound_position(const hand::Position& position) {
    double sum = 0.0;
    for (const double share : position.degrees) {
        CHECK(share >= 0.0);
        sum += share;
    }
    CHECK(sum == doctest::Approx(1.0).epsilon(1e-6));
    CHECK(position.confidence >= 0.0);
    CHECK(position.confidence <= position.partial_share + 1e-9);
    CHECK(position.partial_share <= 1.0 + 1e-9);
    CHECK(position.low <= position.high);
    CHECK(position.closure >= 0.0);
    CHECK(position.closure <= 1.0);
    CHECK(position.partial >= hand::kFirstPartial);
    CHECK(position.partial <= hand::kLastPartial);
}

std::vector<float> tone_of(double f0_hz, double level_dbfs, std::string_view seed) {
    test::Random random(seed);
    test::ToneShape shape;
    shape.on_s = 0.1;
    shape.off_s = 1.0;
    shape.f0_hz = [f0_hz](double) { return f0_hz; };
    shape.first = test::spectrum(test::Timbre::open, f0_hz, 18000.0, random);
    auto tone = test::make_tone(shape, 1.2, 48000.0, random);
    test::add_white(tone.samples, 60.0, random);
    return test::normalised(tone.samples, level_dbfs);
}

} // namespace

TEST_SUITE("hand/whatever sounds") {
    TEST_CASE("any pitch with any timbre gives a whole posterior") {
        test::Random random("any pitch and timbre");
        const horn::Tuning tuning;
        const auto model = *hand::load_timbre_model();
        for (const auto& trust : {hand::modelled_trust(), hand::calibrated_trust()}) {
            const hand::ClosureGrid grid(horn::hand_response(tuning), trust, model);
            hand::GridLogs logs;
            for (int i = 0; i < 2000; ++i) {
                hand::Heard heard;
                heard.cents = random.between(-500.0, 6500.0);
                heard.sd_cents = random.between(0.0, 50.0);
                heard.log_odds = random.between(-5.0, 5.0);
                for (double& log : heard.by_degree) {
                    log = random.between(-3.0, 0.0);
                }
                grid.look(heard, logs);
                check_sound_position(hand::position_of(grid.prior(), logs));
            }
        }
    }

    TEST_CASE("the further a pitch lies from a clear place, the less sure is the answer") {
        const horn::Tuning tuning;
        const hand::ClosureGrid grid(
            test::known_hand(tuning), hand::calibrated_trust(), *hand::load_timbre_model());
        hand::GridLogs logs;
        // From open towards half-way to the quarter, on partials where both are clear.
        for (const int partial : {5, 6, 7}) {
            CAPTURE(partial);
            const double open = grid.place_cents(partial, 0.0);
            const double middle = 0.5 * (open + grid.place_cents(partial, 0.25));
            double before = 2.0;
            for (int step = 0; step <= 8; ++step) {
                hand::Heard heard;
                heard.cents = open + (middle - open) * step / 8.0;
                grid.look(heard, logs);
                const double confidence = hand::position_of(grid.prior(), logs).confidence;
                CHECK(confidence <= before + 1e-6);
                before = confidence;
            }
        }
        // And a pitch that is itself uncertain never makes a surer answer.
        double before = 2.0;
        for (double sd = 0.0; sd <= 40.0; sd += 4.0) {
            hand::Heard heard;
            heard.cents = grid.place_cents(6, 0.0);
            heard.sd_cents = sd;
            grid.look(heard, logs);
            const double confidence = hand::position_of(grid.prior(), logs).confidence;
            CHECK(confidence <= before + 1e-6);
            before = confidence;
        }
    }

    TEST_CASE("the same tone 20 dB softer betrays the same hand") {
        const horn::Tuning tuning;
        for (const double f0_hz : {130.9, 174.6, 165.0, 205.0, 262.0, 340.0}) {
            CAPTURE(f0_hz);
            const auto loud = test::hear_sound(tone_of(f0_hz, -14.0, "level"), 48000.0, tuning);
            const auto soft = test::hear_sound(tone_of(f0_hz, -34.0, "level"), 48000.0, tuning);
            REQUIRE(loud.notes.size() == 1);
            REQUIRE(soft.notes.size() == 1);
            const auto& a = loud.notes[0].heard.estimate;
            const auto& b = soft.notes[0].heard.estimate;
            CHECK(a.position.partial == b.position.partial);
            CHECK(a.position.degree == b.position.degree);
            CHECK(a.position.closure == doctest::Approx(b.position.closure).epsilon(0.02));
            CHECK(std::fabs(a.position.confidence - b.position.confidence) < 0.03);
            CHECK(std::fabs(a.timbre_log_odds - b.timbre_log_odds) < 1.0);
        }
    }

    TEST_CASE("silence, noise, full scale and numbers that are none do no harm") {
        test::Random random("harm");
        std::vector<float> sound(static_cast<std::size_t>(4 * 48000), 0.0F);
        for (std::size_t n = 48000; n < 96000; ++n) {
            sound[n] = static_cast<float>(0.3 * random.gauss());
        }
        for (std::size_t n = 96000; n < 144000; ++n) {
            sound[n] = n % 200 < 100 ? 1.0F : -1.0F;
        }
        for (std::size_t n = 144000; n < 146000; ++n) {
            sound[n] = n % 2 == 0 ? std::numeric_limits<float>::infinity() : std::nanf("");
        }
        const auto heard = test::hear_sound(sound, 48000.0, horn::Tuning{});
        CHECK_FALSE(heard.readings.empty());
        for (const auto& reading : heard.readings) {
            CHECK(std::isfinite(reading.hand.position.confidence));
            CHECK(std::isfinite(reading.hand.timbre_log_odds));
            if (!reading.frame.voiced) {
                CHECK_FALSE(reading.hand.position.known);
            } else if (reading.hand.position.known) {
                check_sound_position(reading.hand.position);
            }
        }
    }
}

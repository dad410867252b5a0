#include "app/calibration_hearing.h"
#include "audio/synth.h"
#include "instrument/calibration/calibration.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;

// From sound to figures: the demo player's tones through the whole analysis, truth known.
namespace {

constexpr double kF1_hz = 38.4;
constexpr std::array<double, 13> kOffset_cents{0, 0, 0, -6, 4, -3, 2, -9, -4, 1, -2, 5, 2};

audio::SynthScore score_of(const std::vector<int>& partials, std::uint64_t seed) {
    audio::SynthScore score;
    score.seed = seed;
    score.jitter_cents = 5.0;
    double at_s = 0.4;
    for (const int n : partials) {
        audio::ToneSpec tone;
        tone.start_s = at_s;
        tone.duration_s = 3.0;
        tone.f0_hz = kF1_hz * n * std::exp2(kOffset_cents[static_cast<std::size_t>(n)] / 1200.0);
        score.tones.push_back(tone);
        at_s += 3.5;
    }
    return score;
}

} // namespace

TEST_SUITE("property/calibration_sound") {
    TEST_CASE("ten tones of the demo player with a slow wander of 5 cents") {
        double worst_f1 = 0.0;
        double worst_sd = 0.0;
        std::vector<double> errors;
        int inside = 0;
        for (std::uint64_t seed = 1; seed <= 4; ++seed) {
            CAPTURE(seed);
            const auto source = audio::make_synth(score_of({8, 4, 6, 5, 9, 12, 10, 7, 3, 8}, seed),
                                                  audio::Pace::as_fast_as_possible);
            const auto heard = app::hear(*source, {*horn::parse_crook("Eb"), 430.0, {}});
            REQUIRE(heard.has_value());
            CHECK(heard->notes.size() == 10);
            instrument::CalibrationQuestion question;
            question.expected_f1_hz = 38.0;
            const auto found = instrument::calibrate_open_notes(heard->notes, question);
            REQUIRE(found.has_value());
            const double off = 1200.0 * std::log2(found->f1_hz / kF1_hz);
            worst_f1 = std::max(worst_f1, std::abs(off));
            worst_sd = std::max(worst_sd, std::abs(off) / found->f1_sd_cents);
            for (const auto& partial : found->partials) {
                if (partial.notes > 0) {
                    const double error =
                        std::abs(partial.offset_cents -
                                 kOffset_cents[static_cast<std::size_t>(partial.partial)]);
                    errors.push_back(error);
                    inside += error < 2.0 * partial.sd_cents ? 1 : 0;
                }
            }
        }
        std::sort(errors.begin(), errors.end());
        MESSAGE("worst f1 ",
                worst_f1,
                " cents (",
                worst_sd,
                " stated sd); offsets median ",
                errors[errors.size() / 2],
                ", worst ",
                errors.back(),
                ", ",
                inside,
                " of ",
                errors.size(),
                " within two stated sd");
        CHECK(worst_f1 < 2.5);
        CHECK(worst_sd < 3.0);
        CHECK(errors[errors.size() / 2] < 2.0);
        CHECK(errors.back() < 8.0);
        CHECK(inside >= static_cast<int>(errors.size() * 8 / 10));
    }
}

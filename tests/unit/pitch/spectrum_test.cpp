#include "pitch/spectrum.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;

TEST_SUITE("pitch/spectrum") {
    TEST_CASE("of more peaks than can be kept the strongest are") {
        // 130 tones 60 Hz apart from 200 Hz, all equal, and one ten times as strong above them all.
        constexpr double kRate_hz = 24000.0;
        std::mt19937 chance(3);
        pitch::Spectrum ear(kRate_hz, 0.2);
        std::vector<float> sound(static_cast<std::size_t>(ear.window()));
        for (int tone = 0; tone <= 130; ++tone) {
            const double hz = 200.0 + 60.0 * tone;
            const double level = tone == 130 ? 0.02 : 0.002;
            const double turn = 6.28 * static_cast<double>(chance()) / 4294967296.0;
            for (std::size_t n = 0; n < sound.size(); ++n) {
                sound[n] +=
                    static_cast<float>(level * std::sin(2.0 * std::numbers::pi * hz *
                                                            static_cast<double>(n) / kRate_hz +
                                                        turn));
            }
        }
        REQUIRE(ear.look(sound));
        const auto peaks = ear.peaks();
        REQUIRE_FALSE(peaks.empty());
        CHECK(peaks.size() <= pitch::Spectrum::kMostPeaks);
        const auto strongest =
            std::max_element(peaks.begin(), peaks.end(), [](const auto& a, const auto& b) {
                return a.power < b.power;
            });
        CHECK(std::fabs(strongest->hz - 8000.0) < 1.0);
    }
}

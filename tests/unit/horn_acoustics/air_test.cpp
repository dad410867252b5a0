#include "horn/acoustics/air.h"

#include <cmath>
#include <initializer_list>

#include <doctest/doctest.h>

using namespace bellhand::horn::acoustics;

namespace {

double speed(double celsius, double humidity, double co2) {
    return speed_of_sound_m_s({celsius, humidity, co2, kStandardPressure_pa});
}

} // namespace

TEST_SUITE("horn_acoustics/air") {
    // Cramer, J. Acoust. Soc. Am. 93, 2510 (1993): values of the polynomial with its published coefficients, computed
    // outside this program, 101325 Pa; carbon dioxide of the table 0.0314 % (standard air).
    TEST_CASE("speed of sound agrees with Cramer's polynomial, dry to saturated, 0 to 30 degrees") {
        struct Row {
            double celsius, dry, half, saturated;
        };
        for (const Row& row : {Row{0, 331.45, 331.61, 331.77},
                               Row{15, 340.43, 340.88, 341.34},
                               Row{20, 343.37, 343.99, 344.62},
                               Row{25, 346.28, 347.13, 347.99},
                               Row{30, 349.16, 350.32, 351.48}}) {
            CAPTURE(row.celsius);
            CHECK(std::abs(speed(row.celsius, 0.0, 0.000314) - row.dry) < 0.01);
            CHECK(std::abs(speed(row.celsius, 0.5, 0.000314) - row.half) < 0.01);
            CHECK(std::abs(speed(row.celsius, 1.0, 0.000314) - row.saturated) < 0.01);
        }
    }

    TEST_CASE("breath: 2.5 % carbon dioxide takes back nearly what moisture gives") {
        // Same source; carbon dioxide beyond the fit's range, as the function says.
        CHECK(std::abs(speed(20, 1.0, 0.025) - 342.45) < 0.02);
        CHECK(std::abs(speed(30, 1.0, 0.025) - 349.27) < 0.02);
        const double rise_cents = 1200 * std::log2(speed(30, 1, 0.000314) / speed(30, 0, 0.000314));
        CHECK(rise_cents == doctest::Approx(11.5).epsilon(0.01));
    }

    TEST_CASE("constants of the transmission line are Keefe's at his reference temperature") {
        // Keefe, J. Acoust. Soc. Am. 75, 58 (1984), constants as commonly quoted (from memory).
        const Air air = keefe_air(26.85);
        CHECK(air.density_kg_m3 == doctest::Approx(1.1769));
        CHECK(air.viscosity_pa_s == doctest::Approx(1.846e-5));
        CHECK(air.heat_ratio == doctest::Approx(1.4017));
        CHECK(air.sqrt_prandtl == doctest::Approx(0.8410));
        CHECK(air.speed_m_s == doctest::Approx(347.23));
        CHECK(std::abs(keefe_air(20).speed_m_s - 343.28) < 0.01);
        CHECK(std::abs(keefe_air(25).speed_m_s - 346.16) < 0.01);
    }

    TEST_CASE("an ideal gas ties Keefe's constants together: c^2 = gamma p / rho") {
        for (const double celsius : {10.0, 20.0, 26.85, 30.0}) {
            const Air air = keefe_air(celsius);
            const double from_gas =
                std::sqrt(air.heat_ratio * kStandardPressure_pa / air.density_kg_m3);
            CHECK(std::abs(from_gas / air.speed_m_s - 1.0) < 2e-3);
        }
    }

    TEST_CASE("humid air takes Cramer's speed and leaves the rest") {
        const AirState state{22, 0.8, 0.001, kStandardPressure_pa};
        CHECK(humid_air(state).speed_m_s == doctest::Approx(speed_of_sound_m_s(state)));
        CHECK(humid_air(state).density_kg_m3 == doctest::Approx(keefe_air(22).density_kg_m3));
    }

    TEST_CASE("an air column rises about 3 cents a degree") {
        // 600 log2((T+1)/T): square-root law of an ideal gas.
        CHECK(std::abs(cents_per_degree(15) - 3.00) < 0.005);
        CHECK(std::abs(cents_per_degree(20) - 2.95) < 0.005);
        CHECK(std::abs(cents_per_degree(25) - 2.90) < 0.005);
        CHECK(std::abs(warming_cents(20, 27) - 20.5) < 0.1);
        // With Cramer at constant 50 % humidity 3.14 cents at 20 degrees.
        const double humid =
            1200 * std::log2(speed(20.5, 0.5, 0.000314) / speed(19.5, 0.5, 0.000314));
        CHECK(std::abs(humid - 3.14) < 0.02);
    }
}

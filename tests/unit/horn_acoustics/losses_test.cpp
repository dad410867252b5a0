#include "horn/acoustics/losses.h"

#include <cmath>
#include <initializer_list>
#include <numbers>

#include <doctest/doctest.h>

using namespace bellhand::horn::acoustics;

namespace {

/// Nepers per metre, as tables print it.
double attenuation_np_m(const Propagation& propagation) {
    return propagation.gamma_per_m.real();
}

double phase_velocity_m_s(const Propagation& propagation, double f_hz) {
    return 2.0 * std::numbers::pi * f_hz / propagation.gamma_per_m.imag();
}

} // namespace

TEST_SUITE("horn_acoustics/losses") {
    TEST_CASE("attenuation and phase velocity in round tubes at 26.85 degrees") {
        // Zwikker & Kosten (1949) with Keefe's constants, evaluated outside this program.
        struct Row {
            double radius_mm, f_hz, number, alpha, slowness;
        };
        const Air air = keefe_air(26.85);
        for (const Row& row : {Row{3.8, 100, 24.051, 0.08209, 0.95842},
                               Row{5.5, 50, 24.615, 0.04006, 0.95933},
                               Row{5.5, 440, 73.018, 0.11556, 0.98589},
                               Row{6.0, 50, 26.852, 0.03660, 0.96258},
                               Row{6.0, 100, 37.975, 0.05117, 0.97324},
                               Row{6.0, 440, 79.657, 0.10580, 0.98705},
                               Row{6.0, 1000, 120.087, 0.15881, 0.99138},
                               Row{10.0, 1000, 200.145, 0.09496, 0.99481}}) {
            CAPTURE(row.radius_mm);
            CAPTURE(row.f_hz);
            const Propagation exact =
                propagation(row.radius_mm * 1e-3, row.f_hz, air, Losses::exact);
            CHECK(std::abs(viscous_number(row.radius_mm * 1e-3, row.f_hz, air) - row.number) <
                  0.001);
            CHECK(std::abs(attenuation_np_m(exact) - row.alpha) < 1e-5);
            CHECK(std::abs(phase_velocity_m_s(exact, row.f_hz) / air.speed_m_s - row.slowness) <
                  2e-5);
        }
        const Propagation cold = propagation(6e-3, 100, keefe_air(20), Losses::exact);
        CHECK(std::abs(attenuation_np_m(cold) - 0.05069) < 1e-5);
        CHECK(std::abs(phase_velocity_m_s(cold, 100) - 334.27) < 0.01);
    }

    TEST_CASE("Keefe's series stays within a tenth of a per cent for tubes of 3.8 mm and more") {
        const Air air = keefe_air(26.85);
        double worst = 0.0;
        for (const double radius_m : {3.8e-3, 5.5e-3, 8e-3, 20e-3, 100e-3}) {
            for (const double f_hz : {50.0, 120.0, 440.0, 1000.0, 2000.0}) {
                const Propagation exact = propagation(radius_m, f_hz, air, Losses::exact);
                const Propagation fast = propagation(radius_m, f_hz, air, Losses::series);
                worst = std::max(worst,
                                 std::abs(attenuation_np_m(fast) / attenuation_np_m(exact) - 1.0));
                CHECK(std::abs(fast.gamma_per_m.imag() / exact.gamma_per_m.imag() - 1.0) < 1e-3);
                CHECK(std::abs(fast.specific_impedance / exact.specific_impedance - 1.0) < 5e-3);
            }
        }
        CHECK(worst < 1e-3);
    }

    TEST_CASE("coefficient of the boundary-layer number is 632.8 a sqrt(f)") {
        // Keefe (1984), from memory.
        CHECK(std::abs(viscous_number(1.0, 1.0, keefe_air(26.85)) - 632.8) < 0.15);
    }

    TEST_CASE("older formulas for wide tubes agree roughly") {
        const Air air = keefe_air(20);
        for (const double radius_m : {4e-3, 6e-3, 12e-3}) {
            for (const double f_hz : {100.0, 300.0, 1000.0}) {
                const Propagation exact = propagation(radius_m, f_hz, air, Losses::exact);
                // Weston, Proc. Phys. Soc. B 66, 695 (1953): alpha = 2.964e-5 sqrt(f) / r per cm with r in cm, 20 degrees C.
                const double weston = 2.964e-5 * std::sqrt(f_hz) / (radius_m * 100) * 100;
                CHECK(std::abs(attenuation_np_m(exact) / weston - 1.0) < 0.06);
                // Kirchhoff's slowing, same paper: c (1 - 0.162 / (r sqrt f)), r in cm.
                const double slowed = 343.4 * (1 - 0.162 / (radius_m * 100 * std::sqrt(f_hz)));
                CHECK(std::abs(phase_velocity_m_s(exact, f_hz) / slowed - 1.0) < 3e-3);
            }
        }
    }

    TEST_CASE("a capillary obeys Poiseuille and is isothermal") {
        // Limits of the exact form for r_v -> 0 (textbook closed forms): Z' -> 8 eta / (pi a^4), Y' -> S omega gamma / (rho c^2).
        const Air air = keefe_air(26.85);
        const double radius_m = 0.05e-3;
        const double f_hz = 10.0;
        const Propagation narrow = propagation(radius_m, f_hz, air, Losses::exact);
        const std::complex<double> series = narrow.gamma_per_m * narrow.specific_impedance; // Z' S
        CHECK(series.real() ==
              doctest::Approx(8 * air.viscosity_pa_s / (radius_m * radius_m)).epsilon(1e-3));
        const std::complex<double> shunt = narrow.gamma_per_m / narrow.specific_impedance; // Y' / S
        const double omega = 2 * std::acos(-1.0) * f_hz;
        CHECK(shunt.imag() == doctest::Approx(omega * air.heat_ratio /
                                              (air.density_kg_m3 * air.speed_m_s * air.speed_m_s))
                                  .epsilon(1e-3));
    }
}

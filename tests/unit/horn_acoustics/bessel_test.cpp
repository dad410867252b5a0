#include "horn/acoustics/bessel.h"

#include <cmath>
#include <initializer_list>
#include <numbers>

#include <doctest/doctest.h>

using namespace bellhand::horn::acoustics;
using Complex = std::complex<double>;

namespace {

/// J_n(z) = (1/pi) int_0^pi cos(n t - z sin t) dt for any complex z: the trapezoid rule converges geometrically.
Complex by_integral(int n, Complex z) {
    constexpr int kSteps = 400;
    Complex sum = 0.0;
    for (int i = 0; i < 2 * kSteps; ++i) { // the whole circle: the integrand is periodic
        const double t = std::numbers::pi * i / kSteps;
        sum += std::cos(n * t - z * std::sin(t));
    }
    return sum / (2.0 * kSteps);
}

double relative(Complex got, Complex expected) {
    return std::abs(got - expected) / std::abs(expected);
}

} // namespace

TEST_SUITE("horn_acoustics/bessel") {
    TEST_CASE("ratio J1/J0 agrees with values from an arbitrary-precision library") {
        // mpmath 1.3, 20 digits, besselj(1, z)/besselj(0, z).
        struct Row {
            Complex z, ratio;
        };
        for (const Row& row : {Row{{1, 0}, {0.575080915004306, 0}},
                               Row{{3, 1}, {-0.1161278309997617, 1.02590798784656}},
                               Row{{-30, 20}, {-0.01162764225084184, 0.9923473713290562}},
                               Row{{30, 20}, {0.01162764225084184, 0.9923473713290562}},
                               Row{{10, -30}, {0.005078451403829425, -0.9848976962443021}},
                               Row{{-40, -19}, {-0.01024789235376853, -0.9951972132595766}}}) {
            CAPTURE(row.z.real());
            CHECK(relative(bessel_j1_over_j0(row.z), row.ratio) < 1e-12);
        }
    }

    TEST_CASE("far out, where few terms are summed, the ratio is as good") {
        // mpmath 1.3, 40 digits.
        struct Row {
            Complex z, ratio;
        };
        for (const Row& row : {Row{{57, 57}, {0.0044053702550523463, 0.99561420854051336}},
                               Row{{-60, 56}, {-0.0044723364765888996, 0.99584468853144249}},
                               Row{{81, 25}, {0.0056456311498889728, 0.99827503466157788}},
                               Row{{0.3, 81}, {0.000023005859570153632, 0.99380795413119681}}}) {
            CAPTURE(row.z.real());
            CHECK(relative(bessel_j1_over_j0(row.z), row.ratio) < 1e-13);
        }
    }

    TEST_CASE("boundary-layer function agrees with the same library across the change of method") {
        struct Row {
            double r;
            Complex value;
        };
        for (const Row& row : {Row{0.5, {0.9987003281363091, -0.03119415533052133}},
                               Row{2, {0.7737769690996815, -0.3448955092249843}},
                               Row{8, {0.1771930976528398, -0.1608237132854101}},
                               Row{24.9, {0.05680785486544791, -0.05517143012841757}},
                               Row{25.1, {0.05635500614456803, -0.05474474560580454}},
                               Row{60, {0.02357106409494507, -0.02329163022430267}}}) {
            CAPTURE(row.r);
            CHECK(relative(boundary_layer_function(row.r), row.value) < 1e-12);
        }
        CHECK(boundary_layer_function(0.0) == Complex(1.0));
        CHECK(relative(boundary_layer_function(-8.0), boundary_layer_function(8.0)) < 1e-15);
    }

    TEST_CASE("ratio agrees with the standard library's Bessel functions on the real axis") {
        for (double x = 0.1; x < 60.0; x += 0.37) {
            const double j0 = std::cyl_bessel_j(0.0, x);
            if (std::abs(j0) < 0.02) {
                continue; // near a pole the ratio itself is ill-conditioned
            }
            CAPTURE(x);
            CHECK(relative(bessel_j1_over_j0(x), std::cyl_bessel_j(1.0, x) / j0) < 1e-10);
        }
    }

    TEST_CASE("ratio agrees with Bessel's integral over the complex plane") {
        for (double size = 0.25; size < 34.0; size += 1.7) {
            for (const double angle : {-1.5, -std::numbers::pi / 4, -0.3, 0.4, 1.2, 2.5, 3.0}) {
                const Complex z = std::polar(size, angle);
                const Complex j0 = by_integral(0, z);
                if (std::abs(j0) < 0.02) {
                    continue;
                }
                CAPTURE(size);
                CAPTURE(angle);
                CHECK(relative(bessel_j1_over_j0(z), by_integral(1, z) / j0) < 1e-10);
            }
        }
    }

    TEST_CASE("Kelvin functions of 1 as printed") {
        // Abramowitz & Stegun (1964), table 9.12: ber 1 = 0.98438178, bei 1 = 0.24956604 (from memory);
        // J0(x exp(3 pi j/4)) = ber x + j bei x checks the integral that the other tests lean on.
        const Complex j0 = by_integral(0, std::polar(1.0, 0.75 * std::numbers::pi));
        CHECK(std::abs(j0.real() - 0.98438178) < 1e-8);
        CHECK(std::abs(j0.imag() - 0.24956604) < 1e-8);
    }
}

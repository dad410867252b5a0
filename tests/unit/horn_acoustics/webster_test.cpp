#include "horn/acoustics/resonance.h"
#include "synthetic_horn.h"

#include <cmath>
#include <complex>
#include <initializer_list>
#include <numbers>

#include <doctest/doctest.h>

// A second computation that shares no matrix with the program: the lossy horn equation
//   dp/dx = -Z'(x) U,  dU/dx = -Y'(x) p
// with Zwikker-Kosten Z' and Y' at the local radius, integrated from rim to lips by classical Runge-Kutta (Kutta 1901);
// its boundary-layer functions come from Bessel's integral.
namespace {

using namespace bellhand::horn::acoustics;

constexpr double kPi = std::numbers::pi;

Complex bessel(int n, Complex z) {
    Complex sum = 0.0;
    constexpr int kSteps = 160;
    for (int i = 0; i < kSteps; ++i) {
        const double t = 2.0 * kPi * i / kSteps;
        sum += std::cos(n * t - z * std::sin(t));
    }
    return sum / static_cast<double>(kSteps);
}

Complex layer(double r) {
    // Beyond r = 60 the integral would need more steps than it is worth: F = 2 (1 - j)/sqrt 2 / r (1 + ...) from the
    // leading terms of Hankel's series is good to 1e-5 there.
    const Complex z = std::polar(r, -kPi / 4);
    if (r > 60.0) {
        const Complex j(0, 1);
        return 2.0 / z * (-j) * (1.0 + 0.5 * j / z);
    }
    return 2.0 * bessel(1, z) / (z * bessel(0, z));
}

struct PerLength {
    Complex series;
    Complex shunt;
};

PerLength per_length(double radius_m, double f_hz, const Air& air) {
    const Complex j(0, 1);
    const double omega = 2 * kPi * f_hz;
    const double area = kPi * radius_m * radius_m;
    const double r = radius_m * std::sqrt(omega * air.density_kg_m3 / air.viscosity_pa_s);
    return {j * omega * air.density_kg_m3 / area / (1.0 - layer(r)),
            j * omega * area / (air.density_kg_m3 * air.speed_m_s * air.speed_m_s) *
                (1.0 + (air.heat_ratio - 1.0) * layer(air.sqrt_prandtl * r))};
}

double magnitude_by_runge_kutta(const Bore& bore, double f_hz, const Air& air) {
    const double rim_m = bore.segments.back().radius_out_m;
    Complex p = air.density_kg_m3 * air.speed_m_s / (kPi * rim_m * rim_m) *
                radiation_over_characteristic(2 * kPi * f_hz / air.speed_m_s * rim_m, bore.end);
    Complex u = 1.0;
    for (std::size_t i = bore.segments.size(); i-- > 0;) {
        const Segment& segment = bore.segments[i];
        const double taper = std::abs(std::log(segment.radius_out_m / segment.radius_in_m));
        const int steps = std::max(
            1, static_cast<int>(std::ceil(std::max(segment.length_m / 0.010, taper / 0.03))));
        const double h = segment.length_m / steps;
        PerLength far{};
        for (int s = 0; s < steps; ++s) {
            const auto radius = [&](double part) {
                return segment.radius_out_m + (segment.radius_in_m - segment.radius_out_m) * part;
            };
            const bool cylinder = segment.radius_in_m == segment.radius_out_m;
            if (s == 0 || !cylinder) {
                far = per_length(radius(static_cast<double>(s) / steps), f_hz, air);
            }
            const PerLength half =
                cylinder ? far : per_length(radius((s + 0.5) / steps), f_hz, air);
            const PerLength near =
                cylinder ? far : per_length(radius((s + 1.0) / steps), f_hz, air);
            // Towards the lips: dp = +Z' U h, dU = +Y' p h.
            const Complex p1 = far.series * u, u1 = far.shunt * p;
            const Complex p2 = half.series * (u + 0.5 * h * u1),
                          u2 = half.shunt * (p + 0.5 * h * p1);
            const Complex p3 = half.series * (u + 0.5 * h * u2),
                          u3 = half.shunt * (p + 0.5 * h * p2);
            const Complex p4 = near.series * (u + h * u3), u4 = near.shunt * (p + h * p3);
            p += h / 6.0 * (p1 + 2.0 * p2 + 2.0 * p3 + p4);
            u += h / 6.0 * (u1 + 2.0 * u2 + 2.0 * u3 + u4);
        }
    }
    return std::abs(p / u);
}

/// Top of the parabola through three points of log |Z| around a peak.
double peak_by_runge_kutta(const Bore& bore, double near_hz, const Air& air) {
    const double h = 0.25;
    double middle = near_hz;
    for (int round = 0; round < 3; ++round) {
        const double low = std::log(magnitude_by_runge_kutta(bore, middle - h, air));
        const double here = std::log(magnitude_by_runge_kutta(bore, middle, air));
        const double high = std::log(magnitude_by_runge_kutta(bore, middle + h, air));
        middle += 0.5 * h * (low - high) / (low - 2 * here + high);
    }
    return middle;
}

} // namespace

TEST_SUITE("horn_acoustics/webster") {
    TEST_CASE("resonances of the invented horn agree with an integration of the horn equation") {
        const Air air = keefe_air(25);
        double worst_cents = 0.0;
        for (const double gap_m : {0.030, 0.012, 0.0045}) {
            const Bore bore = with_hand(bellhand::testing::synthetic_horn(), {gap_m, 0.10, 0.08});
            const auto found = resonances(Line(bore, air, Losses::exact), {60, 690});
            for (const std::size_t i :
                 {std::size_t{0}, std::size_t{2}, std::size_t{6}, std::size_t{10}}) {
                const double other_hz = peak_by_runge_kutta(bore, found[i].f_hz + 0.2, air);
                worst_cents =
                    std::max(worst_cents, std::abs(1200 * std::log2(other_hz / found[i].f_hz)));
            }
        }
        MESSAGE("worst difference between matrices and Runge-Kutta ", worst_cents, " cents");
        CHECK(worst_cents < 0.1);
    }

    TEST_CASE("height of a peak agrees as well") {
        const Air air = keefe_air(25);
        const Bore bore = bellhand::testing::synthetic_horn();
        const Line line(bore, air, Losses::exact);
        for (const double f_hz : {86.79, 150.0, 356.43}) {
            CHECK(magnitude_by_runge_kutta(bore, f_hz, air) ==
                  doctest::Approx(line.impedance_magnitude(f_hz)).epsilon(2e-3));
        }
    }
}

#include "horn/acoustics/radiation.h"

#include "levine_schwinger.h"

#include <cmath>
#include <initializer_list>

#include <doctest/doctest.h>

using namespace bellhand::horn::acoustics;
using bellhand::testing::exact_end_correction;
using bellhand::testing::exact_reflection_modulus;

TEST_SUITE("horn_acoustics/radiation") {
    TEST_CASE("the integrals of Levine and Schwinger give the tabled values") {
        // Levine & Schwinger, Phys. Rev. 73, 383 (1948), integrals evaluated outside this program.
        struct Row {
            double ka, modulus, length;
        };
        for (const Row& row : {Row{0.2, 0.98086, 0.6064},
                               Row{0.5, 0.89644, 0.5818},
                               Row{1.0, 0.69510, 0.5274},
                               Row{1.5, 0.50079, 0.4713},
                               Row{2.0, 0.34618, 0.4169},
                               Row{3.0, 0.15433, 0.3083},
                               Row{3.5, 0.10086, 0.2422}}) {
            CAPTURE(row.ka);
            CHECK(std::abs(exact_reflection_modulus(row.ka) - row.modulus) < 1e-4);
            CHECK(std::abs(exact_end_correction(row.ka) - row.length) < 5e-4);
        }
    }

    TEST_CASE("end correction of a narrow pipe is close to the printed 0.6133") {
        // 0.6133 is printed everywhere; plain quadrature of the integral gives 0.6127.
        CHECK(std::abs(exact_end_correction(1e-3) - 0.613) < 1e-3);
        CHECK(open_end_reflection(0.0, OpenEnd::unflanged).end_correction_over_radius ==
              doctest::Approx(0.6133));
        CHECK(open_end_reflection(0.0, OpenEnd::flanged).end_correction_over_radius ==
              doctest::Approx(0.8216)); // Rayleigh-type flanged limit, as in Silva et al. (2009)
    }

    TEST_CASE("the fit stays close to the integrals up to ka 3.5") {
        // Claim of Silva et al., J. Sound Vib. 322, 255 (2009).
        for (double ka = 0.05; ka <= 3.5; ka += 0.15) {
            CAPTURE(ka);
            const Reflection fit = open_end_reflection(ka, OpenEnd::unflanged);
            CHECK(std::abs(fit.modulus - exact_reflection_modulus(ka)) < 0.003);
            CHECK(std::abs(fit.end_correction_over_radius - exact_end_correction(ka)) < 0.011);
        }
    }

    TEST_CASE("a second published fit agrees") {
        // Dalmont, Nederveen & Joly, J. Sound Vib. 244, 505 (2001), unflanged.
        for (double ka = 0.1; ka <= 1.5; ka += 0.1) {
            CAPTURE(ka);
            const double k2 = ka * ka;
            const double modulus = (1 + 0.2 * ka - 0.084 * k2) / (1 + 0.2 * ka + 0.416 * k2);
            const double sine = std::sin(2 * ka);
            const double length =
                0.6133 * ((1 + 0.044 * k2) / (1 + 0.19 * k2) - 0.02 * sine * sine);
            const Reflection fit = open_end_reflection(ka, OpenEnd::unflanged);
            CHECK(std::abs(fit.modulus - modulus) < 0.01);
            CHECK(std::abs(fit.end_correction_over_radius - length) < 0.01);
        }
    }

    TEST_CASE("low-frequency impedance is ka^2/4 + 0.61 j ka") {
        // Textbook limit (Levine & Schwinger).
        const auto z = radiation_over_characteristic(0.05, OpenEnd::unflanged);
        CHECK(z.real() == doctest::Approx(0.25 * 0.05 * 0.05).epsilon(0.01));
        CHECK(z.imag() == doctest::Approx(0.6133 * 0.05).epsilon(0.01));
        CHECK(std::abs(radiation_over_characteristic(0.05, OpenEnd::ideal)) == 0.0);
    }

    TEST_CASE("an end never gives back more than it got, however high the tone") {
        for (double ka = 0.0; ka < 40.0; ka += 0.1) {
            for (const OpenEnd end : {OpenEnd::unflanged, OpenEnd::flanged}) {
                const Reflection reflection = open_end_reflection(ka, end);
                CHECK(reflection.modulus >= 0.0);
                CHECK(reflection.modulus <= 1.0);
                CHECK(radiation_over_characteristic(ka, end).real() >= 0.0);
            }
        }
    }
}

#include "horn/acoustics/line.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bellhand::horn::acoustics {

namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kMostWideningPerPiece = 1.10;
constexpr double kCylinderBelow = 1e-9; ///< relative difference of radii

// std::complex guards every product against NaN; these values are finite, so the plain formulas do.
Complex times(Complex x, Complex y) noexcept {
    return {x.real() * y.real() - x.imag() * y.imag(), x.real() * y.imag() + x.imag() * y.real()};
}

Complex inverse(Complex x) noexcept {
    const double scale = 1.0 / (x.real() * x.real() + x.imag() * x.imag());
    return {x.real() * scale, -x.imag() * scale};
}

struct Hyperbolic {
    Complex cosh;
    Complex sinh_over; ///< sinh(z) / z, so that short pieces lose nothing
};

Hyperbolic hyperbolic(Complex z) noexcept {
    const double size = z.real() * z.real() + z.imag() * z.imag();
    if (size < 0.04) { // |z| < 0.2: the series is exact to 1e-16 and much cheaper
        const Complex q = times(z, z);
        const Complex c =
            1.0 +
            times(q,
                  0.5 + times(q,
                              1.0 / 24 +
                                  times(q, 1.0 / 720 + times(q, 1.0 / 40320 + q / 3628800.0))));
        const Complex s =
            1.0 +
            times(q,
                  1.0 / 6 +
                      times(q,
                            1.0 / 120 +
                                times(q, 1.0 / 5040 + times(q, 1.0 / 362880 + q / 39916800.0))));
        return {c, s};
    }
    const double grow = std::exp(z.real());
    const double shrink = 1.0 / grow;
    const double cosine = std::cos(z.imag());
    const double sine = std::sin(z.imag());
    const Complex cosh(0.5 * (grow + shrink) * cosine, 0.5 * (grow - shrink) * sine);
    const Complex sinh(0.5 * (grow - shrink) * cosine, 0.5 * (grow + shrink) * sine);
    return {cosh, times(sinh, inverse(z))};
}

/// Shape of one straight piece, as the matrix needs it.
struct Shape {
    double length_m;
    double widening;
    double inverse_apex_m;
    double inverse_area_m2;
    double area_in_m2;
};

/// Cone of apex distance x1 as in the spherical-wave solution; with 1/x1 = 0 and widening 1 it is the cylinder.
/// s = sinh(gL)/(g): everything is written with s and L/x1 so that no term is a small difference of large ones.
TransferMatrix matrix_of(const Shape& shape, const Propagation& wave) noexcept {
    const Complex gamma = wave.gamma_per_m;
    const Hyperbolic h = hyperbolic(gamma * shape.length_m);
    const Complex s = h.sinh_over * shape.length_m; // sinh(gL)/g
    const Complex gamma2 = times(gamma, gamma);
    const double e = shape.inverse_apex_m;
    TransferMatrix m;
    m.a = shape.widening * h.cosh - e * s;
    m.b = times(times(wave.specific_impedance, gamma), s) * shape.inverse_area_m2;
    const Complex inner =
        times(shape.widening * gamma2 - e * e, s) + (shape.length_m * e * e) * h.cosh;
    m.c = times(inner, inverse(times(gamma, wave.specific_impedance))) * shape.area_in_m2;
    m.d = (h.cosh + e * s) / shape.widening;
    return m;
}

double log_mean(double r1, double r2) noexcept {
    return std::abs(r2 - r1) < kCylinderBelow * r1 ? r1 : (r2 - r1) / std::log(r2 / r1);
}

Shape shape_of(double length_m, double r1, double r2) noexcept {
    const bool cylinder = std::abs(r2 - r1) < kCylinderBelow * r1;
    return {length_m,
            cylinder ? 1.0 : r2 / r1,
            cylinder ? 0.0 : (r2 - r1) / (r1 * length_m),
            1.0 / (kPi * r1 * r2),
            kPi * r1 * r1};
}

} // namespace

TransferMatrix
segment_matrix(const Segment& segment, double f_hz, const Air& air, Losses losses) noexcept {
    const double radius_m = log_mean(segment.radius_in_m, segment.radius_out_m);
    return matrix_of(shape_of(segment.length_m, segment.radius_in_m, segment.radius_out_m),
                     propagation(radius_m, f_hz, air, losses));
}

Line::Line(const Bore& bore, const Air& air, Losses losses)
    : air_(air), losses_(losses), end_(bore.end) {
    for (const Segment& segment : bore.segments) {
        const double widening = std::abs(std::log(segment.radius_out_m / segment.radius_in_m));
        const int count =
            std::max(1, static_cast<int>(std::ceil(widening / std::log(kMostWideningPerPiece))));
        double r1 = segment.radius_in_m;
        for (int i = 1; i <= count; ++i) {
            const double r2 =
                segment.radius_in_m + (segment.radius_out_m - segment.radius_in_m) * i / count;
            const Shape shape = shape_of(segment.length_m / count, r1, r2);
            pieces_.push_back({shape.length_m,
                               log_mean(r1, r2),
                               shape.widening,
                               shape.inverse_apex_m,
                               shape.inverse_area_m2,
                               shape.area_in_m2});
            r1 = r2;
        }
        length_m_ += segment.length_m;
    }
    if (!bore.segments.empty()) {
        rim_radius_m_ = bore.segments.back().radius_out_m;
        const double radius_m = bore.segments.front().radius_in_m;
        input_area_m2_ = kPi * radius_m * radius_m;
    }
}

double Line::characteristic_impedance_pa_s_m3() const noexcept {
    return air_.density_kg_m3 * air_.speed_m_s / input_area_m2_;
}

Complex Line::load(double f_hz) const noexcept {
    const double k = 2.0 * kPi * f_hz / air_.speed_m_s;
    const double characteristic =
        air_.density_kg_m3 * air_.speed_m_s / (kPi * rim_radius_m_ * rim_radius_m_);
    return characteristic * radiation_over_characteristic(k * rim_radius_m_, end_);
}

Line::State Line::to_input(double f_hz) const noexcept {
    State state{load(f_hz), 1.0};
    for (std::size_t i = pieces_.size(); i-- > 0;) {
        const Piece& piece = pieces_[i];
        const TransferMatrix m = matrix_of({piece.length_m,
                                            piece.widening,
                                            piece.inverse_apex_m,
                                            piece.inverse_area_m2,
                                            piece.area_in_m2},
                                           propagation(piece.loss_radius_m, f_hz, air_, losses_));
        state = {times(m.a, state.pressure) + times(m.b, state.flow),
                 times(m.c, state.pressure) + times(m.d, state.flow)};
    }
    return state;
}

Response Line::at(double f_hz) const noexcept {
    const State input = to_input(f_hz);
    const Complex per_pressure = inverse(input.pressure);
    const Complex per_flow = inverse(input.flow);
    Response response;
    response.impedance_pa_s_m3 = times(input.pressure, per_flow);
    response.rim_pressure_ratio = times(load(f_hz), per_pressure);
    response.rim_flow_ratio = per_flow;
    const double k = 2.0 * kPi * f_hz / air_.speed_m_s;
    // Point source in free space at 1 m: j omega rho U exp(-jk) / (4 pi).
    response.pressure_ratio_at_1m =
        times(Complex(0.0, 0.5 * f_hz * air_.density_kg_m3) * std::polar(1.0, -k), per_pressure);
    return response;
}

double Line::impedance_magnitude(double f_hz) const noexcept {
    const State input = to_input(f_hz);
    return std::sqrt(std::norm(input.pressure) / std::norm(input.flow));
}

} // namespace bellhand::horn::acoustics

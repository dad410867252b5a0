#pragma once

#include "horn/acoustics/bore.h"
#include "horn/acoustics/losses.h"

#include <complex>
#include <vector>

namespace bellhand::horn::acoustics {

using Complex = std::complex<double>;

/// [p_in; U_in] = [[a, b], [c, d]] [p_out; U_out]: pressure in Pa, volume flow in m^3/s, flow towards the bell.
struct TransferMatrix {
    Complex a = 1.0, b = 0.0, c = 0.0, d = 1.0;
};

/// One straight segment at one frequency. Cylinder: hyperbolic form. Cone: spherical-wave form with the losses of the
/// tube whose wall friction equals the cone's, at the logarithmic mean radius (mean of 1/r along the cone).
[[nodiscard]] TransferMatrix
segment_matrix(const Segment& segment, double f_hz, const Air& air, Losses losses) noexcept;

/// Answer of the bore to a flow of one unit at the lips.
struct Response {
    Complex impedance_pa_s_m3;  ///< at the input
    Complex rim_pressure_ratio; ///< pressure in the plane of the rim over pressure at the input
    Complex rim_flow_ratio;     ///< flow out of the rim over flow into the input
    /// Pressure 1 m in front of the bell over pressure at the input, bell taken as a point source of the rim's flow
    /// (right while the bell is small against the wavelength, about 300 Hz for a rim radius of 0.14 m; above that the
    /// bell beams and this is the mean over directions only roughly).
    Complex pressure_ratio_at_1m;
};

/// A bore prepared for many frequencies: cones cut until the radius grows by at most a tenth a piece, constants of each
/// piece computed once. `at` neither allocates nor throws and may be called from several threads.
class Line {
public:
    Line(const Bore& bore, const Air& air, Losses losses = Losses::series);

    /// `f_hz` > 0.
    [[nodiscard]] Response at(double f_hz) const noexcept;
    [[nodiscard]] double impedance_magnitude(double f_hz) const noexcept;

    [[nodiscard]] const Air& air() const noexcept { return air_; }
    [[nodiscard]] double length_m() const noexcept { return length_m_; }
    /// rho c / S at the input: what plots divide by.
    [[nodiscard]] double characteristic_impedance_pa_s_m3() const noexcept;
    [[nodiscard]] std::size_t pieces() const noexcept { return pieces_.size(); }

private:
    struct Piece {
        double length_m;
        double loss_radius_m;
        double widening;        ///< r2 / r1
        double inverse_apex_m;  ///< 1 / x1, 0 for a cylinder
        double inverse_area_m2; ///< 1 / (pi r1 r2)
        double area_in_m2;
    };
    struct State {
        Complex pressure;
        Complex flow;
    };

    [[nodiscard]] State to_input(double f_hz) const noexcept;
    [[nodiscard]] Complex load(double f_hz) const noexcept;

    std::vector<Piece> pieces_;
    Air air_;
    Losses losses_;
    OpenEnd end_;
    double rim_radius_m_ = 0.0;
    double input_area_m2_ = 0.0;
    double length_m_ = 0.0;
};

} // namespace bellhand::horn::acoustics

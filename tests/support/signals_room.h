#pragma once

#include "support/signals.h"

#include <array>

namespace bellhand::test {

/// A shoebox room with one player and one microphone, metres and seconds.
struct Room {
    std::array<double, 3> size_m{6.0, 4.5, 2.8};
    std::array<double, 3> player_m{2.0, 1.5, 1.3};
    std::array<double, 3> microphone_m{3.2, 2.2, 1.4};
    double rt60_s = 0.5;
};

/// Impulse response by the image-source method (Allen and Berkley 1979, J. Acoust. Soc. Am. 65, 943): every wall
/// reflects the same share, chosen by Eyring's formula (1930) for the wanted reverberation time; early images fall
/// between samples by a windowed sinc (Peterson 1986), and each image is moved by a few centimetres so that a perfect
/// shoebox's regular echoes do not ring (De Sena et al. 2015). The direct sound arrives at time 0 with gain 1.
[[nodiscard]] Samples impulse_response(const Room& room, double rate_hz, Random& random);

/// Time for 60 dB by Schroeder's backward integration (1965), from the slope between -5 and -25 dB.
[[nodiscard]] double measured_rt60_s(std::span<const double> response, double rate_hz);

/// Same length as `samples`: what would ring on after the end is cut.
[[nodiscard]] Samples convolved(std::span<const double> samples, std::span<const double> response);

} // namespace bellhand::test

// For every steady signal of a set: <l^2> = sum l^2 A_l^2 / sum A_l^2, the power-weighted mean square harmonic number,
// which decides how exactly its pitch can be known. The Cramer-Rao bound for a harmonic tone in white noise is
//   var(w0) >= 12 / (SNR N (N^2 - 1) <l^2>)                       (Nehorai and Porat 1986)
// Amplitudes are measured from the sound itself at exact multiples of its known pitch over the whole held part, less
// what white noise puts there.
//
// usage: mean_square_harmonic FOLDER > l2.csv
#include "support/signals.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstdio>
#include <fstream>
#include <numbers>
#include <sstream>
#include <string>
#include <vector>

int main(int argc, char** argv) {
    if (argc != 2) {
        std::fprintf(stderr, "usage: mean_square_harmonic FOLDER\n");
        return 2;
    }
    const std::string folder = argv[1];
    std::ifstream manifest(folder + "/manifest.csv");
    std::string line;
    std::getline(manifest, line);
    std::printf("file,mean_l2\n");
    while (std::getline(manifest, line)) {
        std::istringstream fields(line);
        std::vector<std::string> field;
        for (std::string word; std::getline(fields, word, ',');) {
            field.push_back(word);
        }
        if (field.size() < 11 || field[1] != "steady") {
            continue;
        }
        double rate_hz = 0.0;
        const auto sound =
            bellhand::test::read_sound(folder + "/wav/" + field[0] + ".wav", rate_hz);
        const double f0_hz = std::stod(field[4]);
        const auto begin = static_cast<std::size_t>((std::stod(field[6]) + 0.05) * rate_hz);
        const auto end = std::min(sound.size(),
                                  static_cast<std::size_t>((std::stod(field[7]) - 0.05) * rate_hz));
        const auto periods = std::floor(static_cast<double>(end - begin) * f0_hz / rate_hz);
        const auto count = static_cast<std::size_t>(periods * rate_hz / f0_hz);
        double power = 0.0;
        for (std::size_t n = begin; n < begin + count; ++n) {
            power += static_cast<double>(sound[n]) * static_cast<double>(sound[n]);
        }
        power /= static_cast<double>(count);
        const double snr = std::pow(10.0, std::stod(field[3]) / 10.0);
        const double noise =
            4.0 * power / (snr + 1.0) / static_cast<double>(count); // of one squared amplitude
        double sum = 0.0;
        double weighted = 0.0;
        for (int l = 1; l <= 64 && l * f0_hz < std::min(19500.0, 0.45 * rate_hz); ++l) {
            const std::complex<double> step =
                std::polar(1.0, -2.0 * std::numbers::pi * l * f0_hz / rate_hz);
            std::complex<double> turn = 1.0;
            std::complex<double> bin = 0.0;
            for (std::size_t n = 0; n < count; ++n) {
                bin += turn * static_cast<double>(sound[begin + n]);
                turn *= step;
            }
            const double squared = std::norm(2.0 * bin / static_cast<double>(count)) - noise;
            sum += squared;
            weighted += l * l * squared;
        }
        std::printf("%s,%.4f\n", field[0].c_str(), std::max(1.0, weighted / sum));
    }
}

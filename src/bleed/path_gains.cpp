// The gains of the lines from the frames of a fit.
#include "bleed/hann_leak.h"
#include "bleed/path_fit.h"

namespace bellhand::bleed {

namespace {

// How many frames the likeness of a room at near pitches is worth.
constexpr double kPullFrames = 4.0;

} // namespace

void PathFit::solve_gains(Path& path) noexcept {
    for (int i = 0; i < cluster_count_; ++i) {
        const Cluster& cluster = clusters_[static_cast<std::size_t>(i)];
        if (cluster.size == 1) {
            solve_alone(lines_[static_cast<std::size_t>(cluster.index[0])], path);
        } else {
            solve_cluster(cluster, path);
        }
    }
}

void PathFit::solve_alone(const Line& line, Path& path) const noexcept {
    Complex sum{};
    double power = 0.0;
    for (std::size_t c = 0; c < chosen_count_; ++c) {
        const std::size_t back = chosen_[c];
        const double gain = slot(back).about.gain[static_cast<std::size_t>(line.voice)];
        const std::size_t at = first_of(back) + static_cast<std::size_t>(line.line);
        sum += static_cast<float>(weight_[c] * gain) * std::conj(turned_[at]) *
               without_neighbours(line, back, path);
        power += weight_[c] * gain * gain;
    }
    path.gain[static_cast<std::size_t>(line.line)] =
        power > 0.0 ? sum / static_cast<float>(power) : Complex{};
}

/// All lines of the cluster at once, from the window of the first. What a room does to two pitches half a Hertz apart
/// is nearly the same, so their gains over what is played are drawn to each other as far as the frames leave it open.
void PathFit::solve_cluster(const Cluster& cluster, Path& path) const noexcept {
    const auto size = static_cast<std::size_t>(cluster.size);
    const auto member = [&](std::size_t j) -> const Line& {
        return lines_[static_cast<std::size_t>(cluster.index[j])];
    };
    for (std::size_t j = 0; j < size; ++j) {
        path.gain[static_cast<std::size_t>(member(j).line)] = {};
    }
    using Double = std::complex<double>;
    std::array<std::array<Double, kVoices + 1>, kVoices> system{}; // last column: right-hand side
    const Line& first = member(0);
    double power = 0.0;
    for (std::size_t c = 0; c < chosen_count_; ++c) {
        const std::size_t back = chosen_[c];
        const std::size_t at = first_of(back);
        const Double y(without_neighbours(first, back, path));
        const Complex own = std::conj(phase_[at + static_cast<std::size_t>(first.line)]);
        std::array<Double, kVoices> base{};
        for (std::size_t j = 0; j < size; ++j) {
            const Line& line = member(j);
            const auto l = static_cast<std::size_t>(line.line);
            const double leak = hann_leak((line.hz - first.hz) * 2.0 * hop_s_);
            base[j] = slot(back).about.gain[static_cast<std::size_t>(line.voice)] * leak *
                      static_cast<double>(played_[l]) *
                      Double(turned_[at + l] * phase_[at + l] * own);
        }
        for (std::size_t j = 0; j < size; ++j) {
            for (std::size_t l = 0; l < size; ++l) {
                system[j][l] += weight_[c] * std::conj(base[j]) * base[l];
            }
            system[j][kVoices] += weight_[c] * std::conj(base[j]) * y;
            power += weight_[c] * std::norm(base[j]);
        }
    }
    const double pull = kPullFrames * power / static_cast<double>(chosen_count_ * size);
    for (std::size_t j = 0; j < size; ++j) {
        for (std::size_t l = 0; l < size; ++l) {
            system[j][l] += pull * ((j == l ? 1.0 : 0.0) - 1.0 / static_cast<double>(size));
        }
        system[j][j] += 1e-6 * pull + 1e-30;
    }
    for (std::size_t j = 0; j < size;
         ++j) { // Gauss; the matrix is Hermitian and positive: no pivots
        for (std::size_t l = j + 1; l < size; ++l) {
            const Double factor = system[l][j] / system[j][j];
            for (std::size_t m = j; m < size; ++m) {
                system[l][m] -= factor * system[j][m];
            }
            system[l][kVoices] -= factor * system[j][kVoices];
        }
    }
    for (std::size_t j = size; j-- > 0;) {
        Double x = system[j][kVoices];
        for (std::size_t l = j + 1; l < size; ++l) {
            x -= system[j][l] * system[l][kVoices];
        }
        system[j][kVoices] = x / system[j][j];
        const auto l = static_cast<std::size_t>(member(j).line);
        path.gain[l] = Complex(system[j][kVoices] * static_cast<double>(played_[l]));
    }
}

} // namespace bellhand::bleed

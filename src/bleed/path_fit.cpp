#include "bleed/path_fit.h"

#include "bleed/hann_leak.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bellhand::bleed {

namespace {

constexpr double kTau = 2.0 * std::numbers::pi;
constexpr double kWidestClock = 600e-6; // sound devices keep within some 100 ppm (from memory)
constexpr double kClockStep = 20e-6;    // of the grid
constexpr double kLeastClockSd = 1e-6;  // a crystal in a warming room wanders so much in minutes
constexpr double kNearBins = 5.0;       // farther lines leak less than half a percent
constexpr double kAloneBins = 2.0;
constexpr double kClusterBins = 0.5; // 6 Hz
constexpr double kMatters =
    1e-3; // lines under -30 dB of the strongest do not tell how well it fits
constexpr int kRounds = 3;

std::complex<float> turned_by(double turns) noexcept {
    const double angle = kTau * (turns - std::floor(turns));
    return {static_cast<float>(std::cos(angle)), static_cast<float>(std::sin(angle))};
}

} // namespace

std::complex<float> Path::at(int line, double line_hz, double t_s) const noexcept {
    return gain[static_cast<std::size_t>(line)] * turned_by(line_hz * clock * (t_s - reference_s));
}

PathFit::PathFit()
    : slots_(kFrames),
      amplitudes_(kFrames * kLines),
      turned_(kFrames * kLines),
      phase_(kFrames * kLines) {
    for (int line = 0; line < kLines; ++line) {
        played_[static_cast<std::size_t>(line)] = 1.0F / static_cast<float>(line % kHarmonics + 1);
    }
}

void PathFit::clear() noexcept {
    count_ = 0;
    if (clock_sd_ > 0.0) {
        believed_clock_ = clock_;
        believed_sd_ = std::max(clock_sd_, kLeastClockSd);
    }
}

void PathFit::set_lines(const LineBank& bank) noexcept {
    hop_s_ = bank.hop_s();
    line_count_ = 0;
    for (int v = 0; v < kVoices; ++v) {
        for (int k = 0; k < bank.lines(v); ++k) {
            Line& line = lines_[static_cast<std::size_t>(line_count_++)];
            line = {};
            line.line = v * kHarmonics + k;
            line.voice = v;
            line.hz = bank.line_hz(line.line);
        }
    }
    find_clusters();
    for (int i = 0; i < line_count_; ++i) {
        Line& line = lines_[static_cast<std::size_t>(i)];
        for (int l = 0; l < line_count_ && line.neighbours < kNeighbours; ++l) {
            const Line& other = lines_[static_cast<std::size_t>(l)];
            const double bins = (other.hz - line.hz) * 2.0 * hop_s_;
            if (l != i && std::abs(bins) < kNearBins) {
                line.alone = line.alone && std::abs(bins) > kAloneBins;
                line.neighbour[static_cast<std::size_t>(line.neighbours++)] = {
                    other.line, static_cast<float>(hann_leak(bins))};
            }
        }
    }
}

void PathFit::find_clusters() noexcept {
    cluster_count_ = 0;
    for (int i = 0; i < line_count_; ++i) {
        const Line& line = lines_[static_cast<std::size_t>(i)];
        int found = 0;
        for (; found < cluster_count_; ++found) {
            const Cluster& cluster = clusters_[static_cast<std::size_t>(found)];
            const Line& first = lines_[static_cast<std::size_t>(cluster.index[0])];
            if (std::abs(first.hz - line.hz) * 2.0 * hop_s_ < kClusterBins &&
                cluster.size < kVoices) {
                break;
            }
        }
        if (found == cluster_count_) {
            clusters_[static_cast<std::size_t>(cluster_count_++)].size = 0;
        }
        Cluster& cluster = clusters_[static_cast<std::size_t>(found)];
        cluster.index[static_cast<std::size_t>(cluster.size++)] = i;
    }
}

void PathFit::set_spectrum(int voice, std::span<const double> amplitude) noexcept {
    for (std::size_t k = 0; k < std::min(amplitude.size(), std::size_t{kHarmonics}); ++k) {
        played_[static_cast<std::size_t>(voice * kHarmonics) + k] =
            static_cast<float>(amplitude[k]);
    }
}

std::span<std::complex<float>> PathFit::next_frame() noexcept {
    newest_ = (newest_ + 1) % kFrames;
    count_ = std::min(count_ + 1, kFrames);
    return {amplitudes_.data() + newest_ * kLines, kLines};
}

void PathFit::finish_frame(const LineBank::Frame& frame, double time_s) noexcept {
    Slot& newest = slot(0);
    newest.about = frame;
    newest.time_s = time_s;
    newest.learn = false;
    Complex* phase = phase_.data() + newest_ * kLines;
    for (std::size_t v = 0; v < kVoices; ++v) {
        const Complex step = turned_by(frame.turns[v]);
        Complex at{1.0F, 0.0F};
        for (int k = 0; k < kHarmonics; ++k) {
            at *= step;
            *phase++ = at;
        }
    }
}

void PathFit::turn(std::size_t back, const Path& path) noexcept {
    const double since_s = slot(back).time_s - path.reference_s;
    Complex* turned = turned_.data() + first_of(back);
    int voice = -1;
    Complex step, at;
    for (int i = 0; i < line_count_; ++i) {
        const Line& line = lines_[static_cast<std::size_t>(i)];
        if (line.voice != voice) { // its lines follow each other from the fundamental on
            voice = line.voice;
            step = turned_by(line.hz * path.clock * since_s);
            at = {1.0F, 0.0F};
        }
        at *= step;
        turned[line.line] = at;
    }
}

PathFit::Complex
PathFit::without_neighbours(const Line& line, std::size_t back, const Path& path) const noexcept {
    const std::size_t first = first_of(back);
    Complex y = amplitudes_[first + static_cast<std::size_t>(line.line)];
    const Complex own = std::conj(phase_[first + static_cast<std::size_t>(line.line)]);
    for (int n = 0; n < line.neighbours; ++n) {
        const Neighbour& neighbour = line.neighbour[static_cast<std::size_t>(n)];
        const auto other = static_cast<std::size_t>(neighbour.line);
        const auto gain =
            static_cast<float>(slot(back).about.gain[other / kHarmonics]) * neighbour.leak;
        y -= gain * path.gain[other] * turned_[first + other] * phase_[first + other] * own;
    }
    return y;
}

void PathFit::guess_clock(Path& path) noexcept {
    double best = -1.0;
    const int steps = static_cast<int>(std::lround(kWidestClock / kClockStep));
    double best_clock = 0.0;
    for (int step = -steps; step <= steps; ++step) {
        path.clock = step * kClockStep;
        for (std::size_t c = 0; c < chosen_count_; ++c) {
            turn(chosen_[c], path);
        }
        double power = 0.0;
        for (int i = 0; i < line_count_; ++i) {
            const Line& line = lines_[static_cast<std::size_t>(i)];
            if (!line.alone) {
                continue;
            }
            Complex sum{};
            for (std::size_t c = 0; c < chosen_count_; ++c) {
                const std::size_t first =
                    first_of(chosen_[c]) + static_cast<std::size_t>(line.line);
                sum += amplitudes_[first] * std::conj(turned_[first]);
            }
            power += static_cast<double>(std::norm(sum));
        }
        if (power > best) {
            best = power;
            best_clock = path.clock;
        }
    }
    path.clock = best_clock;
}

void PathFit::solve_clock(Path& path) noexcept {
    double weights = 0.0;
    double mean_s = 0.0;
    double noise = 0.0; // mean square of what is left of a line
    for (std::size_t c = 0; c < chosen_count_; ++c) {
        weights += weight_[c];
        mean_s += weight_[c] * slot(chosen_[c]).time_s;
        noise += weight_[c] * left_[c];
    }
    mean_s /= weights;
    noise /= weights * line_count_;
    double slope = 0.0;
    double information = 0.0;
    for (int i = 0; i < line_count_; ++i) {
        const Line& line = lines_[static_cast<std::size_t>(i)];
        if (!line.alone) {
            continue;
        }
        const Complex g = path.gain[static_cast<std::size_t>(line.line)];
        for (std::size_t c = 0; c < chosen_count_; ++c) {
            const std::size_t back = chosen_[c];
            const double gain = slot(back).about.gain[static_cast<std::size_t>(line.voice)];
            const double lever = kTau * line.hz * (slot(back).time_s - mean_s);
            const std::size_t first = first_of(back) + static_cast<std::size_t>(line.line);
            const Complex y = without_neighbours(line, back, path) * std::conj(turned_[first]);
            slope += weight_[c] * gain * lever * static_cast<double>((std::conj(g) * y).imag());
            information +=
                weight_[c] * gain * gain * lever * lever * static_cast<double>(std::norm(g));
        }
    }
    // In units of one over the variance of the clock: weights are relative, the noise is that of a mean frame.
    const double scale =
        2.0 * static_cast<double>(chosen_count_) / (weights * std::max(noise, 1e-30));
    const double belief = believed_sd_ > 0.0 ? 1.0 / (believed_sd_ * believed_sd_) : 0.0;
    const double sum = scale * information + belief;
    if (!(sum > 0.0)) {
        return;
    }
    const double before = path.clock;
    path.clock += (scale * slope + belief * (believed_clock_ - path.clock)) / sum;
    path.clock = std::clamp(path.clock, -2.0 * kWidestClock, 2.0 * kWidestClock);
    clock_ = path.clock;
    clock_sd_ = 1.0 / std::sqrt(sum);
    // The gains stand for the reference; the clock turns about the mean of the frames.
    for (int i = 0; i < line_count_; ++i) {
        const Line& line = lines_[static_cast<std::size_t>(i)];
        path.gain[static_cast<std::size_t>(line.line)] *=
            turned_by(line.hz * (before - path.clock) * (mean_s - path.reference_s));
    }
}

void PathFit::weigh(const Path& path) noexcept {
    std::array<double, kFrames> sorted{};
    for (std::size_t c = 0; c < chosen_count_; ++c) {
        left_[c] = 0.0;
        const std::size_t back = chosen_[c];
        for (int i = 0; i < line_count_; ++i) {
            const Line& line = lines_[static_cast<std::size_t>(i)];
            const auto at = static_cast<std::size_t>(line.line);
            const auto gain =
                static_cast<float>(slot(back).about.gain[static_cast<std::size_t>(line.voice)]);
            const std::size_t first = first_of(back) + at;
            left_[c] += static_cast<double>(std::norm(without_neighbours(line, back, path) -
                                                      gain * path.gain[at] * turned_[first]));
        }
        sorted[c] = left_[c];
    }
    const auto quarter = sorted.begin() + static_cast<std::ptrdiff_t>(chosen_count_ / 4);
    std::nth_element(
        sorted.begin(), quarter, sorted.begin() + static_cast<std::ptrdiff_t>(chosen_count_));
    for (std::size_t c = 0; c < chosen_count_; ++c) {
        weight_[c] = 1.0 / (left_[c] + *quarter + 1e-30);
    }
    const double most = *std::max_element(
        weight_.begin(), weight_.begin() + static_cast<std::ptrdiff_t>(chosen_count_));
    for (std::size_t c = 0; c < chosen_count_; ++c) {
        weight_[c] /= most;
    }
}

bool PathFit::fit(std::size_t among, bool only_marked, Path& path) noexcept {
    chosen_count_ = 0;
    double middle_s = 0.0;
    for (std::size_t back = 0; back < std::min(among, count_); ++back) {
        if (!only_marked || slot(back).learn) {
            chosen_[chosen_count_++] = back;
            middle_s += slot(back).time_s;
        }
    }
    if (chosen_count_ < kLeast || line_count_ == 0) {
        return false;
    }
    Path next = path;
    next.reference_s = middle_s / static_cast<double>(chosen_count_);
    next.gain.fill({});
    next.clock = clock_sd_ > 0.0 ? clock_ : believed_clock_;
    weight_.fill(1.0);
    if (clock_sd_ == 0.0) {
        guess_clock(next);
    }
    for (int round = 0; round < kRounds; ++round) {
        for (std::size_t c = 0; c < chosen_count_; ++c) {
            turn(chosen_[c], next);
        }
        solve_gains(next);
        weigh(next);
        solve_clock(next);
    }
    for (std::size_t c = 0; c < chosen_count_; ++c) {
        turn(chosen_[c], next);
    }
    solve_gains(next);
    path = next;
    return true;
}

PathFit::Fitness PathFit::fitness(std::size_t back, const Path& path) noexcept {
    turn(back, path);
    float most = 0.0F;
    for (int i = 0; i < line_count_; ++i) {
        const Line& line = lines_[static_cast<std::size_t>(i)];
        const auto gain =
            static_cast<float>(slot(back).about.gain[static_cast<std::size_t>(line.voice)]);
        most =
            std::max(most, gain * gain * std::norm(path.gain[static_cast<std::size_t>(line.line)]));
    }
    Fitness out;
    for (int i = 0; i < line_count_; ++i) {
        const Line& line = lines_[static_cast<std::size_t>(i)];
        const auto at = static_cast<std::size_t>(line.line);
        const auto gain =
            static_cast<float>(slot(back).about.gain[static_cast<std::size_t>(line.voice)]);
        const float held = gain * gain * std::norm(path.gain[at]);
        if (static_cast<double>(held) < kMatters * static_cast<double>(most)) {
            continue;
        }
        const std::size_t first = first_of(back) + at;
        const float left =
            std::norm(without_neighbours(line, back, path) - gain * path.gain[at] * turned_[first]);
        out.held += 0.5 * static_cast<double>(held);
        out.left += 0.5 * static_cast<double>(left);
    }
    return out;
}

} // namespace bellhand::bleed

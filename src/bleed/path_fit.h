#pragma once

#include "bleed/line_bank.h"

#include <array>
#include <complex>
#include <cstdint>
#include <span>
#include <vector>

namespace bellhand::bleed {

/// What is known of the way from the player to the microphone.
struct Path {
    std::array<std::complex<float>, kLines> gain{}; ///< of each line, at `reference_s`
    double reference_s = 0.0;
    double clock = 0.0; ///< the microphone hears f * (1 + clock)
    /// Coefficient of a line of nominal frequency `line_hz` at time `t_s`.
    [[nodiscard]] std::complex<float> at(int line, double line_hz, double t_s) const noexcept;
};

/// Finds the path from frames in which nothing but the player sounds: for each line one complex gain, for all of them
/// together one difference of clocks.
///
/// Weighted least squares, solved by alternating between the gains (one line after the other, with what neighbours
/// leak into its window taken out) and the clock (Gauss and Newton); frames that do not fit get less weight
/// (iteratively reweighted: Holland and Welsch 1977). The first guess of an unknown clock is the one on a grid that
/// leaves most power standing still. Nothing allocates after construction.
class PathFit {
public:
    static constexpr std::size_t kFrames = 96; ///< kept; with a hop of 43 ms four seconds

    PathFit();

    /// Forgets the frames. What is known of the clock stays, if anything, as a belief with a deviation.
    void clear() noexcept;
    /// The lines that frames from now on will have.
    void set_lines(const LineBank& bank) noexcept;
    /// How strong the harmonics of a voice are played, relative to each other; until told, as 1/k.
    void set_spectrum(int voice, std::span<const double> amplitude) noexcept;

    /// A slot for the amplitudes of the next frame; the oldest frame is forgotten. Then `finish_frame`.
    [[nodiscard]] std::span<std::complex<float>> next_frame() noexcept;
    void finish_frame(const LineBank::Frame& frame, double time_s) noexcept;
    [[nodiscard]] std::size_t frames() const noexcept { return count_; }
    /// Marks the frame `back` frames ago (0 = newest) as one to learn from.
    void mark(std::size_t back, bool learn) noexcept { slot(back).learn = learn; }
    [[nodiscard]] bool marked(std::size_t back) const noexcept { return slot(back).learn; }
    [[nodiscard]] const LineBank::Frame& frame(std::size_t back) const noexcept {
        return slot(back).about;
    }

    /// Learns from the newest `among` frames, all of them or only the marked ones. False when there are fewer than
    /// `kLeast`: `path` is untouched.
    [[nodiscard]] bool fit(std::size_t among, bool only_marked, Path& path) noexcept;
    static constexpr std::size_t kLeast = 8;
    /// The newest fit was no good: what it says of the clock does not count.
    void reject() noexcept {
        clock_ = believed_clock_;
        clock_sd_ = believed_sd_;
    }
    /// Nothing at all is known of the clock.
    void forget_clock() noexcept { believed_clock_ = clock_ = believed_sd_ = clock_sd_ = 0.0; }

    /// Mean square of what the lines of a frame hold by a path, and of what is left of them; of the lines that matter.
    struct Fitness {
        double held = 0.0;
        double left = 0.0;
    };
    [[nodiscard]] Fitness fitness(std::size_t back, const Path& path) noexcept;

private:
    struct Slot {
        LineBank::Frame about;
        double time_s = 0.0;
        bool learn = false;
    };
    /// A line that leaks into another's window.
    struct Neighbour {
        int line = 0;
        float leak = 0.0F;
    };
    static constexpr int kNeighbours = 8;
    struct Line {
        int line = 0;
        int voice = 0;
        double hz = 0.0;
        bool alone = true; ///< no other so near that beating could pass for another clock
        int neighbours = 0;
        std::array<Neighbour, kNeighbours> neighbour{};
    };
    /// Lines of different voices too near to be told apart in a short time.
    struct Cluster {
        std::array<int, kVoices> index{}; ///< into lines_
        int size = 0;
    };
    using Complex = std::complex<float>;

    [[nodiscard]] Slot& slot(std::size_t back) noexcept {
        return slots_[(newest_ + kFrames - back) % kFrames];
    }
    [[nodiscard]] const Slot& slot(std::size_t back) const noexcept {
        return slots_[(newest_ + kFrames - back) % kFrames];
    }
    void find_clusters() noexcept;
    void turn(std::size_t back, const Path& path) noexcept; ///< fills turned_ for that frame
    [[nodiscard]] Complex
    without_neighbours(const Line& line, std::size_t back, const Path& path) const noexcept;
    void guess_clock(Path& path) noexcept;
    void solve_gains(Path& path) noexcept;
    void solve_alone(const Line& line, Path& path) const noexcept;
    void solve_cluster(const Cluster& cluster, Path& path) const noexcept;
    [[nodiscard]] std::size_t first_of(std::size_t back) const noexcept {
        return (newest_ + kFrames - back) % kFrames * kLines;
    }
    void solve_clock(Path& path) noexcept;
    void weigh(const Path& path) noexcept;

    double hop_s_ = 0.0;
    std::vector<Slot> slots_;
    std::vector<Complex> amplitudes_; ///< kFrames x kLines
    std::vector<Complex> turned_;     ///< likewise: what the clock has turned a line by
    std::vector<Complex> phase_;      ///< likewise: oscillator at the middle of the frame
    std::size_t newest_ = kFrames - 1;
    std::size_t count_ = 0;

    std::array<Line, kLines> lines_{};
    int line_count_ = 0;
    std::array<Cluster, kLines> clusters_{};
    int cluster_count_ = 0;
    std::array<float, kLines> played_{}; ///< amplitude of each line as it is played

    std::array<std::size_t, kFrames> chosen_{}; ///< of the running fit: frames back
    std::array<double, kFrames> weight_{};
    std::array<double, kFrames> left_{};
    std::size_t chosen_count_ = 0;

    double believed_clock_ = 0.0;
    double believed_sd_ = 0.0; ///< 0 = nothing is believed
    double clock_ = 0.0;       ///< newest result
    double clock_sd_ = 0.0;
};

} // namespace bellhand::bleed

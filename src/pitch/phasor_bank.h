#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

namespace bellhand::pitch {

/// Most harmonics that are followed at once.
inline constexpr int kBankHarmonics = 64;

/// Every harmonic of one reference pitch, brought down to zero frequency and summed in short overlapping blocks.
///
/// A block is a triangle two steps long, so that a window laid over the blocks is in effect a polygon through its
/// values: its images, where other harmonics could slip in, are down by the square of the usual sinc.
///
/// Each new sample is touched once per harmonic; whatever window is laid over the blocks later costs only its number of
/// blocks. A harmonic that is a little off its reference turns slowly from block to block, and that turning is the
/// measurement (heterodyne analysis as in Beauchamp 1966, with the windowing put off).
class PhasorBank {
public:
    static constexpr int kBlocks = 192; ///< blocks remembered
    static constexpr int kMaxStep = 64; ///< longest step from block to block, in samples

    PhasorBank();

    /// Start over at `omega` (rad per sample) with `harmonics` <= kBankHarmonics and a block every `step` <= kMaxStep
    /// samples, from the past samples `x`, whose length is a multiple of `step`.
    void start(double omega, int harmonics, int step, std::span<const float> x) noexcept;

    /// Add new samples, a multiple of the step.
    void push(std::span<const float> x) noexcept;

    [[nodiscard]] double omega() const noexcept { return omega_; }
    /// Phase of the reference in the middle of the newest block, rad.
    [[nodiscard]] double newest_phase() const noexcept;
    [[nodiscard]] int harmonics() const noexcept { return harmonics_; }
    [[nodiscard]] int step() const noexcept { return step_; }
    [[nodiscard]] int filled() const noexcept { return filled_; }

    /// Real and imaginary parts of all harmonics, kBankHarmonics each, in the block `age` before the newest (0),
    /// whose middle lies one step before the newest sample.
    [[nodiscard]] const float* real(int age) const noexcept { return row(age); }
    [[nodiscard]] const float* imag(int age) const noexcept { return row(age) + kBankHarmonics; }

private:
    [[nodiscard]] const float* row(int age) const noexcept {
        const int at = newest_ - age;
        return rows_.data() +
               static_cast<std::size_t>(at < 0 ? at + kBlocks : at) * 2 * kBankHarmonics;
    }
    void add_block() noexcept;

    double omega_ = 0.0;
    int harmonics_ = 0;
    int lanes_ = 0; // harmonics rounded up to whole vectors
    int step_ = 16;
    int filled_ = 0;
    int newest_ = 0;
    std::array<float, 2 * kMaxStep> stretch_{}; // samples of the newest block
    std::vector<float>
        cosine_; // [sample][harmonic], triangle and reference about the middle of a block
    std::vector<float> sine_;
    std::vector<float> rows_; // [block][re, im][harmonic]
    std::array<float, kBankHarmonics> turn_re_{},
        turn_im_{}; // where the block's middle lies on the reference
    std::array<float, kBankHarmonics> step_re_{}, step_im_{}; // one block further
};

} // namespace bellhand::pitch

#pragma once

#include <complex>
#include <memory>
#include <span>

namespace bellhand::dsp {

/// Fourier transform of real signals of one fixed length, by KissFFT.
///
/// Lengths are even and have no prime factor above 5 (powers of two are fastest); the library allocates for other
/// factors while transforming. Out of place only, for the same reason. No allocation after construction.
class RealFft {
public:
    /// Throws std::invalid_argument when `length` is odd, not positive, or has a prime factor above 5.
    explicit RealFft(int length);
    ~RealFft();
    RealFft(RealFft&&) noexcept;
    RealFft& operator=(RealFft&&) noexcept;
    RealFft(const RealFft&) = delete;
    RealFft& operator=(const RealFft&) = delete;

    [[nodiscard]] int length() const noexcept { return length_; }
    [[nodiscard]] int bins() const noexcept { return length_ / 2 + 1; }

    /// `in`: length() samples; `out`: bins() values, X[k] = sum x[n] exp(-2 pi j k n / length).
    void forward(std::span<const float> in, std::span<std::complex<float>> out) noexcept;

    /// `in`: bins() values; `out`: length() samples, scaled so that inverse(forward(x)) = length * x.
    void inverse(std::span<const std::complex<float>> in, std::span<float> out) noexcept;

private:
    struct Plans;
    int length_;
    std::unique_ptr<Plans> plans_;
};

} // namespace bellhand::dsp

#pragma once

#include <array>
#include <cmath>
#include <cstdint>

/// Elementary functions from additions, multiplications and divisions alone. These are rounded the same way on every
/// machine (IEEE 754), which the C library's sine and exponential are not: a seeded sound stays the same bit by bit.
/// Series after Abramowitz and Stegun, Handbook of Mathematical Functions (1964), 4.2.1, 4.1.27, 4.3.65, 4.3.66.
namespace bellhand::audio::exact {

inline constexpr double kTau = 6.283185307179586476925;
inline constexpr double kLn2 = 0.693147180559945309417;

struct SinCos {
    double sin = 0.0;
    double cos = 1.0;
};

/// Sine and cosine of an angle in turns (1 = full circle). Error below 1e-15.
[[nodiscard]] inline SinCos sin_cos_turns(double turns) noexcept {
    const double quarter = std::floor(4.0 * turns + 0.5);
    const double x = (turns - 0.25 * quarter) * kTau; // within an eighth of a turn of zero
    const double x2 = x * x;
    double s = 0.0;
    double c = 0.0;
    for (int k = 8; k >= 1; --k) {
        s = (1.0 + s) * (-x2 / static_cast<double>((2 * k) * (2 * k + 1)));
        c = (1.0 + c) * (-x2 / static_cast<double>((2 * k - 1) * (2 * k)));
    }
    s = x * (1.0 + s);
    c = 1.0 + c;
    switch (static_cast<int>(quarter - 4.0 * std::floor(0.25 * quarter))) {
    case 0:
        return {s, c};
    case 1:
        return {c, -s};
    case 2:
        return {-s, -c};
    default:
        return {-c, s};
    }
}

/// 2 to the power of x. Relative error below 1e-14.
[[nodiscard]] inline double exp2(double x) noexcept {
    const double whole = std::floor(x + 0.5);
    const double y = (x - whole) * kLn2;
    double sum = 0.0;
    for (int k = 13; k >= 1; --k) {
        sum = (1.0 + sum) * (y / static_cast<double>(k));
    }
    return std::ldexp(1.0 + sum, static_cast<int>(whole));
}

/// Logarithm to base 2 of a positive number. Error below 1e-14.
[[nodiscard]] inline double log2(double x) noexcept {
    int exponent = 0;
    double mantissa = std::frexp(x, &exponent);
    if (mantissa < 0.70710678118654752) {
        mantissa *= 2.0;
        --exponent;
    }
    const double t = (mantissa - 1.0) / (mantissa + 1.0);
    const double t2 = t * t;
    double sum = 0.0;
    for (int k = 23; k >= 1; k -= 2) {
        sum = sum * t2 + 1.0 / static_cast<double>(k);
    }
    return static_cast<double>(exponent) + 2.0 * t * sum / kLn2;
}

[[nodiscard]] inline double amplitude_of_db(double db) noexcept {
    return exp2(db * 0.166096404744368117); // log2(10) / 20
}

[[nodiscard]] inline double db_of_power(double power) noexcept {
    return log2(power) * 3.01029995663981195; // 10 log10(2)
}

/// Own random numbers, since the standard library's distributions differ between implementations. The generator is
/// SplitMix64 (Steele, Lea, Flood: Fast Splittable Pseudorandom Number Generators, 2014).
class Random {
public:
    explicit Random(std::uint64_t seed) noexcept : state_(seed) {}

    [[nodiscard]] std::uint64_t bits() noexcept {
        state_ += 0x9e3779b97f4a7c15ULL;
        std::uint64_t z = state_;
        z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9ULL;
        z = (z ^ (z >> 27U)) * 0x94d049bb133111ebULL;
        return z ^ (z >> 31U);
    }

    /// Even between 0 (included) and 1 (left out).
    [[nodiscard]] double uniform() noexcept {
        return static_cast<double>(bits() >> 11U) * 0x1.0p-53;
    }

    /// White noise: mean 0, variance 1, even distribution.
    [[nodiscard]] double white() noexcept {
        return (uniform() - 0.5) * 3.46410161513775459; // sqrt(12)
    }

    /// Mean 0, variance 1, bell shaped: the sum of twelve even numbers.
    [[nodiscard]] double normal() noexcept {
        double sum = -6.0;
        for (int i = 0; i < 12; ++i) {
            sum += uniform();
        }
        return sum;
    }

private:
    std::uint64_t state_;
};

} // namespace bellhand::audio::exact

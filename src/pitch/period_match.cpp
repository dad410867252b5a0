#include "pitch/period_match.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace bellhand::pitch {

namespace {

constexpr int kHalf = 8;
constexpr int kPlaces = 256;
using Taps = std::array<float, 2 * kHalf>;

// Windowed sinc that reads a signal between its samples, for every 1/256 of a sample.
std::array<Taps, kPlaces + 1> make_readers() {
    std::array<Taps, kPlaces + 1> out{};
    for (std::size_t place = 0; place < out.size(); ++place) {
        std::array<double, 2 * kHalf> h{};
        double sum = 0.0;
        for (int i = 0; i < 2 * kHalf; ++i) {
            const double t = i - (kHalf - 1) - static_cast<double>(place) / kPlaces;
            const double sinc =
                std::abs(t) < 1e-9 ? 1.0 : std::sin(std::numbers::pi * t) / (std::numbers::pi * t);
            const double x = std::numbers::pi * t / kHalf;
            const double window = 0.42 + 0.5 * std::cos(x) + 0.08 * std::cos(2.0 * x);
            h[static_cast<std::size_t>(i)] = sinc * window;
            sum += h[static_cast<std::size_t>(i)];
        }
        for (std::size_t i = 0; i < h.size(); ++i)
            out[place][i] = static_cast<float>(h[i] / sum);
    }
    return out;
}

const std::array<Taps, kPlaces + 1> kReaders = make_readers();

// Taps that read at `part` (0..1) after a sample.
Taps reader(double part) noexcept {
    const double at = part * kPlaces;
    const auto place = std::min(static_cast<std::size_t>(at), kReaders.size() - 2);
    const auto rest = static_cast<float>(at - static_cast<double>(place));
    Taps taps{};
    for (std::size_t i = 0; i < taps.size(); ++i)
        taps[i] = kReaders[place][i] + rest * (kReaders[place + 1][i] - kReaders[place][i]);
    return taps;
}

// Squared differences and energies of `count` samples at a and b; eight sums let the compiler use vector registers.
Mismatch compare(const float* a, const float* b, std::size_t count) noexcept {
    float difference[8] = {};
    float energy[8] = {};
    std::size_t i = 0;
    for (; i + 8 <= count; i += 8) {
        for (std::size_t k = 0; k < 8; ++k) {
            const float d = a[i + k] - b[i + k];
            difference[k] += d * d;
            energy[k] += a[i + k] * a[i + k] + b[i + k] * b[i + k];
        }
    }
    for (; i < count; ++i) {
        const float d = a[i] - b[i];
        difference[0] += d * d;
        energy[0] += a[i] * a[i] + b[i] * b[i];
    }
    Mismatch out;
    for (std::size_t k = 0; k < 8; ++k) {
        out.difference += static_cast<double>(difference[k]);
        out.energy += static_cast<double>(energy[k]);
    }
    return out;
}

} // namespace

Mismatch
match_period(std::span<const float> x, std::size_t end, std::size_t count, double lag) noexcept {
    const double place = static_cast<double>(end - count) - lag;
    const auto whole = static_cast<std::size_t>(place);
    const auto taps = reader(place - static_cast<double>(whole));
    const float* past = x.data() + whole - (kHalf - 1);
    const float* now = x.data() + (end - count);
    float difference = 0.0F;
    float newer = 0.0F;
    float older = 0.0F;
    for (std::size_t n = 0; n < count; ++n) {
        float earlier = 0.0F;
        for (std::size_t k = 0; k < taps.size(); ++k)
            earlier += taps[k] * past[n + k];
        const float d = now[n] - earlier;
        difference += d * d;
        newer += now[n] * now[n];
        older += earlier * earlier;
    }
    return {static_cast<double>(difference),
            static_cast<double>(newer + older),
            static_cast<double>(newer)};
}

namespace {

constexpr std::size_t kFineLags = 100;
constexpr float kFineLimit = 0.6F;
constexpr int kMostFine = 10;

struct Valley {
    double lag = 0.0;
    double ratio = 1.0;
};

// Lowest point of the parabola through three neighbouring values.
Valley parabola(double lag, double before, double here, double after, double step = 1.0) noexcept {
    const double bend = before - 2.0 * here + after;
    const double shift = bend > 0.0 ? std::clamp(0.5 * (before - after) / bend, -0.5, 0.5) : 0.0;
    return {lag + shift * step, here - 0.25 * (before - after) * shift};
}

// The valley near `lag`, to a small part of a sample.
Valley look_between(std::span<const float> x, std::size_t count, double lag) noexcept {
    double at = lag;
    double here = match_period(x, x.size(), count, at).ratio();
    double step = 0.3;
    for (int round = 0; round < 3; ++round) {
        const double before = match_period(x, x.size(), count, at - step).ratio();
        const double after = match_period(x, x.size(), count, at + step).ratio();
        if (before < here && before <= after) {
            at -= step;
            here = before;
        } else if (after < here) {
            at += step;
            here = after;
        } else {
            const Valley valley = parabola(at, before, here, after, step);
            at = valley.lag;
            here = match_period(x, x.size(), count, at).ratio();
            step *= 0.3;
        }
    }
    return {at, here};
}

} // namespace

ShortPeriod find_short_period(std::span<const float> x,
                              std::size_t usable,
                              std::size_t shortest,
                              std::size_t longest,
                              std::size_t least,
                              double expected,
                              std::span<float> scratch) noexcept {
    ShortPeriod out;
    usable = std::min(usable, x.size());
    if (usable < least + shortest)
        return out;
    longest = std::min({longest, usable - least, scratch.size() - 1});
    if (longest < shortest + 2)
        return out;
    const float* end = x.data() + x.size();
    float lowest = 2.0F;
    for (std::size_t lag = shortest; lag <= longest; ++lag) {
        // About a period is compared where the stretch allows it.
        const std::size_t count = std::min(usable - lag, std::max(least, lag + lag / 4));
        const float* now = end - count;
        scratch[lag] = static_cast<float>(compare(now, now - lag, count).ratio());
        lowest = std::min(lowest, scratch[lag]);
    }
    double best = 1e9;
    int tried = 0;
    for (std::size_t lag = shortest + 1; lag < longest; ++lag) {
        const float before = scratch[lag - 1];
        const float here = scratch[lag];
        const float after = scratch[lag + 1];
        // At short lags a whole sample is a good part of a cycle of the high harmonics: look between samples.
        const bool close = lag < kFineLags;
        const float limit = std::max(1.3F * lowest + 0.03F, close ? kFineLimit : 0.0F);
        if (here > before || here > after || here > limit)
            continue;
        Valley valley = parabola(static_cast<double>(lag),
                                 static_cast<double>(before),
                                 static_cast<double>(here),
                                 static_cast<double>(after));
        if (close && tried < kMostFine) {
            ++tried;
            valley = look_between(
                x, std::min(usable - lag - 8, std::max(least, lag + lag / 4)), valley.lag);
        }
        // Every multiple of the period fits as well: longer lags must earn their place.
        double cost = valley.ratio + 0.04 * std::log2(valley.lag / static_cast<double>(shortest));
        if (expected > 0.0)
            cost += 0.01 * std::abs(std::log2(valley.lag / expected));
        if (cost < best) {
            best = cost;
            out = {valley.lag,
                   std::max(valley.ratio, 0.0),
                   std::min(usable - lag, std::max(least, lag + lag / 4))};
        }
    }
    return out;
}

} // namespace bellhand::pitch

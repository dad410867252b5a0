#pragma once

#include "audio/exact_math.h"
#include "audio/reference_sound.h"

#include <algorithm>
#include <cmath>
#include <span>

namespace bellhand::audio {

/// Holds the peak of what leaves the program at `kLoudestPeak`: the gain falls at once and comes back slowly. Runs on
/// the device's thread.
class PeakLimiter {
public:
    void prepare(double sample_rate_hz) noexcept {
        constexpr double kReleaseS = 0.2;
        release_ = exact::exp2(-1.0 / (kReleaseS * sample_rate_hz * exact::kLn2));
        peak_ = 0.0;
    }

    /// True when there was something to hold.
    bool limit(std::span<float> out) noexcept {
        bool limited = false;
        constexpr auto kLoudest = static_cast<double>(kLoudestPeak);
        for (float& sample : out) {
            const double size = std::abs(static_cast<double>(sample));
            peak_ = std::max(size, peak_ * release_);
            if (peak_ > kLoudest) {
                limited = true;
                sample =
                    std::clamp(static_cast<float>(static_cast<double>(sample) * kLoudest / peak_),
                               -kLoudestPeak,
                               kLoudestPeak);
            }
        }
        return limited;
    }

private:
    double release_ = 0.0;
    double peak_ = 0.0;
};

} // namespace bellhand::audio

#pragma once

#include "trainer/reading.h"

#include <cstddef>
#include <optional>
#include <vector>

namespace bellhand::drill {

/// How loud the last eleven seconds were, hop by hop, whatever sounded. Allocates once.
class Levels {
public:
    Levels() : moments_(kMoments) {}
    void add(const trainer::Reading& reading) noexcept;
    /// The lowest level between two times, dBFS over some 20 ms; none where nothing was heard then.
    [[nodiscard]] std::optional<double> quietest_dbfs(double from_s, double to_s) const noexcept;

private:
    struct Moment {
        double time_s = 0.0;
        double level_dbfs = -200.0;
    };
    static constexpr std::size_t kMoments = 2048;
    std::vector<Moment> moments_;
    std::size_t count_ = 0;
    double power_ = 0.0; ///< smoothed
};

} // namespace bellhand::drill

#include "drill/levels.h"

#include <algorithm>
#include <cmath>

namespace bellhand::drill {

namespace {

constexpr double kSmooth = 0.25; // of each hop

} // namespace

void Levels::add(const trainer::Reading& reading) noexcept {
    const double power = std::pow(10.0, 0.1 * static_cast<double>(reading.frame.level_dbfs));
    power_ = count_ > 0 ? power_ + kSmooth * (power - power_) : power;
    moments_[count_++ % kMoments] = {reading.frame.time_s, 10.0 * std::log10(power_ + 1e-20)};
}

std::optional<double> Levels::quietest_dbfs(double from_s, double to_s) const noexcept {
    std::optional<double> quietest;
    for (std::size_t at = count_ > kMoments ? count_ - kMoments : 0; at < count_; ++at) {
        const Moment& moment = moments_[at % kMoments];
        if (moment.time_s >= from_s && moment.time_s <= to_s) {
            quietest = std::min(quietest.value_or(moment.level_dbfs), moment.level_dbfs);
        }
    }
    return quietest;
}

} // namespace bellhand::drill

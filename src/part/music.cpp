#include "part/music.h"

namespace bellhand::part {

TimeChange time_at(const Music& music, Place at) noexcept {
    TimeChange now;
    for (const TimeChange& change : music.times) {
        if (change.at > at) {
            break;
        }
        now = change;
    }
    return now;
}

double beat_of(const Music& music, Place at) noexcept {
    const int beat_ticks = 4 * kQuarter / time_at(music, at).beat_type;
    return 1.0 + static_cast<double>(at.tick) / beat_ticks;
}

std::vector<std::int64_t> bar_starts(const Music& music) {
    std::vector<std::int64_t> starts{0};
    starts.reserve(music.bars.size() + 1);
    for (const Bar& bar : music.bars) {
        starts.push_back(starts.back() + bar.ticks);
    }
    return starts;
}

} // namespace bellhand::part

#include "desk/model/ladder.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>

namespace bellhand::desk {

std::vector<Rung> ladder(const horn::Tuning& tuning, int lowest_partial, int highest_partial) {
    std::vector<Rung> rungs;
    const double f1_hz = horn::fundamental_hz(tuning);
    for (int partial = lowest_partial; partial <= highest_partial; ++partial) {
        Rung rung;
        rung.partial = partial;
        const double hz = f1_hz * partial;
        rung.cents = cents_between(hz, f1_hz);
        constexpr int kWrittenC2 = 36; // partial 1
        const int number = kWrittenC2 + static_cast<int>(std::lround(rung.cents / 100.0));
        rung.written = horn::usual_spelling(number);
        rung.from_written_cents = cents_between(hz, horn::target_hz(rung.written, tuning));
        rungs.push_back(rung);
    }
    return rungs;
}

LadderPlace place_on_ladder(double f0_hz, const horn::Tuning& tuning) noexcept {
    LadderPlace place;
    const double f1_hz = horn::fundamental_hz(tuning);
    place.cents = cents_between(f0_hz, f1_hz);
    place.partial_below = std::max(0, static_cast<int>(std::floor(f0_hz / f1_hz)));
    if (place.partial_below > 0) {
        place.above_lower_cents = cents_between(f0_hz, f1_hz * place.partial_below);
    }
    place.below_upper_cents = cents_between(f1_hz * (place.partial_below + 1), f0_hz);
    return place;
}

} // namespace bellhand::desk

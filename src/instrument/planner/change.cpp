#include "instrument/planner/change.h"

#include <cmath>

namespace bellhand::instrument {

namespace {

bool alike(const HornPiece& a, const HornPiece& b) {
    // Lengths come out of least squares, so equal pieces may differ in the last digits.
    return a.kind == b.kind && std::fabs(a.acoustic_m - b.acoustic_m) < 1e-7 &&
           std::fabs(a.reach_m - b.reach_m) < 1e-9 && a.mass_kg == b.mass_kg;
}

} // namespace

int in_tenths(double seconds) noexcept {
    return static_cast<int>(std::lround(10.0 * seconds));
}

double change_seconds(const ChangeTimes& times,
                      const Stack& from,
                      const Stack& to,
                      bool slide_moved) noexcept {
    int tenths = slide_moved ? in_tenths(times.slide_s) : 0;
    if (from != to) {
        const ChangeCount count = count_change(from.between, to.between);
        tenths += in_tenths(times.crook_s) + count.off * in_tenths(times.piece_off_s) +
                  count.on * in_tenths(times.piece_on_s);
    }
    return tenths / 10.0;
}

Change
change_between(const HornLengths& horn, const Stack& from, const Stack& to, bool slide_moved) {
    Change change;
    change.seconds = change_seconds(horn.change_times, from, to, slide_moved);
    change.slide_moved = slide_moved;
    if (from.crook != to.crook) {
        if (from.crook >= 0) {
            change.off.push_back(horn.crooks[static_cast<std::size_t>(from.crook)].name);
        }
        if (to.crook >= 0) {
            change.on.push_back(horn.crooks[static_cast<std::size_t>(to.crook)].name);
        }
    }
    for (std::size_t i = 0; i < horn.between.size(); ++i) {
        const bool before = ((from.between >> i) & 1U) != 0;
        const bool after = ((to.between >> i) & 1U) != 0;
        if (before != after) {
            (before ? change.off : change.on).push_back(horn.between[i].name);
        }
    }
    change.crook_lifted = from.crook == to.crook && from.crook >= 0 && from.between != to.between;
    return change;
}

Twins find_twins(const HornLengths& horn, PieceSet mounted) {
    const int count = static_cast<int>(horn.between.size());
    Twins twins;
    twins.before.assign(horn.between.size(), -1);
    std::vector<int> order; // mounted ones first
    for (const bool on : {true, false}) {
        for (int i = 0; i < count; ++i) {
            if ((((mounted >> i) & 1U) != 0) == on) {
                order.push_back(i);
            }
        }
    }
    for (std::size_t later = 0; later < order.size(); ++later) {
        for (std::size_t earlier = later; earlier-- > 0;) {
            const int piece = order[later];
            const int twin = order[earlier];
            if (alike(horn.between[static_cast<std::size_t>(piece)],
                      horn.between[static_cast<std::size_t>(twin)])) {
                twins.before[static_cast<std::size_t>(piece)] = twin;
                twins.pairs.push_back({piece, twin});
                break;
            }
        }
    }
    return twins;
}

} // namespace bellhand::instrument

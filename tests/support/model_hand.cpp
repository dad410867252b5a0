#include "support/model_hand.h"

#include "core/cents.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>
#include <vector>

namespace bellhand::test {

namespace {

using horn::acoustics::HandHabit;
using horn::acoustics::HandTable;
using horn::acoustics::HornShape;

static_assert(horn::kPartials == horn::acoustics::kModelPartials);

std::array<double, horn::kHandDegrees> degrees() {
    std::array<double, horn::kHandDegrees> closures{};
    for (std::size_t degree = 0; degree < closures.size(); ++degree) {
        closures[degree] = horn::closure_of(static_cast<horn::Hand>(degree));
    }
    return closures;
}

horn::HandResponse response_of(const HandTable& table) {
    horn::HandResponse response;
    response.open_cents = table.open_cents;
    response.hand_out_cents = table.hand_out_cents;
    for (std::size_t n = 0; n < table.open_cents.size(); ++n) {
        for (std::size_t degree = 0; degree < table.fall_cents.size(); ++degree) {
            response.fall_cents[n][degree] = table.fall_cents[degree][n];
        }
    }
    // The lowest resonance lies far below f1 and is not what a pedal note hangs on: its upper harmonics do, so it sounds
    // f1 whatever the hand does (from memory).
    response.open_cents.front() = 0.0;
    response.hand_out_cents.front() = 0.0;
    response.fall_cents.front().fill(0.0);
    response.source = "transmission-line model of an invented horn, computed, not measured";
    return response;
}

Result<horn::HandResponse> response_at_f1(double f1_hz,
                                          const horn::acoustics::Air& air,
                                          const HornShape& shape,
                                          const HandHabit& habit) {
    const auto closures = degrees();
    const auto tables =
        horn::acoustics::hand_tables(shape, std::span(&f1_hz, 1), closures, air, habit);
    if (!tables) {
        return tl::unexpected(tables.error());
    }
    return response_of(tables->front());
}

struct Horn {
    HornShape shape;
    HandHabit hand;
};

void scale_gaps(HandHabit& hand, double factor) {
    for (std::size_t degree = 1; degree < hand.gap_radius_m.size(); ++degree) {
        hand.gap_radius_m[degree] *= factor;
    }
}

void scale_tube(HornShape& shape, double tube_m, double cone, double throat) {
    shape.tube_radius_m = tube_m;
    shape.first_cone_end_radius_m *= cone;
    shape.throat_of_bell_radius_m *= throat;
}

std::vector<std::pair<Horn, Horn>> family(const HornShape& middle) {
    std::vector<std::pair<Horn, Horn>> pairs(7, {{middle, {}}, {middle, {}}});
    scale_gaps(pairs[0].first.hand, 0.88);
    scale_gaps(pairs[0].second.hand, 1.13);
    pairs[1].first.hand.gap_radius_m[0] = 0.026;
    pairs[1].second.hand.gap_radius_m[0] = 0.036;
    pairs[2].first.hand.depth_m = 0.08;
    pairs[2].second.hand.depth_m = 0.13;
    pairs[3].first.hand.length_m = 0.05;
    pairs[3].second.hand.length_m = 0.12;
    pairs[4].first.shape.bell_exponent = 0.75;
    pairs[4].second.shape.bell_exponent = 1.0;
    pairs[5].first.shape.rim_radius_m = 0.130;
    pairs[5].second.shape.rim_radius_m = 0.150;
    scale_tube(pairs[6].first.shape, 0.0055, 0.93, 0.90);
    scale_tube(pairs[6].second.shape, 0.0062, 1.07, 1.10);
    return pairs;
}

// Short enough for the horns of the family too.
HornShape body_for(double f1_hz, const horn::acoustics::Air& air) {
    constexpr double kRoom = 1.06;
    HornShape shape;
    while (!horn::acoustics::crook_length_for_m(shape, kRoom * f1_hz, air)) {
        shape.body_length_m -= 0.05;
    }
    return shape;
}

} // namespace

Result<horn::HandResponse> model_hand_response(const horn::Tuning& tuning,
                                               const horn::acoustics::Air& air,
                                               const HornShape& shape,
                                               const HandHabit& habit) {
    return response_at_f1(horn::fundamental_hz(tuning), air, shape, habit);
}

horn::HandResponse known_hand(const horn::Tuning& tuning) {
    auto response = horn::hand_response(tuning);
    response.doubt_cents = {};
    return response;
}

double taught_full_fall_cents(int partial, double f1_hz) noexcept {
    constexpr double kSpeed_m_s = 343.4;
    constexpr double kTakenAway_m = 0.22076;
    const double length_m = kSpeed_m_s / (2.0 * f1_hz);
    const double rise = cents_between(length_m, length_m - kTakenAway_m);
    return std::min(0.0, rise - cents_between(partial, partial - 1));
}

Result<horn::HandResponse> model_family(double f1_hz) {
    const auto air = horn::acoustics::humid_air({});
    HornShape shape;
    if (!horn::acoustics::crook_length_for_m(shape, f1_hz, air)) {
        shape = body_for(f1_hz, air);
    }
    auto middle = response_at_f1(f1_hz, air, shape, {});
    if (!middle) {
        return middle;
    }
    for (const auto& [one, other] : family(body_for(f1_hz, air))) {
        const auto low = response_at_f1(f1_hz, air, one.shape, one.hand);
        const auto high = response_at_f1(f1_hz, air, other.shape, other.hand);
        if (!low || !high) {
            return low ? high : low;
        }
        for (std::size_t n = 0; n < horn::kPartials; ++n) {
            for (std::size_t degree = 1; degree < horn::kHandDegrees; ++degree) {
                const double half =
                    0.5 * (low->fall_cents[n][degree] - high->fall_cents[n][degree]);
                middle->doubt_cents[n][degree] = std::hypot(middle->doubt_cents[n][degree], half);
            }
        }
    }
    for (int partial = 3; partial <= horn::kPartials; ++partial) {
        const auto n = static_cast<std::size_t>(partial - 1);
        const double taught = taught_full_fall_cents(partial, f1_hz);
        double& doubt = middle->doubt_cents[n].back();
        doubt = std::max(doubt, std::fabs(middle->fall_cents[n].back() - taught));
    }
    middle->open_cents.fill(0.0);
    return middle;
}

} // namespace bellhand::test

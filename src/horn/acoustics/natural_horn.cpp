#include "horn/acoustics/natural_horn.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace bellhand::horn::acoustics {

namespace {

constexpr double kShortestCrook_m = 0.02;
constexpr double kLowestF1_hz = 20.0;
constexpr std::array kTunedPartials{4, 5, 6, 8, 9, 10, 12};

/// A few Hz above the last partial wanted; high enough that its top is bracketed.
PeakSearch search_up_to(int partials, double f1_guess_hz) noexcept {
    return {0.4 * f1_guess_hz, (partials + 0.7) * f1_guess_hz, partials, f1_guess_hz / 10.0};
}

/// First guess of f1 from the length of the tube: tape length is about 0.945 of c / (2 f1).
double guess_f1_hz(const Line& line) noexcept {
    return 0.945 * line.air().speed_m_s / (2.0 * line.length_m());
}

std::array<double, kModelPartials> fall_from(const std::vector<Resonance>& open,
                                             const std::vector<Resonance>& other,
                                             std::size_t partials) {
    std::array<double, kModelPartials> out{};
    for (std::size_t i = 0; i < kModelPartials; ++i) {
        const std::size_t k = std::min(i, partials - 1);
        out[i] = cents_between(other[k].f_hz, open[k].f_hz);
    }
    return out;
}

Result<HandTable> hand_table(const HornShape& shape,
                             double f1_hz,
                             std::span<const double> closures,
                             const Air& air,
                             const HandHabit& habit) {
    const auto crook_m = crook_length_for_m(shape, f1_hz, air, habit);
    if (!crook_m) {
        return tl::unexpected(crook_m.error());
    }
    HandTable table;
    table.f1_hz = f1_hz;
    table.crook_length_m = *crook_m;
    table.closures.assign(closures.begin(), closures.end());
    const auto at = [&](const std::optional<HandInBell>& hand) {
        return horn_resonances(shape, *crook_m, hand, air);
    };
    const auto open = at(hand_at(0.0, habit));
    const auto out = at(std::nullopt);
    const auto stopped = at(hand_at(1.0, habit));
    std::vector<std::vector<Resonance>> closed;
    std::size_t partials = std::min({open.size(), out.size(), stopped.size()});
    for (const double closure : closures) {
        closed.push_back(closure == 1.0 ? stopped : at(hand_at(closure, habit)));
        partials = std::min(partials, closed.back().size());
    }
    if (partials < 2) {
        return failure("the bore has no resonances to speak of: check its shape");
    }
    table.partials = static_cast<int>(partials);
    for (std::size_t i = 0; i < kModelPartials; ++i) {
        const std::size_t k = std::min(i, partials - 1);
        table.open_cents[i] = cents_between(open[k].f_hz, static_cast<double>(k + 1) * f1_hz);
        table.full_stop_rise_cents[i] =
            k == 0 ? 0.0 : cents_between(stopped[k].f_hz, open[k - 1].f_hz);
    }
    table.hand_out_cents = fall_from(open, out, partials);
    for (const auto& one : closed) {
        table.fall_cents.push_back(fall_from(open, one, partials));
    }
    return table;
}

} // namespace

Bore horn_bore(const HornShape& shape, double crook_length_m) {
    const double crook_m = std::max(crook_length_m, kShortestCrook_m);
    const double taper_m = std::min(shape.crook_taper_m, 0.8 * crook_m);
    Bore bore;
    bore.segments = {
        {shape.rim_depth_m, shape.cup_radius_m, shape.cup_radius_m},
        {shape.cup_length_m, shape.cup_radius_m, shape.throat_radius_m},
        {shape.backbore_length_m, shape.throat_radius_m, shape.crook_entry_radius_m},
        {taper_m, shape.crook_entry_radius_m, shape.tube_radius_m},
        {crook_m - taper_m, shape.tube_radius_m, shape.tube_radius_m},
        {shape.body_length_m - shape.first_cone_m - shape.second_cone_m - shape.bell_length_m,
         shape.tube_radius_m,
         shape.tube_radius_m},
        {shape.first_cone_m, shape.tube_radius_m, shape.first_cone_end_radius_m},
        {shape.second_cone_m, shape.first_cone_end_radius_m, shape.throat_of_bell_radius_m}};
    // The flare's law solved for x0 so that it meets the cone: r = rim (x0 / (x0 + L))^e.
    const double narrowing =
        std::pow(shape.throat_of_bell_radius_m / shape.rim_radius_m, 1.0 / shape.bell_exponent);
    const double x0_m = shape.bell_length_m * narrowing / (1.0 - narrowing);
    for (const Segment& slice : bell_flare(shape.bell_length_m,
                                           shape.rim_radius_m,
                                           x0_m,
                                           shape.bell_exponent,
                                           shape.bell_slices)) {
        bore.segments.push_back(slice);
    }
    return bore;
}

HandInBell hand_at(double closure, const HandHabit& habit) noexcept {
    const double position = std::clamp(closure, 0.0, 1.0) * 4.0;
    const auto below = std::min<std::size_t>(3, static_cast<std::size_t>(position));
    const double part = position - static_cast<double>(below);
    const double gap_m = habit.gap_radius_m[below] *
                         std::pow(habit.gap_radius_m[below + 1] / habit.gap_radius_m[below], part);
    return {gap_m, habit.depth_m, habit.length_m};
}

std::vector<Resonance> horn_resonances(const HornShape& shape,
                                       double crook_length_m,
                                       const std::optional<HandInBell>& hand,
                                       const Air& air,
                                       int most) {
    const Bore empty = horn_bore(shape, crook_length_m);
    const Line line(hand ? with_hand(empty, *hand) : empty, air, Losses::series);
    return resonances(line, search_up_to(most, guess_f1_hz(line)));
}

double
model_f1_hz(const HornShape& shape, double crook_length_m, const Air& air, const HandHabit& habit) {
    const Line line(
        with_hand(horn_bore(shape, crook_length_m), hand_at(0.0, habit)), air, Losses::series);
    const auto found = resonances(line, search_up_to(kTunedPartials.back(), guess_f1_hz(line)));
    double log_sum = 0.0;
    int counted = 0;
    for (const int n : kTunedPartials) {
        if (static_cast<std::size_t>(n) <= found.size()) {
            log_sum += std::log2(found[static_cast<std::size_t>(n - 1)].f_hz / n);
            ++counted;
        }
    }
    return counted > 0 ? std::exp2(log_sum / counted) : 0.0;
}

Result<double>
crook_length_for_m(const HornShape& shape, double f1_hz, const Air& air, const HandHabit& habit) {
    char text[160];
    if (!(f1_hz >= kLowestF1_hz)) {
        std::snprintf(text,
                      sizeof text,
                      "f1 of %.4g Hz is below 20 Hz, lower than any crook of the horn",
                      f1_hz);
        return usage_error(text);
    }
    const double highest_hz = model_f1_hz(shape, kShortestCrook_m, air, habit);
    if (f1_hz > highest_hz) {
        std::snprintf(text,
                      sizeof text,
                      "f1 of %.4g Hz is higher than this body plays without a crook (%.4g Hz)",
                      f1_hz,
                      highest_hz);
        return usage_error(text);
    }
    // Each metre of tube adds about a metre to c / (2 f1): a few corrections by that rule are enough.
    const double half_c = air.speed_m_s / 2.0;
    double crook_m = std::max(kShortestCrook_m, 0.945 * (half_c / f1_hz - half_c / highest_hz));
    for (int i = 0; i < 12; ++i) {
        const double short_m = half_c / f1_hz - half_c / model_f1_hz(shape, crook_m, air, habit);
        crook_m = std::max(kShortestCrook_m, crook_m + 0.98 * short_m);
        if (std::abs(short_m) < 1e-5) {
            break;
        }
    }
    return crook_m;
}

Result<std::vector<HandTable>> hand_tables(const HornShape& shape,
                                           std::span<const double> f1_hz,
                                           std::span<const double> closures,
                                           const Air& air,
                                           const HandHabit& habit,
                                           const Progress& progress) {
    std::vector<HandTable> tables;
    tables.reserve(f1_hz.size());
    for (const double f1 : f1_hz) {
        auto table = hand_table(shape, f1, closures, air, habit);
        if (!table) {
            return tl::unexpected(table.error());
        }
        tables.push_back(std::move(*table));
        if (progress &&
            !progress(static_cast<double>(tables.size()) / static_cast<double>(f1_hz.size()))) {
            return failure("the charts were stopped before all crooks were done");
        }
    }
    return tables;
}

double gap_sensitivity_cents_per_mm(const Bore& empty_bell,
                                    const HandInBell& hand,
                                    double resonance_hz,
                                    const Air& air) {
    constexpr double kHalfStep_m = 1e-4;
    const auto shifted = [&](double by_m) {
        HandInBell moved = hand;
        moved.gap_radius_m += by_m;
        return resonance_near(Line(with_hand(empty_bell, moved), air), resonance_hz, 1.0).f_hz;
    };
    return cents_between(shifted(kHalfStep_m), shifted(-kHalfStep_m)) / (2000.0 * kHalfStep_m);
}

} // namespace bellhand::horn::acoustics

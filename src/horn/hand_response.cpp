#include "horn/hand_response.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>

namespace bellhand::horn {

namespace {

// Fall of the partials 2 to 13 on a modelled F horn at quarter, half, three-quarters and full closure, in cents
// (transmission line, invented bore, gap radii 20, 14, 10 and 4 mm of 44 mm; computed).
struct ModelledFall {
    double quarter;
    double half;
    double three_quarters;
    double full;
};
constexpr int kFirstModelled = 2;
constexpr std::array<ModelledFall, 12> kFall{{{10, 35, 75, 581},
                                              {13, 42, 107, 435},
                                              {21, 73, 178, 380},
                                              {29, 93.5, 177, 256},
                                              {48, 126, 185, 227},
                                              {46, 91.5, 118, 138},
                                              {40, 74.5, 95, 112},
                                              {32, 56.5, 70, 81},
                                              {28, 47, 57, 66},
                                              {23, 38.5, 46, 53},
                                              {21, 34, 41, 46},
                                              {16, 25.5, 30, 34}}};

// Rise of the partials 2 to 15 of the same model when the hand leaves the bell altogether (computed).
constexpr std::array<double, 14> kHandOut{
    4.6, 5.3, 8.0, 10.4, 18.3, 21.4, 21.5, 20.6, 19.4, 18.5, 19.1, 16.5, 13.6, 11.1};

// Fall from open to full stop: down to just above the partial below.
double full_fall_cents(int partial, double rise_cents) noexcept {
    if (partial == kFirstModelled) {
        return kFall.front().full; // the tube has no resonance at the pedal to land on
    }
    const double gap = cents_between(static_cast<double>(partial), partial - 1);
    return std::max(0.0, gap - rise_cents);
}

} // namespace

double full_stop_rise_cents(double f1_hz) noexcept {
    constexpr double kSpeed_m_s = 343.4;
    constexpr double kFundamentalOfF_hz = 43.653528929125;
    constexpr double kLengthOfF_m = kSpeed_m_s / (2.0 * kFundamentalOfF_hz);
    static const double kTakenAway_m = kLengthOfF_m * (1.0 - std::exp2(-1.0 / 12.0));
    const double length_m = kSpeed_m_s / (2.0 * f1_hz);
    return cents_between(length_m, length_m - kTakenAway_m);
}

HandResponse nominal_hand_response(const Tuning& tuning) {
    HandResponse response;
    const double rise_cents = full_stop_rise_cents(fundamental_hz(tuning));
    for (int partial = kFirstModelled; partial <= kPartials; ++partial) {
        const auto at = static_cast<std::size_t>(partial - 1);
        const auto modelled =
            std::min(static_cast<std::size_t>(partial - kFirstModelled), kFall.size() - 1);
        const ModelledFall& fall = kFall[modelled];
        const double scale = full_fall_cents(partial, rise_cents) / fall.full;
        response.fall_cents[at] = {0.0,
                                   -fall.quarter * scale,
                                   -fall.half * scale,
                                   -fall.three_quarters * scale,
                                   -fall.full * scale};
        response.hand_out_cents[at] = kHandOut[std::min(
            static_cast<std::size_t>(partial - kFirstModelled), kHandOut.size() - 1)];
    }
    response.source = "nominal hand, computed, not measured";
    return response;
}

double closure_of(Hand hand) noexcept {
    return 0.25 * static_cast<int>(hand);
}

double response_at(const HandResponse& response, int partial, double closure) noexcept {
    const auto at = static_cast<std::size_t>(std::clamp(partial, 1, kPartials) - 1);
    const double place = std::clamp(closure, 0.0, 1.0) * (kHandDegrees - 1);
    const auto below = std::min(static_cast<std::size_t>(place), std::size_t{kHandDegrees - 2});
    const double part = place - static_cast<double>(below);
    const auto& fall = response.fall_cents[at];
    return response.open_cents[at] + fall[below] + part * (fall[below + 1] - fall[below]);
}

double nearest_closure(
    const HandResponse& response, int partial, Hand from, Hand to, double wanted_cents) noexcept {
    double nearest = closure_of(from);
    double nearest_distance = std::fabs(response_at(response, partial, nearest) - wanted_cents);
    const auto consider = [&](double closure) {
        const double distance = std::fabs(response_at(response, partial, closure) - wanted_cents);
        if (distance < nearest_distance) {
            nearest = closure;
            nearest_distance = distance;
        }
    };
    // The response is straight between two degrees: the best place is a degree or where the line meets the wish.
    for (int degree = static_cast<int>(from); degree < static_cast<int>(to); ++degree) {
        const double low = closure_of(static_cast<Hand>(degree));
        const double high = closure_of(static_cast<Hand>(degree + 1));
        const double at_low = response_at(response, partial, low);
        const double at_high = response_at(response, partial, high);
        if (at_low != at_high) {
            consider(low + (high - low) *
                               std::clamp((wanted_cents - at_low) / (at_high - at_low), 0.0, 1.0));
        }
        consider(high);
    }
    return nearest;
}

} // namespace bellhand::horn

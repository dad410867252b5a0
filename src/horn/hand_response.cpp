#include "horn/hand_response.h"

#include "core/cents.h"
#include "horn/modelled_falls.h"

#include <algorithm>
#include <cmath>

namespace bellhand::horn {

namespace {

// What partials of a good horn lie off n * f1 at, 5 to 7 cents (common practice, no source).
constexpr double kOpenDoubt_cents = 6.0;

/// Weights of four neighbouring nodes: a cubic through the inner two with the slopes of the outer ones (Catmull and Rom
/// 1974).
struct Between {
    std::array<std::size_t, 4> node{};
    std::array<double, 4> weight{};

    explicit Between(double place) noexcept {
        const double inside = std::clamp(place, 0.0, kModelledNodes - 1.0);
        const int below = std::min(static_cast<int>(inside), kModelledNodes - 2);
        const double t = inside - below;
        for (int i = 0; i < 4; ++i) {
            node[static_cast<std::size_t>(i)] =
                static_cast<std::size_t>(std::clamp(below - 1 + i, 0, kModelledNodes - 1));
        }
        weight = {0.5 * t * (-1.0 + t * (2.0 - t)),
                  1.0 + 0.5 * t * t * (-5.0 + 3.0 * t),
                  0.5 * t * (1.0 + t * (4.0 - 3.0 * t)),
                  0.5 * t * t * (t - 1.0)};
    }

    /// `figure` takes one of the nodes and gives tenths of a cent.
    template <typename Figure>
    [[nodiscard]] double cents(const Figure& figure) const noexcept {
        double tenths = 0.0;
        for (std::size_t i = 0; i < weight.size(); ++i) {
            tenths += weight[i] * figure(kModelledFalls[node[i]]);
        }
        return 0.1 * tenths;
    }
};

/// Where a closure lies between two degrees.
struct Place {
    std::size_t below = 0;
    double part = 0.0;

    explicit Place(double closure) noexcept {
        const double place = std::clamp(closure, 0.0, 1.0) * (kHandDegrees - 1);
        below = std::min(static_cast<std::size_t>(place), std::size_t{kHandDegrees - 2});
        part = place - static_cast<double>(below);
    }
    [[nodiscard]] double in(const std::array<double, kHandDegrees>& degrees) const noexcept {
        return degrees[below] + part * (degrees[below + 1] - degrees[below]);
    }
};

std::size_t index_of(int partial) noexcept {
    return static_cast<std::size_t>(std::clamp(partial, 1, kPartials) - 1);
}

} // namespace

HandResponse hand_response(const Tuning& tuning) {
    HandResponse response;
    const Between between(modelled_node(fundamental_hz(tuning)));
    for (std::size_t n = 0; n < kPartials; ++n) {
        response.hand_out_cents[n] =
            between.cents([n](const ModelledFalls& node) { return node.hand_out[n]; });
        response.doubt_cents[n][0] = kOpenDoubt_cents;
        for (std::size_t degree = 1; degree < kHandDegrees; ++degree) {
            const double fall = between.cents(
                [n, degree](const ModelledFalls& node) { return node.fall[degree - 1][n]; });
            // Far above the cutoff of the bell the model's last cents turn round; no hand was ever heard to.
            response.fall_cents[n][degree] = std::min(fall, response.fall_cents[n][degree - 1]);
            response.doubt_cents[n][degree] = between.cents(
                [n, degree](const ModelledFalls& node) { return node.doubt[degree - 1][n]; });
        }
    }
    response.source = "modelled hand, computed, not measured";
    return response;
}

double closure_of(Hand hand) noexcept {
    return 0.25 * static_cast<int>(hand);
}

Hand degree_of(double closure) noexcept {
    return static_cast<Hand>(std::clamp(
        static_cast<int>(std::ceil(closure * (kHandDegrees - 1) - 0.5)), 0, kHandDegrees - 1));
}

double response_at(const HandResponse& response, int partial, double closure) noexcept {
    const std::size_t at = index_of(partial);
    return response.open_cents[at] + Place(closure).in(response.fall_cents[at]);
}

double fall_doubt_at(const HandResponse& response, int partial, double closure) noexcept {
    auto doubts = response.doubt_cents[index_of(partial)];
    doubts.front() = 0.0;
    return Place(closure).in(doubts);
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

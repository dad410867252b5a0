#include "horn/acoustics/bore.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>
#include <string>

namespace bellhand::horn::acoustics {

namespace {

constexpr std::size_t kMostSegments = 5000;
constexpr double kSmallestRadius_m = 0.2e-3;
constexpr double kLargestRadius_m = 0.5;
constexpr double kLongestBore_m = 30.0;
constexpr double kLongestPieceUnderHand_m = 5e-3;

std::string segment_name(std::size_t index) {
    return "segment " + std::to_string(index + 1);
}

std::string number(double value) {
    char text[32];
    std::snprintf(text, sizeof text, "%g", value);
    return text;
}

Result<void> check_radius(double radius_m, std::size_t index) {
    if (!std::isfinite(radius_m) || radius_m <= 0.0) {
        return usage_error("the radius of " + segment_name(index) +
                           " must be a positive number of metres, not " + number(radius_m));
    }
    if (radius_m > kLargestRadius_m) {
        return usage_error("the radius of " + segment_name(index) + " is " + number(radius_m) +
                           " m; no horn is that wide: give metres, not millimetres");
    }
    if (radius_m < kSmallestRadius_m) {
        return usage_error("the radius of " + segment_name(index) + " is " + number(radius_m) +
                           " m, less than a fifth of a millimetre: give radii in metres");
    }
    return {};
}

double hand_weight(double distance_from_rim_m, const HandInBell& hand) noexcept {
    const double d = std::abs(distance_from_rim_m - hand.depth_m) / (hand.length_m / 2.0);
    if (d >= 1.0) {
        return 0.0;
    }
    return d <= 0.5 ? 1.0 : 0.5 * (1.0 + std::cos(2.0 * std::numbers::pi * (d - 0.5)));
}

double narrowed(double radius_m, double distance_from_rim_m, const HandInBell& hand) noexcept {
    const double weight = hand_weight(distance_from_rim_m, hand);
    if (weight == 0.0 || radius_m <= hand.gap_radius_m) {
        return radius_m;
    }
    return radius_m * std::pow(hand.gap_radius_m / radius_m, weight);
}

} // namespace

double length_m(const Bore& bore) noexcept {
    double sum = 0.0;
    for (const Segment& segment : bore.segments) {
        sum += segment.length_m;
    }
    return sum;
}

Result<Bore> checked_bore(Bore bore) {
    if (bore.segments.empty()) {
        return usage_error("the bore has no segments: list them from the mouthpiece to the bell");
    }
    if (bore.segments.size() > kMostSegments) {
        return usage_error("the bore has " + std::to_string(bore.segments.size()) +
                           " segments; at most " + std::to_string(kMostSegments) + " are read");
    }
    double total_m = 0.0;
    for (std::size_t i = 0; i < bore.segments.size(); ++i) {
        const Segment& segment = bore.segments[i];
        if (!std::isfinite(segment.length_m) || segment.length_m <= 0.0) {
            return usage_error("the length of " + segment_name(i) +
                               " must be a positive number of metres, not " +
                               number(segment.length_m));
        }
        for (const double radius_m : {segment.radius_in_m, segment.radius_out_m}) {
            if (auto checked = check_radius(radius_m, i); !checked) {
                return tl::unexpected(checked.error());
            }
        }
        total_m += segment.length_m;
    }
    if (total_m > kLongestBore_m) {
        return usage_error("the bore is " + number(total_m) +
                           " m long; at most 30 m are modelled: give metres, not millimetres");
    }
    return bore;
}

std::vector<Segment>
bell_flare(double length_m, double rim_radius_m, double x0_m, double exponent, int slices) {
    const auto radius_at = [&](double from_rim_m) {
        return rim_radius_m * std::pow(x0_m / (x0_m + from_rim_m), exponent);
    };
    std::vector<Segment> segments;
    segments.reserve(static_cast<std::size_t>(slices));
    const double step_m = length_m / slices;
    for (int i = 0; i < slices; ++i) {
        segments.push_back(
            {step_m, radius_at(length_m - i * step_m), radius_at(length_m - (i + 1) * step_m)});
    }
    return segments;
}

Bore with_hand(const Bore& bore, const HandInBell& hand) {
    Bore out;
    out.end = bore.end;
    out.segments.reserve(bore.segments.size() + 32);
    const double inner_edge_m = hand.depth_m + hand.length_m / 2.0;
    const double outer_edge_m = hand.depth_m - hand.length_m / 2.0;
    double from_rim_m = length_m(bore);
    for (const Segment& segment : bore.segments) {
        const double end_m = from_rim_m - segment.length_m;
        if (end_m >= inner_edge_m || from_rim_m <= outer_edge_m) {
            out.segments.push_back(segment);
            from_rim_m = end_m;
            continue;
        }
        const int pieces = std::max(
            1, static_cast<int>(std::ceil(segment.length_m / kLongestPieceUnderHand_m - 1e-9)));
        const auto radius_at = [&](int i) {
            const double part = static_cast<double>(i) / pieces;
            const double radius_m =
                segment.radius_in_m + part * (segment.radius_out_m - segment.radius_in_m);
            return narrowed(radius_m, from_rim_m - part * segment.length_m, hand);
        };
        for (int i = 0; i < pieces; ++i) {
            out.segments.push_back({segment.length_m / pieces, radius_at(i), radius_at(i + 1)});
        }
        from_rim_m = end_m;
    }
    return out;
}

} // namespace bellhand::horn::acoustics

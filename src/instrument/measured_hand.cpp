#include "instrument/measured_hand.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace bellhand::instrument {

namespace {

using Points = std::vector<std::pair<double, double>>; // closure, cents

bool is_partial(int partial) {
    return partial >= 1 && partial <= horn::kPartials;
}

// What is measured is known to so much where the profile does not say; a landing taken over from other partials less
// well (common practice, no source).
constexpr double kMeasured_cents = 3.0;
constexpr double kTakenOver_cents = 15.0;

// Puts the full stop of one partial where it was found and keeps the other degrees' share of the fall; how far those may
// be wrong stays as it was.
void land_full_stop(horn::HandResponse& response, int partial, const FullStopLanding& landing) {
    if (partial < 2) {
        return; // below the first partial there is nothing to stop above
    }
    const double rise_cents = landing.rise_cents;
    const auto at = static_cast<std::size_t>(partial - 1);
    const double gap =
        cents_between(partial, partial - 1) + response.open_cents[at] - response.open_cents[at - 1];
    const double fall = std::min(0.0, rise_cents - gap);
    auto& degrees = response.fall_cents[at];
    response.doubt_cents[at].back() =
        landing.sd_cents.value_or(landing.partial ? kMeasured_cents : kTakenOver_cents);
    const double before = degrees.back();
    for (std::size_t degree = 1; degree < degrees.size(); ++degree) {
        degrees[degree] = before < 0.0 ? degrees[degree] * fall / before
                                       : fall * horn::closure_of(static_cast<horn::Hand>(degree));
    }
}

double between(const Points& points, double closure) {
    const auto after =
        std::lower_bound(points.begin(), points.end(), closure, [](const auto& point, double c) {
            return point.first < c;
        });
    if (after == points.begin()) {
        return points.front().second;
    }
    const auto before = after - 1;
    const double width = after->first - before->first;
    const double part = width > 0.0 ? (closure - before->first) / width : 0.0;
    return before->second + part * (after->second - before->second);
}

// Degrees within the measured closures come from the points; beyond the last one the fall goes on as it did before.
void follow_points(horn::HandResponse& response, int partial, Points points) {
    points.emplace_back(0.0, 0.0);
    std::sort(points.begin(), points.end());
    auto& degrees = response.fall_cents[static_cast<std::size_t>(partial - 1)];
    const double reached = points.back().first;
    const double shift =
        points.back().second - (horn::response_at(response, partial, reached) -
                                response.open_cents[static_cast<std::size_t>(partial - 1)]);
    for (std::size_t degree = 1; degree < degrees.size(); ++degree) {
        const double closure = horn::closure_of(static_cast<horn::Hand>(degree));
        if (closure <= reached) {
            response.doubt_cents[static_cast<std::size_t>(partial - 1)][degree] = kMeasured_cents;
        }
        degrees[degree] = closure <= reached ? between(points, closure) : degrees[degree] + shift;
    }
}

std::string joined(const std::vector<std::string>& names) {
    std::string text;
    for (const std::string& name : names) {
        text += (text.empty() ? "" : " + ") + name;
    }
    return text;
}

/// A landing for all partials first, so that those measured by themselves have the last word.
void land_full_stops(horn::HandResponse& response, const std::vector<FullStopLanding>& landings) {
    for (const FullStopLanding& landing : landings) {
        for (int partial = 2; !landing.partial && partial <= horn::kPartials; ++partial) {
            land_full_stop(response, partial, landing);
        }
    }
    for (const FullStopLanding& landing : landings) {
        if (landing.partial && is_partial(*landing.partial)) {
            land_full_stop(response, *landing.partial, landing);
        }
    }
}

} // namespace

const AssemblyCalibration* calibrated_near(const Profile& profile,
                                           const horn::Tuning& tuning) noexcept {
    const double f1_hz = horn::fundamental_hz(tuning);
    const AssemblyCalibration* nearest = nullptr;
    double distance = kSameHorn_cents;
    if (profile.calibration) {
        for (const AssemblyCalibration& assembly : profile.calibration->assemblies) {
            const double away =
                assembly.f1_hz ? std::fabs(cents_between(*assembly.f1_hz, f1_hz)) : 1e9;
            if (away <= distance) {
                nearest = &assembly;
                distance = away;
            }
        }
    }
    return nearest;
}

Result<horn::HandResponse> measured_hand_response(const Profile& profile,
                                                  const horn::Tuning& tuning,
                                                  const horn::HandResponse& otherwise) {
    const AssemblyCalibration* assembly = calibrated_near(profile, tuning);
    if (assembly == nullptr) {
        return failure("The profile \"" + profile.name + "\" has no measured horn near " +
                       tuning.crook.label +
                       " at this pitch: calibrate it first, or leave the profile out.");
    }
    horn::HandResponse response = otherwise;
    for (const PartialOffset& open : assembly->partials) {
        if (is_partial(open.partial)) {
            const auto at = static_cast<std::size_t>(open.partial - 1);
            response.open_cents[at] = open.cents;
            response.doubt_cents[at][0] = open.sd_cents.value_or(kMeasured_cents);
        }
    }
    land_full_stops(response, assembly->full_stops);
    for (int partial = 1; partial <= horn::kPartials; ++partial) {
        Points points;
        for (const HandPoint& point : assembly->hand_points) {
            if (point.partial == partial) {
                points.emplace_back(std::clamp(point.closure, 0.0, 1.0), point.cents);
            }
        }
        if (!points.empty()) {
            follow_points(response, partial, std::move(points));
        }
    }
    response.source = "hand measured on " + profile.name +
                      (assembly->pieces.empty() ? "" : " (" + joined(assembly->pieces) + ")");
    return response;
}

} // namespace bellhand::instrument

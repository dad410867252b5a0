#include "hand/balance.h"

#include "hand/bump_search.h"

#include <algorithm>
#include <cmath>

namespace bellhand::hand {

namespace {

using pitch::PitchPoint;

constexpr double kThinned_s = 0.021;
constexpr double kShortest_s = 1.5;
constexpr double kStillFor_s = 0.4;    // of pitch that stays: the hand stands
constexpr double kStill_cents = 5.0;   // within this
constexpr double kStillInWobble = 3.5; // or so many deviations
constexpr double kLeastBend_cents = 20.0;
constexpr double kSpike_s = 0.08; // of smoothing before stillness is looked for
constexpr double kBeside_s = 0.6; // of the still pitch on either side is looked at with a movement
constexpr double kLeastWobble_cents = 0.4;
constexpr double kLeastTremble_cents = 0.2; // of the ear
// Without a quiet tone: the calmest quarter of looks of this length tells the wobble, a little less than it is.
constexpr double kLook_s = 0.5;
constexpr double kCalmest = 0.25;
constexpr double kShownByLook = 0.75;

double median(std::vector<double> values) {
    if (values.empty()) {
        return 0.0;
    }
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

std::vector<PitchPoint> thinned(std::span<const PitchPoint> points) {
    std::vector<PitchPoint> out;
    for (std::size_t i = 0; i < points.size();) {
        PitchPoint mean;
        double count = 0.0;
        const double until_s = points[i].time_s + kThinned_s;
        for (; i < points.size() && points[i].time_s < until_s; ++i, ++count) {
            mean.time_s += points[i].time_s;
            mean.cents += points[i].cents;
        }
        mean.time_s /= count;
        mean.cents /= count;
        out.push_back(mean);
    }
    return out;
}

/// A stretch of points, `[first, last]`.
struct Stretch {
    std::size_t first = 0;
    std::size_t last = 0;
};

std::vector<double> smoothed(const std::vector<PitchPoint>& points) {
    std::vector<double> out;
    const auto reach = static_cast<std::ptrdiff_t>(0.5 * kSpike_s / kThinned_s);
    const auto count = static_cast<std::ptrdiff_t>(points.size());
    for (std::ptrdiff_t i = 0; i < count; ++i) {
        double sum = 0.0;
        const std::ptrdiff_t from = std::max<std::ptrdiff_t>(0, i - reach);
        const std::ptrdiff_t to = std::min(count - 1, i + reach);
        for (std::ptrdiff_t k = from; k <= to; ++k) {
            sum += points[static_cast<std::size_t>(k)].cents;
        }
        out.push_back(sum / static_cast<double>(to - from + 1));
    }
    return out;
}

/// Where the pitch stays within so many cents for long enough, as far as each such stretch reaches.
std::vector<Stretch> still_stretches(const std::vector<PitchPoint>& points, double within_cents) {
    const std::vector<double> smooth = smoothed(points);
    std::vector<Stretch> out;
    for (std::size_t i = 0; i < points.size();) {
        double low = smooth[i];
        double high = smooth[i];
        std::size_t end = i;
        while (end + 1 < points.size()) {
            const double next = smooth[end + 1];
            if (std::max(high, next) - std::min(low, next) > within_cents) {
                break;
            }
            low = std::min(low, next);
            high = std::max(high, next);
            ++end;
        }
        if (points[end].time_s - points[i].time_s >= kStillFor_s) {
            out.push_back({i, end});
            i = end + 1;
        } else {
            ++i;
        }
    }
    return out;
}

double level_of(const std::vector<PitchPoint>& points, const Stretch& still) {
    std::vector<double> values;
    for (std::size_t i = still.first; i <= still.last; ++i) {
        values.push_back(points[i].cents);
    }
    return median(std::move(values));
}

/// Neighbours at one pitch are one stretch: what parts them is no change of the hand.
std::vector<Stretch> joined(const std::vector<PitchPoint>& points, std::vector<Stretch> still) {
    std::vector<Stretch> out;
    for (const Stretch& next : still) {
        if (!out.empty() &&
            std::fabs(level_of(points, next) - level_of(points, out.back())) < kLeastBend_cents) {
            out.back().last = next.last;
        } else {
            out.push_back(next);
        }
    }
    return out;
}

/// Deviation from a straight line, and its slope.
struct Line {
    double rms = 0.0;
    double slope = 0.0;
    double weight = 0.0;
};

Line line_through(const std::vector<PitchPoint>& points, const Stretch& still) {
    const auto count = static_cast<double>(still.last - still.first + 1);
    double t = 0.0;
    double c = 0.0;
    for (std::size_t i = still.first; i <= still.last; ++i) {
        t += points[i].time_s / count;
        c += points[i].cents / count;
    }
    double tt = 0.0;
    double tc = 0.0;
    double cc = 0.0;
    for (std::size_t i = still.first; i <= still.last; ++i) {
        const double dt = points[i].time_s - t;
        const double dc = points[i].cents - c;
        tt += dt * dt;
        tc += dt * dc;
        cc += dc * dc;
    }
    Line line;
    line.weight = count;
    line.slope = tt > 0.0 ? tc / tt : 0.0;
    line.rms = std::sqrt(std::max(0.0, cc - line.slope * tc) / count);
    return line;
}

double calm_wobble(const std::vector<PitchPoint>& points) {
    std::vector<double> looks;
    const auto length = static_cast<std::size_t>(kLook_s / kThinned_s);
    for (std::size_t i = 0; i + length < points.size(); i += length / 4) {
        looks.push_back(line_through(points, {i, i + length}).rms);
    }
    if (looks.empty()) {
        return kLeastWobble_cents;
    }
    const auto calm =
        looks.begin() + static_cast<std::ptrdiff_t>(kCalmest * static_cast<double>(looks.size()));
    std::nth_element(looks.begin(), calm, looks.end());
    return std::max(kLeastWobble_cents, *calm / kShownByLook);
}

/// Wobble and drift over all still stretches.
void tell_stillness(const std::vector<Stretch>& still, Balance& out) {
    double weight = 0.0;
    for (const Stretch& each : still) {
        const Line line = line_through(out.heard, each);
        out.wobble_cents += line.weight * line.rms * line.rms;
        out.drift_cents_per_s += line.weight * line.slope;
        weight += line.weight;
    }
    out.wobble_cents = std::sqrt(out.wobble_cents / weight);
    out.drift_cents_per_s /= weight;
}

/// Standard deviation of what is new in every point: the second differences of the still stretches, as of white noise.
double tremble_of(const std::vector<PitchPoint>& points, const std::vector<Stretch>& still) {
    double squares = 0.0;
    double count = 0.0;
    for (const Stretch& each : still) {
        for (std::size_t i = each.first + 1; i < each.last; ++i) {
            const double bend = points[i - 1].cents - 2.0 * points[i].cents + points[i + 1].cents;
            squares += bend * bend;
            ++count;
        }
    }
    constexpr double kOfWhiteNoise = 6.0;
    return count == 0.0 ? kLeastTremble_cents
                        : std::max(kLeastTremble_cents, std::sqrt(squares / count / kOfWhiteNoise));
}

/// The movement between two still stretches, with some of either.
Stretch around(const std::vector<PitchPoint>& points, const Stretch& before, const Stretch& after) {
    const double from_s = points[before.last].time_s - kBeside_s;
    const double to_s = points[after.first].time_s + kBeside_s;
    Stretch out{before.last, after.first};
    while (out.first > before.first && points[out.first - 1].time_s >= from_s) {
        --out.first;
    }
    while (out.last < after.last && points[out.last + 1].time_s <= to_s) {
        ++out.last;
    }
    return out;
}

} // namespace

Balance balance_of(std::span<const PitchPoint> points, double quiet_cents) {
    Balance out;
    if (points.size() < 2 || points.back().time_s - points.front().time_s < kShortest_s) {
        return out;
    }
    out.heard = thinned(points);
    const double usual = std::max(quiet_cents, calm_wobble(out.heard));
    const std::vector<Stretch> still = joined(
        out.heard, still_stretches(out.heard, std::max(kStill_cents, kStillInWobble * usual)));
    if (still.empty()) {
        return out;
    }
    out.known = true;
    tell_stillness(still, out);
    out.hand_cents.assign(out.heard.size(), 0.0);
    for (std::size_t i = 0; i < out.heard.size(); ++i) {
        const auto in = std::find_if(
            still.begin(), still.end(), [i](const Stretch& each) { return i <= each.last; });
        out.hand_cents[i] = level_of(out.heard, in == still.end() ? still.back() : *in);
    }
    const double lips = std::max(out.wobble_cents, usual);
    const double tremble = tremble_of(out.heard, still);
    for (std::size_t k = 1; k < still.size(); ++k) {
        const Stretch place = around(out.heard, still[k - 1], still[k]);
        BumpQuestion question;
        question.points = std::span<const PitchPoint>(out.heard).subspan(
            place.first, place.last - place.first + 1);
        question.before_cents = level_of(out.heard, still[k - 1]);
        question.after_cents = level_of(out.heard, still[k]);
        question.lips_cents = lips;
        question.tremble_cents = tremble;
        const BumpAnswer answer = search_bump(question);
        if (answer.known) {
            out.moves.push_back(answer.move);
            std::copy(answer.hand_cents.begin(),
                      answer.hand_cents.end(),
                      out.hand_cents.begin() + static_cast<std::ptrdiff_t>(place.first));
        }
    }
    return out;
}

} // namespace bellhand::hand

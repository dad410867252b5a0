#include "instrument/calibration/calibration_closing.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>
#include <string>

namespace bellhand::instrument {

namespace {

constexpr double kBin_s = 0.040;
constexpr double kShortest_s = 1.0;
constexpr double kAbove_cents = 120.0; ///< hand out and lips may lift the note so far
constexpr double kBelow_cents = 90.0;  ///< and press it so far below the lower neighbour
constexpr double kLeastFall_cents = 5.0;
constexpr double kHeld_s = 0.3;
constexpr double kSlip_cents = 35.0;
constexpr double kSlipShare = 0.3;
constexpr std::size_t kCurvePoints = 21;

struct Bin {
    double time_s = 0.0;
    double cents = 0.0;
    double weight = 0.0;
};

double median(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

/// Readings this partial can give, oldest first.
std::vector<ClosingSample> plausible(std::span<const ClosingSample> samples,
                                     const ClosingQuestion& question) {
    const double open_hz = question.partial * question.f1_hz;
    const double lowest = cents_between(question.partial - 1, question.partial) +
                          question.lower_offset_cents - kBelow_cents;
    std::vector<ClosingSample> kept;
    kept.reserve(samples.size());
    for (const ClosingSample& sample : samples) {
        if (!std::isfinite(sample.time_s) || !std::isfinite(sample.f0_hz) || sample.f0_hz <= 0.0) {
            continue;
        }
        const double at = cents_between(sample.f0_hz, open_hz);
        if (at < kAbove_cents && at > lowest) {
            kept.push_back(sample);
        }
    }
    std::sort(kept.begin(), kept.end(), [](const ClosingSample& a, const ClosingSample& b) {
        return a.time_s < b.time_s;
    });
    return kept;
}

std::vector<Bin> into_bins(const std::vector<ClosingSample>& samples, double open_hz) {
    std::vector<Bin> bins;
    std::vector<double> values;
    double begins_s = samples.front().time_s;
    const auto close_bin = [&] {
        if (!values.empty()) {
            bins.push_back(
                {begins_s + 0.5 * kBin_s, median(values), static_cast<double>(values.size())});
            values.clear();
        }
    };
    for (const ClosingSample& sample : samples) {
        if (sample.time_s >= begins_s + kBin_s) {
            close_bin();
            begins_s += kBin_s * std::floor((sample.time_s - begins_s) / kBin_s);
        }
        values.push_back(cents_between(sample.f0_hz, open_hz));
    }
    close_bin();
    return bins;
}

/// Drops bins far from the median of their neighbourhood; a true step survives, since half the neighbours share it.
std::vector<Bin> without_outliers(const std::vector<Bin>& bins) {
    std::vector<Bin> kept;
    for (std::size_t i = 0; i < bins.size(); ++i) {
        const std::size_t from = i < 3 ? 0 : i - 3;
        const std::size_t to = std::min(bins.size(), i + 4);
        std::vector<double> around;
        for (std::size_t k = from; k < to; ++k) {
            if (k != i) {
                around.push_back(bins[k].cents);
            }
        }
        const double middle = median(around);
        std::vector<double> distances;
        distances.reserve(around.size());
        for (const double value : around) {
            distances.push_back(std::abs(value - middle));
        }
        const double allowed = std::max(20.0, 4.0 * median(distances));
        if (std::abs(bins[i].cents - middle) <= allowed) {
            kept.push_back(bins[i]);
        }
    }
    return kept;
}

/// Nearest never-rising curve in weighted least squares.
std::vector<double> never_rising(const std::vector<Bin>& bins) {
    struct Block {
        double sum;
        double weight;
        std::size_t count;
    };
    std::vector<Block> blocks;
    for (const Bin& bin : bins) {
        blocks.push_back({bin.cents * bin.weight, bin.weight, 1});
        while (blocks.size() > 1) {
            const Block& last = blocks.back();
            Block& before = blocks[blocks.size() - 2];
            if (before.sum / before.weight >= last.sum / last.weight) {
                break;
            }
            before.sum += last.sum;
            before.weight += last.weight;
            before.count += last.count;
            blocks.pop_back();
        }
    }
    std::vector<double> fitted;
    for (const Block& block : blocks) {
        fitted.insert(fitted.end(), block.count, block.sum / block.weight);
    }
    return fitted;
}

struct Plateau {
    double cents = 0.0;
    double sd_cents = 0.0;
};

/// Median of a stretch of bins and its standard error; neighbouring bins wander together, so half of them count.
Plateau plateau(const std::vector<Bin>& bins, std::size_t from, std::size_t to) {
    std::vector<double> values;
    for (std::size_t i = from; i < to; ++i) {
        values.push_back(bins[i].cents);
    }
    Plateau out;
    out.cents = median(values);
    for (double& value : values) {
        value = std::abs(value - out.cents);
    }
    const double sd = 1.4826 * median(values);
    out.sd_cents = 1.25 * sd / std::sqrt(std::max(1.0, 0.5 * static_cast<double>(values.size())));
    return out;
}

/// First and last bins of the fall: where the fitted curve leaves the one level and reaches the other.
struct Fall {
    std::size_t starts = 0;
    std::size_t lands = 0;
    Plateau open;
    Plateau stopped;
};

/// Where a level turns into a fall: the corner of the line that is level up to it and sloped after it, least squares.
/// `at(i)` for i in [0, count).
template <typename At>
std::size_t corner(const At& at, std::size_t count) {
    std::size_t best = 0;
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t k = 0; k + 2 < count; ++k) {
        double s_x = 0.0;
        double s_xx = 0.0;
        double s_y = 0.0;
        double s_xy = 0.0;
        double s_yy = 0.0;
        for (std::size_t i = 0; i < count; ++i) {
            const double x = i > k ? static_cast<double>(i - k) : 0.0;
            const double y = at(i);
            s_x += x;
            s_xx += x * x;
            s_y += y;
            s_xy += x * y;
            s_yy += y * y;
        }
        const auto n = static_cast<double>(count);
        const double slope = (n * s_xy - s_x * s_y) / (n * s_xx - s_x * s_x);
        const double level = (s_y - slope * s_x) / n;
        const double left = s_yy - level * s_y - slope * s_xy;
        if (left < least) {
            least = left;
            best = k;
        }
    }
    return best;
}

/// Each half of the fall has one corner. Its ends are flat and lie within the wander, so a little is left out on either
/// side when the levels are read.
Fall find_fall(const std::vector<Bin>& bins, const std::vector<double>& fitted) {
    const std::size_t n = bins.size();
    const auto held = static_cast<std::size_t>(kHeld_s / kBin_s);
    const std::size_t few = std::min(n, held);
    const double middle = 0.5 * (fitted.front() + fitted.back());
    std::size_t half = 0;
    while (half + 1 < n && fitted[half] > middle) {
        ++half;
    }
    Fall fall;
    fall.starts = corner([&](std::size_t i) { return bins[i].cents; }, std::max(half + 1, few));
    fall.lands =
        n - 1 -
        corner([&](std::size_t i) { return bins[n - 1 - i].cents; }, std::max(n - half, few));
    fall.lands = std::max(fall.lands, std::min(fall.starts + 1, n - 1));
    const std::size_t spare = held / 4;
    fall.open = plateau(bins, 0, std::max(few, fall.starts > spare ? fall.starts - spare : 0));
    fall.stopped = plateau(bins, std::min(n - few, fall.lands + spare), n);
    return fall;
}

std::vector<Slip> find_slips(const std::vector<Bin>& bins, double total_cents) {
    std::vector<Slip> slips;
    const double least = std::max(kSlip_cents, kSlipShare * total_cents);
    for (std::size_t i = 1; i < bins.size(); ++i) {
        const double step = bins[i].cents - bins[i - 1].cents;
        if (-step > least && bins[i].time_s - bins[i - 1].time_s < 4.0 * kBin_s) {
            slips.push_back({bins[i].time_s, step});
        }
    }
    return slips;
}

std::vector<ClosingPoint>
curve_of(const std::vector<Bin>& bins, const std::vector<double>& fitted, const Fall& fall) {
    std::vector<ClosingPoint> curve;
    const double from_s = bins[fall.starts].time_s;
    const double length_s = bins[fall.lands].time_s - from_s;
    std::size_t i = fall.starts;
    for (std::size_t k = 0; k < kCurvePoints; ++k) {
        const double share = static_cast<double>(k) / (kCurvePoints - 1);
        const double at_s = from_s + share * length_s;
        while (i + 1 < fall.lands && bins[i + 1].time_s < at_s) {
            ++i;
        }
        const double step_s = bins[i + 1].time_s - bins[i].time_s;
        const double part = std::clamp((at_s - bins[i].time_s) / step_s, 0.0, 1.0);
        const double here = fitted[i] + part * (fitted[i + 1] - fitted[i]);
        curve.push_back(
            {share, std::clamp(here - fall.open.cents, fall.stopped.cents - fall.open.cents, 0.0)});
    }
    curve.front().cents = 0.0;
    curve.back().cents = fall.stopped.cents - fall.open.cents;
    return curve;
}

} // namespace

Result<MeasuredClosing> measure_closing(std::span<const ClosingSample> samples,
                                        const ClosingQuestion& question) {
    if (question.partial < 2 || question.partial > 24) {
        return usage_error("a closing is measured on partials 2 to 24, not on " +
                           std::to_string(question.partial));
    }
    if (!(question.f1_hz > 0.0)) {
        return usage_error("measuring a closing needs f1 of the crook: calibrate open notes first");
    }
    const double open_hz = question.partial * question.f1_hz;
    const auto kept = plausible(samples, question);
    if (kept.size() < 20 || kept.back().time_s - kept.front().time_s < kShortest_s) {
        return failure(
            "too little of partial " + std::to_string(question.partial) +
            " was heard: hold it open, close slowly over two seconds or more, hold it stopped");
    }
    MeasuredClosing out;
    out.partial = question.partial;
    out.used_share = static_cast<double>(kept.size()) / static_cast<double>(samples.size());
    if (out.used_share < 0.5) {
        return failure("most of the sound does not lie between partial " +
                       std::to_string(question.partial) +
                       " and its lower neighbour: another partial or another crook was played");
    }
    const auto bins = without_outliers(into_bins(kept, open_hz));
    if (bins.size() < 8) {
        return failure("the pitch jumped about too much to see the hand close: try again, slower");
    }
    const auto fitted = never_rising(bins);
    const Fall fall = find_fall(bins, fitted);
    out.open_hz = open_hz * ratio_of_cents(fall.open.cents);
    out.stopped_hz = open_hz * ratio_of_cents(fall.stopped.cents);
    out.fall_cents = fall.stopped.cents - fall.open.cents;
    if (out.fall_cents > -kLeastFall_cents) {
        return failure(
            "the pitch did not fall: close the hand from open to full stop on one breath");
    }
    out.fall_sd_cents =
        std::hypot(fall.open.sd_cents, fall.stopped.sd_cents, question.aim_sd_cents);
    out.rise_cents = cents_between(out.stopped_hz, (question.partial - 1) * question.f1_hz) -
                     question.lower_offset_cents;
    out.rise_sd_cents =
        std::hypot(fall.stopped.sd_cents, question.aim_sd_cents, question.lower_sd_cents);
    out.starts_s = bins[fall.starts].time_s;
    out.lands_s = bins[fall.lands].time_s;
    out.held_open = out.starts_s - bins.front().time_s >= kHeld_s;
    out.held_stopped = bins.back().time_s - out.lands_s >= kHeld_s;
    out.slips = find_slips(bins, -out.fall_cents);
    out.curve = curve_of(bins, fitted, fall);
    return out;
}

namespace {

/// Mean of several landings and how surely it is known.
Plateau landed(const std::vector<double>& cents, double one_sd_cents) {
    constexpr double kUsualCountsAs = 3.0;
    const auto n = static_cast<double>(cents.size());
    Plateau out;
    for (const double value : cents) {
        out.cents += value / n;
    }
    double squares = kUsualCountsAs * one_sd_cents * one_sd_cents;
    for (const double value : cents) {
        squares += (value - out.cents) * (value - out.cents);
    }
    out.sd_cents = std::sqrt(squares / (kUsualCountsAs + n - 1.0) / n);
    return out;
}

MeasuredClosing joined(const std::vector<MeasuredClosing>& same) {
    MeasuredClosing out = same.front();
    std::vector<double> falls;
    std::vector<double> rises;
    for (const MeasuredClosing& closing : same) {
        falls.push_back(closing.fall_cents);
        rises.push_back(closing.rise_cents);
    }
    const Plateau fall = landed(falls, out.fall_sd_cents);
    const Plateau rise = landed(rises, out.fall_sd_cents);
    const double below = std::sqrt(std::max(
        0.0, out.rise_sd_cents * out.rise_sd_cents - out.fall_sd_cents * out.fall_sd_cents));
    out.fall_cents = fall.cents;
    out.fall_sd_cents = fall.sd_cents;
    out.rise_cents = rise.cents;
    out.rise_sd_cents = std::hypot(rise.sd_cents, below);
    for (std::size_t i = 0; i < out.curve.size(); ++i) {
        double sum = 0.0;
        for (const MeasuredClosing& closing : same) {
            sum += closing.curve[i].cents;
        }
        out.curve[i].cents = sum / static_cast<double>(same.size());
    }
    return out;
}

} // namespace

std::vector<MeasuredClosing> repeats_joined(std::span<const MeasuredClosing> closings) {
    std::vector<MeasuredClosing> out;
    std::vector<int> done;
    for (const MeasuredClosing& first : closings) {
        if (std::find(done.begin(), done.end(), first.partial) != done.end()) {
            continue;
        }
        done.push_back(first.partial);
        std::vector<MeasuredClosing> same;
        std::copy_if(closings.begin(),
                     closings.end(),
                     std::back_inserter(same),
                     [&](const MeasuredClosing& one) { return one.partial == first.partial; });
        out.push_back(same.size() > 1 ? joined(same) : first);
    }
    return out;
}

} // namespace bellhand::instrument

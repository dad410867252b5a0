#include "drill/trace.h"

#include "core/cents.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace bellhand::drill {

namespace {

constexpr std::size_t kParts = 5;
constexpr std::size_t kLeastMoments = 40; // 0.2 s: below that nothing inside a note can be told

double cents_of(double hz) noexcept {
    return cents_between(hz, 1.0);
}

} // namespace

void Trace::add(const trainer::Reading& reading) noexcept {
    if (reading.frame.voiced && !reading.frame.doubtful && reading.frame.f0_hz > 0.0) {
        moments_[count_++ % kMoments] = {reading.frame.time_s,
                                         cents_of(reading.frame.f0_hz),
                                         static_cast<double>(reading.frame.level_dbfs)};
    }
}

std::vector<Trace::Moment> Trace::between(double from_s, double to_s) const {
    std::vector<Moment> found;
    const std::size_t oldest = count_ > kMoments ? count_ - kMoments : 0;
    for (std::size_t at = oldest; at < count_; ++at) {
        const Moment& moment = moments_[at % kMoments];
        if (moment.time_s >= from_s && moment.time_s <= to_s) {
            found.push_back(moment);
        }
    }
    return found;
}

std::optional<bool>
hairpin_followed(const std::vector<Trace::Moment>& note, Hairpin hairpin, double least_db) {
    if (note.size() < kLeastMoments) {
        return std::nullopt;
    }
    std::array<double, kParts> level{};
    for (std::size_t part = 0; part < kParts; ++part) {
        const std::size_t begin = part * note.size() / kParts;
        const std::size_t end = (part + 1) * note.size() / kParts;
        for (std::size_t at = begin; at < end; ++at) {
            level[part] += std::pow(10.0, 0.1 * note[at].level_dbfs);
        }
        level[part] = 10.0 * std::log10(level[part] / static_cast<double>(end - begin));
    }
    const double rise = *std::max_element(level.begin(), level.end()) - level.front();
    const double fall = *std::max_element(level.begin(), level.end()) - level.back();
    switch (hairpin) {
    case Hairpin::none:
        return std::nullopt;
    case Hairpin::growing:
        return level.back() - level.front() >= least_db;
    case Hairpin::fading:
        return level.front() - level.back() >= least_db;
    case Hairpin::growing_and_fading:
        break;
    }
    return rise >= least_db && fall >= least_db;
}

TrillHeard trill_of(const std::vector<Trace::Moment>& note, double one_hz, double other_hz) {
    TrillHeard heard;
    const double low = cents_of(std::min(one_hz, other_hz));
    const double high = cents_of(std::max(one_hz, other_hz));
    // A change counts once the pitch has come past a third of the way to either side of the middle.
    const double from_low = low + (high - low) / 3.0;
    const double from_high = high - (high - low) / 3.0;
    int side = 0;
    std::vector<double> turns_s;
    for (const Trace::Moment& moment : note) {
        const int now = moment.cents <= from_low ? -1 : moment.cents >= from_high ? 1 : side;
        if (side != 0 && now != side) {
            turns_s.push_back(moment.time_s);
        }
        side = now;
    }
    heard.changes = static_cast<int>(turns_s.size());
    if (turns_s.size() < 3) {
        return heard;
    }
    const double count = static_cast<double>(turns_s.size() - 1);
    const double mean_s = (turns_s.back() - turns_s.front()) / count;
    double squares = 0.0;
    for (std::size_t i = 1; i < turns_s.size(); ++i) {
        squares += std::pow(turns_s[i] - turns_s[i - 1] - mean_s, 2);
    }
    heard.rate_hz = mean_s > 0.0 ? 0.5 / mean_s : 0.0;
    heard.uneven = mean_s > 0.0 ? std::sqrt(squares / count) / mean_s : 0.0;
    return heard;
}

ClosingHeard closing_of(const std::vector<Trace::Moment>& note, double from_hz, double to_hz) {
    constexpr double kJump_s = 0.040;
    ClosingHeard heard;
    const double way = cents_of(to_hz) - cents_of(from_hz);
    double furthest = 0.0;
    std::size_t before = 0;
    for (std::size_t at = 0; at < note.size(); ++at) {
        const double gone = (note[at].cents - cents_of(from_hz)) / way;
        furthest = std::max(furthest, gone);
        heard.back_cents = std::max(heard.back_cents, (furthest - gone) * std::fabs(way));
        while (note[at].time_s - note[before].time_s > kJump_s) {
            ++before;
        }
        heard.largest_jump_cents =
            std::max(heard.largest_jump_cents, std::fabs(note[at].cents - note[before].cents));
    }
    heard.reached_share = furthest;
    return heard;
}

} // namespace bellhand::drill

#include "trainer/short_note.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>

namespace bellhand::trainer {

namespace {

constexpr double kCore_db = 10.0;
constexpr double kLevelLag_s = 0.012; // the level looks back over 20 ms
constexpr std::size_t kFewest = 3;    // judged values that make a pitch
// How far the pitch of a short note may be from its mean over all of it: what its own spread and the part of it that was
// not seen tell. Set where 97 of 100 short notes of known pitch lie within.
constexpr double kAlways_cents = 1.0;
constexpr double kOfSpread = 0.4;
constexpr double kUnseen_cents = 14.0; // all of it unseen
constexpr double kMuchUnseen_cents = 16.0;
constexpr double kMostUnsure_cents = 60.0;
// When a note may be struck again: another tempo than supposed, a little early, a little more late.
constexpr double kAgainFrom = 0.7;
constexpr double kAgainTo = 1.3;
constexpr double kAgainBefore_s = 0.05;
constexpr double kAgainAfter_s = 0.25;

double hop_s(const Moments& moments) noexcept {
    return moments.known() > 1 ? moments.recent(0).time_s - moments.recent(1).time_s : 0.0;
}

/// Longest stretch of judgeable readings within a band.
double flat_s(const Moments& moments, const Piece& piece, double band_cents) noexcept {
    double longest = 0.0;
    const double step_s = hop_s(moments);
    for (std::size_t last = 0; last < moments.known(); ++last) {
        if (moments.recent(last).time_s < piece.start_s) {
            break;
        }
        double low = moments.recent(last).cents;
        double high = low;
        for (std::size_t back = last; back < moments.known(); ++back) {
            const Moment& moment = moments.recent(back);
            low = std::min(low, moment.cents);
            high = std::max(high, moment.cents);
            if (!moment.sure || moment.time_s < piece.start_s || high - low > band_cents) {
                break;
            }
            longest = std::max(longest, moments.recent(last).time_s - moment.time_s + step_s);
        }
    }
    return longest;
}

/// Share of the judgeable readings that lie near the pitch.
double share_near(const Moments& moments, const Piece& piece, double near_cents) noexcept {
    int all = 0;
    int near = 0;
    for (std::size_t back = 0; back < moments.known(); ++back) {
        const Moment& moment = moments.recent(back);
        if (moment.time_s < piece.start_s) {
            break;
        }
        if (moment.sure) {
            ++all;
            near += std::abs(moment.cents - piece.cents) <= near_cents ? 1 : 0;
        }
    }
    return all > 0 ? static_cast<double>(near) / all : 0.0;
}

double loudest_db(const Moments& moments, const Piece& piece) noexcept {
    double loudest = -200.0;
    for (std::size_t back = 0; back < moments.known(); ++back) {
        const Moment& moment = moments.recent(back);
        if (moment.time_s >= piece.start_s && moment.time_s <= piece.end_s) {
            loudest = std::max(loudest, moment.smooth_db);
        }
    }
    return loudest;
}

bool rises(const Moments& moments, const Piece& piece, const ShortNoteSettings& settings) noexcept {
    return rise_db(moments, piece, settings.rise_before_s) >= settings.rise_db;
}

double level_at(const Moments& moments, double time_s) noexcept {
    const double behind = (moments.recent(0).time_s - time_s - kLevelLag_s) / hop_s(moments);
    const auto back = static_cast<std::size_t>(std::max(0.0, behind));
    return back < moments.known() ? moments.recent(back).smooth_db : -200.0;
}

/// Pitch, spread and level of a piece from what was judged of its loud part. False: too little was.
bool figures(const Moments& moments, const Piece& piece, ShortNote& out) noexcept {
    const double core_db = loudest_db(moments, piece) - kCore_db;
    const double step_s = hop_s(moments);
    double weights = 0.0;
    double sum = 0.0;
    double squares = 0.0;
    double core_s = 0.0;
    double power = 0.0;
    std::size_t count = 0;
    double nearest_cents = 1e9;
    for (std::size_t back = 0; back < moments.known(); ++back) {
        const Moment& moment = moments.recent(back);
        if (moment.time_s < piece.start_s) {
            break;
        }
        if (moment.time_s <= piece.end_s && moment.smooth_db > core_db) {
            core_s += step_s;
            power += moment.power;
        }
        const double off = moment.judged_cents - piece.cents;
        if (!moment.judged || moment.judged_time_s < piece.start_s ||
            moment.judged_time_s > piece.end_s || std::abs(off) > 60.0) {
            continue;
        }
        const double level_db = level_at(moments, moment.judged_time_s);
        if (level_db <= core_db) {
            continue;
        }
        const double weight = std::pow(10.0, 0.1 * (level_db - core_db));
        weights += weight;
        sum += weight * off;
        squares += weight * off * off;
        ++count;
        if (std::abs(off) < nearest_cents) {
            nearest_cents = std::abs(off);
            out.note = moment.judged_note;
        }
    }
    if (count < kFewest || core_s <= 0.0) {
        return false;
    }
    const double mean = sum / weights;
    out.cents = piece.cents + mean;
    out.spread_cents = std::sqrt(std::max(0.0, squares / weights - mean * mean));
    out.level_dbfs = 10.0 * std::log10(power / (core_s / step_s) + 1e-20);
    const double unseen = std::max(0.0, 1.0 - static_cast<double>(count) * step_s / core_s);
    out.known_within_cents =
        std::min(kMostUnsure_cents,
                 kAlways_cents + kOfSpread * out.spread_cents + kUnseen_cents * unseen +
                     kMuchUnseen_cents * unseen * unseen);
    return true;
}

/// Share of the readings between two times for which something holds, as a time.
template <typename Holds>
double time_with(const Moments& moments, double from_s, double to_s, Holds holds) noexcept {
    int count = 0;
    for (std::size_t back = 0; back < moments.known(); ++back) {
        const Moment& moment = moments.recent(back);
        if (moment.time_s < from_s) {
            break;
        }
        count += moment.time_s <= to_s && holds(moment) ? 1 : 0;
    }
    return count * hop_s(moments);
}

} // namespace

void ExpectedPitches::add(double f0_hz) noexcept {
    if (count_ < cents_.size()) {
        cents_[count_++] = cents_between(f0_hz, 1.0);
    }
}

bool ExpectedPitches::near(double cents, double within_cents) const noexcept {
    return std::any_of(cents_.begin(),
                       cents_.begin() + static_cast<std::ptrdiff_t>(count_),
                       [=](double expected) { return std::abs(expected - cents) <= within_cents; });
}

void ExpectedPitches::add_again(double f0_hz, double after_s) noexcept {
    if (again_count_ < again_.size()) {
        again_[again_count_++] = {cents_between(f0_hz, 1.0), after_s};
    }
}

bool ExpectedPitches::again(double cents, double within_cents, double after_s) const noexcept {
    return std::any_of(again_.begin(),
                       again_.begin() + static_cast<std::ptrdiff_t>(again_count_),
                       [=](const Again& again) {
                           return std::abs(again.cents - cents) <= within_cents &&
                                  after_s >= kAgainFrom * again.after_s - kAgainBefore_s &&
                                  after_s <= kAgainTo * again.after_s + kAgainAfter_s;
                       });
}

double shown_s(const Moments& moments, double from_s, double to_s) noexcept {
    return time_with(moments, from_s, to_s, [](const Moment& moment) { return moment.sure; });
}

double withheld_s(const Moments& moments, double from_s, double to_s) noexcept {
    return time_with(moments, from_s, to_s, [](const Moment& moment) { return moment.withheld; });
}

double rise_db(const Moments& moments, const Piece& piece, double before_s) noexcept {
    double lowest_db = 0.0;
    for (std::size_t back = 0; back < moments.known(); ++back) {
        const Moment& moment = moments.recent(back);
        const double before = piece.start_s - moment.time_s;
        if (before > before_s) {
            break;
        }
        if (before >= -0.02) {
            lowest_db = std::min(lowest_db, moment.smooth_db);
        }
    }
    return loudest_db(moments, piece) - lowest_db;
}

bool slides(const Moments& moments,
            const Piece& piece,
            const ShortNoteSettings& settings) noexcept {
    return shown_s(moments, piece.start_s, piece.end_s) > settings.slide_s &&
           piece.cents > cents_between(settings.deep_hz, 1.0) &&
           (piece.slurred || rises(moments, piece, settings));
}

bool spoken_before(const Moments& moments,
                   double start_s,
                   const ShortNoteSettings& settings) noexcept {
    const double since_s = start_s - settings.before_s;
    return withheld_s(moments, since_s, start_s) >
           settings.withheld_before_s +
               settings.withheld_share * shown_s(moments, since_s, start_s);
}

std::optional<ShortNote>
short_note(const Moments& moments, const Piece& piece, const ShortNoteSettings& settings) noexcept {
    if (piece.end_s - piece.start_s < settings.shortest_s) {
        return std::nullopt;
    }
    ShortNote out;
    if ((!piece.slurred && !rises(moments, piece, settings)) || !figures(moments, piece, out)) {
        return std::nullopt;
    }
    if (piece.expected) {
        const bool enough =
            flat_s(moments, piece, 2.0 * settings.flat_cents) >= settings.expected_flat_s;
        return enough ? std::optional(out) : std::nullopt;
    }
    const bool deep = piece.cents < cents_between(settings.deep_hz, 1.0);
    const bool stood = flat_s(moments, piece, settings.flat_cents) >= settings.flat_s &&
                       share_near(moments, piece, settings.near_cents) >=
                           (deep ? settings.deep_flat_share : settings.flat_share) &&
                       (deep || out.spread_cents <= settings.most_spread_cents);
    return stood ? std::optional(out) : std::nullopt;
}

} // namespace bellhand::trainer

#include "hand/closure_grid.h"

#include "core/cents.h"

#include <algorithm>
#include <cmath>

namespace bellhand::hand {

namespace {

constexpr float kLeastLog = -17.0F;
// A pitch that fits nowhere (a slip of the lips) has this log likelihood everywhere: about one note in a hundred, spread
// over all places.
constexpr double kSlipLog = -13.0;
// Below open partial 2 lie the factitious notes, lipped down without a resonance: there lips are as likely as the hand,
// whatever the closure (common practice, no source).
constexpr double kLipped = 0.5;
// Standard deviation of a closure about its degree, and how likely anything between is (common practice, no source).
constexpr double kDegreeSd = 0.03;
constexpr double kDegreeFloor = 0.02;
// Before the hand is measured nothing tells surely where its closed notes lie, and most notes of the horn are open: there
// open is likelier than any other degree (common practice, no source).
constexpr double kOpenMoreUnmeasured = 1.5;
constexpr double kRarePartial =
    0.3; // above 16: the trade seldom plays there (common practice, no source)
constexpr int kLastUsualPartial = 16;
constexpr double kLowShare = 0.1;
constexpr double kHighShare = 0.9;

std::size_t row_of(int partial) {
    return static_cast<std::size_t>(std::clamp(partial, kFirstPartial, kLastPartial) -
                                    kFirstPartial);
}

/// Each degree is as likely as another, open more so; inside a degree the hand is most often where it was meant to be.
double weight_in_degree(double closure) {
    const double off = (closure - horn::closure_of(degree_of(closure))) / kDegreeSd;
    return std::exp(-0.5 * off * off) + kDegreeFloor;
}

double log_prior(double closure, double open_more) {
    const horn::Hand degree = degree_of(closure);
    double whole = 0.0;
    for (int c = 0; c < kClosures; ++c) {
        whole += degree_of(closure_at(c)) == degree ? weight_in_degree(closure_at(c)) : 0.0;
    }
    return std::log((degree == horn::Hand::open ? open_more : 1.0) * weight_in_degree(closure) /
                    whole);
}

/// A figure of the five degrees, at a closure between them.
double between_degrees(const std::array<double, kDegrees>& figures, double closure) {
    const double at = std::clamp(closure, 0.0, 1.0) * (kDegrees - 1);
    const auto below = std::min(static_cast<std::size_t>(at), std::size_t{kDegrees - 2});
    const double part = at - static_cast<double>(below);
    return figures[below] + part * (figures[below + 1] - figures[below]);
}

} // namespace

PitchTrust calibrated_trust() noexcept {
    return {8.0, 0.03, true};
}

PitchTrust modelled_trust() noexcept {
    return {};
}

ClosureGrid::ClosureGrid(const horn::HandResponse& response,
                         const PitchTrust& trust,
                         const TimbreModel& model)
    : trust_(trust) {
    const double open_more = trust.measured ? 1.0 : kOpenMoreUnmeasured;
    for (int partial = kFirstPartial; partial <= kLastPartial; ++partial) {
        const std::size_t row = row_of(partial);
        const double natural = cents_between(static_cast<double>(partial), 1.0);
        const double open = horn::response_at(response, partial, 0.0);
        const double open_doubt = response.doubt_cents[static_cast<std::size_t>(partial - 1)][0];
        const double rare = partial > kLastUsualPartial ? std::log(kRarePartial) : 0.0;
        for (std::size_t c = 0; c < kClosures; ++c) {
            const double at = horn::response_at(response, partial, closure_at(static_cast<int>(c)));
            place_[row][c] = static_cast<float>(natural + at);
            const double before =
                horn::response_at(response, partial, closure_at(static_cast<int>(c) - 1));
            const double after =
                horn::response_at(response, partial, closure_at(static_cast<int>(c) + 1));
            // Between two places of the grid the note may lie anywhere.
            const double gap = 0.5 * (before - after);
            const double share = trust.response_share * (at - open);
            const double doubt =
                horn::fall_doubt_at(response, partial, closure_at(static_cast<int>(c)));
            variance_[row][c] = static_cast<float>(trust.lip_sd_cents * trust.lip_sd_cents +
                                                   open_doubt * open_doubt + share * share +
                                                   doubt * doubt + gap * gap / 12.0);
            prior_[row][c] =
                static_cast<float>(rare + log_prior(closure_at(static_cast<int>(c)), open_more));
        }
    }
    for (std::size_t c = 0; c < kClosures; ++c) {
        stop_like_share_[c] = static_cast<float>(
            between_degrees(model.stop_like_share, closure_at(static_cast<int>(c))));
    }
}

void ClosureGrid::look(const Heard& heard, GridLogs& out) const noexcept {
    const double odds = std::exp(heard.log_odds);
    std::array<float, kClosures> timbre{};
    for (std::size_t c = 0; c < kClosures; ++c) {
        const auto share = static_cast<double>(stop_like_share_[c]);
        timbre[c] =
            static_cast<float>(heard.stop_like_weight * std::log(1.0 - share + share * odds) +
                               between_degrees(heard.by_degree, closure_at(static_cast<int>(c))));
    }
    const auto cents = static_cast<float>(heard.cents);
    const auto own = static_cast<float>(heard.sd_cents * heard.sd_cents);
    for (std::size_t row = 0; row < kGridPartials; ++row) {
        for (std::size_t c = 0; c < kClosures; ++c) {
            const float off = cents - place_[row][c];
            const float variance = variance_[row][c] + own;
            float pitch = static_cast<float>(kSlipLog);
            if (off * off < 36.0F * variance) {
                const float fit = -0.5F * (off * off / variance + std::log(6.2831853F * variance));
                pitch = std::max(pitch, fit);
            }
            out[row][c] = std::max(pitch + timbre[c], kLeastLog);
        }
    }
    const float reach = place_[0][0] - place_[0][kClosures - 1];
    if (cents < place_[0][0] && cents > place_[0][kClosures - 1] - 0.1F * reach) {
        const float lipped = static_cast<float>(kLipped) / reach;
        for (std::size_t c = 0; c < kClosures; ++c) {
            const float by_hand = std::exp(out[0][c] - timbre[c]);
            out[0][c] =
                std::log((1.0F - static_cast<float>(kLipped)) * by_hand + lipped) + timbre[c];
        }
    }
}

double ClosureGrid::place_cents(int partial, double closure) const noexcept {
    const std::size_t row = row_of(partial);
    const double at = std::clamp(closure, 0.0, 1.0) * (kClosures - 1);
    const auto below = std::min(static_cast<std::size_t>(at), std::size_t{kClosures - 2});
    const double part = at - static_cast<double>(below);
    const auto low = static_cast<double>(place_[row][below]);
    return low + part * (static_cast<double>(place_[row][below + 1]) - low);
}

Position position_of(const GridLogs& prior, const GridLogs& evidence) noexcept {
    float best = -1e9F;
    for (std::size_t row = 0; row < kGridPartials; ++row) {
        for (std::size_t c = 0; c < kClosures; ++c) {
            best = std::max(best, prior[row][c] + evidence[row][c]);
        }
    }
    double total = 0.0;
    double most = -1.0;
    std::size_t best_row = 0;
    std::array<double, kClosures> chosen{};
    for (std::size_t row = 0; row < kGridPartials; ++row) {
        std::array<double, kClosures> weight{};
        double sum = 0.0;
        for (std::size_t c = 0; c < kClosures; ++c) {
            const float log = prior[row][c] + evidence[row][c] - best;
            weight[c] = log > -20.0F ? static_cast<double>(std::exp(log)) : 0.0;
            sum += weight[c];
        }
        total += sum;
        if (sum > most) {
            most = sum;
            best_row = row;
            chosen = weight;
        }
    }
    Position out;
    out.known = true;
    out.partial = kFirstPartial + static_cast<int>(best_row);
    out.partial_share = most / total;
    double before = 0.0;
    bool low_found = false;
    bool high_found = false;
    for (std::size_t c = 0; c < kClosures; ++c) {
        const double closure = closure_at(static_cast<int>(c));
        const double share = chosen[c] / most;
        out.degrees[static_cast<std::size_t>(degree_of(closure))] += share;
        // The median: a place of the grid stands for half a step to either side.
        if (before < 0.5 && before + share >= 0.5) {
            constexpr double kStep = 1.0 / (kClosures - 1);
            out.closure = std::clamp(closure + kStep * ((0.5 - before) / share - 0.5), 0.0, 1.0);
        }
        before += share;
        if (!low_found && before >= kLowShare) {
            out.low = closure;
            low_found = true;
        }
        if (!high_found && before >= kHighShare) {
            out.high = closure;
            high_found = true;
        }
    }
    const auto likeliest = std::max_element(out.degrees.begin(), out.degrees.end());
    out.degree = static_cast<horn::Hand>(likeliest - out.degrees.begin());
    out.confidence = *likeliest * out.partial_share;
    return out;
}

} // namespace bellhand::hand

#include "instrument/length_evidence.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>
#include <set>
#include <utility>

namespace bellhand::instrument {

namespace {

// Spreads of players and horns are from memory and common practice; 5 to 7 cents of offset is what the modelled horn's
// partials 4 to 12 show among 150 variations of its bore.
struct Spread {
    double cents = 0.0;
    double share = 0.0; ///< believed before anything is heard
};
constexpr std::array<Spread, 3> kAims{{{1.2, 0.3}, {2.5, 0.4}, {5.0, 0.3}}};
constexpr std::array<Spread, 3> kOffsets{{{3.5, 0.25}, {6.0, 0.5}, {9.0, 0.25}}};
constexpr double kOffsetWithPartial =
    0.4; ///< share of the offset's variance that every crook shows alike
constexpr double kWrongShare = 0.04;
// A set of wrong readings 20 times less likely than the best is left out (Occam's window, Madigan & Raftery, J. Am.
// Stat. Assoc. 89, 1535, 1994): so a lone reading that nothing contradicts is believed.
constexpr double kLogLeftOut = 3.0;
constexpr double kLogForgotten = 9.0; ///< pairs of spreads this much less likely than the best
constexpr std::size_t kMostSets = 8;

constexpr double squared(double x) {
    return x * x;
}

double metres_per_cent(const LengthReading& reading) {
    return reading.sum.value * std::numbers::ln2 / 1200.0;
}

double log_normal(double x, double variance) {
    return -0.5 * (x * x / variance + std::log(2.0 * std::numbers::pi * variance));
}

/// One set of readings taken as wrong, under one pair of spreads.
struct Hypothesis {
    std::set<std::size_t> wrong;
    double log_weight = 0.0;
};

struct Judged {
    Hypothesis hypothesis;
    std::size_t aim = 0;
    std::size_t offset = 0;
    Settled settled;
    std::vector<double> off_cents;
    std::vector<double> off_variance; ///< cents squared
};

class Weigher {
public:
    Weigher(std::size_t unknowns,
            const std::vector<Statement>& firm,
            const std::vector<LengthReading>& readings)
        : unknowns_(unknowns), firm_(firm), readings_(readings) {
        std::map<std::pair<std::size_t, int>, int> played;
        for (const LengthReading& reading : readings) {
            ++played[{reading.assembly, reading.partial}];
        }
        std::map<std::pair<std::size_t, int>, std::size_t> own;
        std::map<int, std::size_t> with_partial;
        for (const LengthReading& reading : readings) {
            Offsets offsets;
            if (reading.partial > 0) {
                offsets.shared = named(with_partial, reading.partial);
                const std::pair key{reading.assembly, reading.partial};
                if (played[key] > 1) {
                    repeats_ = true;
                    offsets.own = named(own, key);
                }
            }
            offsets_.push_back(offsets);
        }
        for (const auto& [partial, unknown] : with_partial) {
            shared_.push_back(unknown);
        }
        for (const auto& [key, unknown] : own) {
            own_.push_back(unknown);
        }
    }

    [[nodiscard]] bool repeats() const { return repeats_; }

    [[nodiscard]] std::vector<Judged> judge() const {
        std::vector<Judged> all;
        for (std::size_t aim = 0; aim < kAims.size(); ++aim) {
            for (std::size_t offset = 0; offset < kOffsets.size(); ++offset) {
                search(aim, offset, all);
            }
        }
        double best = -std::numeric_limits<double>::infinity();
        for (const Judged& one : all) {
            best = std::max(best, one.hypothesis.log_weight);
        }
        std::erase_if(all, [&](const Judged& one) {
            return one.hypothesis.log_weight < best - kLogForgotten;
        });
        return all;
    }

private:
    struct Offsets {
        std::size_t shared = 0; ///< 0: none, for lengths come first
        std::size_t own = 0;    ///< 0: a single note, its offset is part of its spread
    };

    template <typename Key>
    std::size_t named(std::map<Key, std::size_t>& unknowns, const Key& key) {
        const auto [place, fresh] = unknowns.try_emplace(key, unknowns_);
        unknowns_ += fresh ? 1 : 0;
        return place->second;
    }

    /// Spread of one reading about its sum and offsets, in square metres.
    [[nodiscard]] double
    variance(std::size_t i, std::size_t aim, std::size_t offset, bool wrong) const {
        const bool folded = readings_[i].partial > 0 && offsets_[i].own == 0;
        double cents = readings_[i].partial > 0 ? squared(kAims[aim].cents) : 0.0;
        cents += folded ? (1.0 - kOffsetWithPartial) * squared(kOffsets[offset].cents) : 0.0;
        return squared(metres_per_cent(readings_[i])) * cents + squared(readings_[i].sum.sd) +
               (wrong ? squared(readings_[i].wrong_m) : 0.0);
    }

    [[nodiscard]] std::vector<Statement>
    statements(std::size_t aim, std::size_t offset, const std::set<std::size_t>& wrong) const {
        std::vector<Statement> all = firm_;
        const double strays = kOffsets[offset].cents;
        for (const std::size_t unknown : shared_) {
            all.push_back(sum_is({unknown}, 0.0, std::sqrt(kOffsetWithPartial) * strays));
        }
        for (const std::size_t unknown : own_) {
            all.push_back(sum_is({unknown}, 0.0, std::sqrt(1.0 - kOffsetWithPartial) * strays));
        }
        for (std::size_t i = 0; i < readings_.size(); ++i) {
            all.push_back(heard(i));
            all.back().sd = std::sqrt(variance(i, aim, offset, wrong.contains(i)));
        }
        return all;
    }

    /// A partial that lies high makes the tube look short.
    [[nodiscard]] Statement heard(std::size_t i) const {
        Statement statement = readings_[i].sum;
        for (const std::size_t unknown : {offsets_[i].shared, offsets_[i].own}) {
            if (unknown != 0) {
                statement.of.push_back({unknown, -metres_per_cent(readings_[i])});
            }
        }
        return statement;
    }

    Judged judged(std::size_t aim, std::size_t offset, Hypothesis hypothesis) const {
        const auto said = statements(aim, offset, hypothesis.wrong);
        Judged one{std::move(hypothesis), aim, offset, solve(unknowns_, said), {}, {}};
        one.hypothesis.log_weight = one.settled.log_evidence +
                                    std::log(kAims[aim].share * kOffsets[offset].share) +
                                    static_cast<double>(one.hypothesis.wrong.size()) *
                                        std::log(kWrongShare / (1.0 - kWrongShare));
        // Each reading against what all the others say: both follow from the fit with it (Cook 1977).
        const std::size_t first = said.size() - readings_.size();
        for (std::size_t i = 0; i < readings_.size(); ++i) {
            const Statement& statement = said[first + i];
            const double own = squared(statement.sd);
            const double left =
                std::max(own - one.settled.variance(statement), 1e-9 * own); // of `own`, by the fit
            const double per_cent = metres_per_cent(readings_[i]);
            one.off_cents.push_back((one.settled.sum(statement) - statement.value) * own / left /
                                    per_cent);
            one.off_variance.push_back(own * own / left / squared(per_cent));
        }
        return one;
    }

    void search(std::size_t aim, std::size_t offset, std::vector<Judged>& all) const {
        double best = -std::numeric_limits<double>::infinity();
        std::vector<Hypothesis> waiting{{}};
        waiting.front().log_weight = std::numeric_limits<double>::infinity(); // looked at first
        std::set<std::set<std::size_t>> known;
        for (std::size_t looked_at = 0; looked_at < kMostSets && !waiting.empty(); ++looked_at) {
            const auto likeliest = std::max_element(
                waiting.begin(), waiting.end(), [](const Hypothesis& a, const Hypothesis& b) {
                    return a.log_weight < b.log_weight;
                });
            if (likeliest->log_weight < best - kLogLeftOut) {
                break;
            }
            Hypothesis next = std::move(*likeliest);
            waiting.erase(likeliest);
            const Judged one = judged(aim, offset, std::move(next));
            best = std::max(best, one.hypothesis.log_weight);
            for (std::size_t i = 0; i < readings_.size(); ++i) {
                Hypothesis more = one.hypothesis;
                if (!more.wrong.insert(i).second || !known.insert(more.wrong).second) {
                    continue;
                }
                const double strays = one.off_variance[i] +
                                      squared(readings_[i].wrong_m / metres_per_cent(readings_[i]));
                more.log_weight += log_normal(one.off_cents[i], strays) -
                                   log_normal(one.off_cents[i], one.off_variance[i]) +
                                   std::log(kWrongShare / (1.0 - kWrongShare));
                if (more.log_weight > best - kLogLeftOut) {
                    waiting.push_back(std::move(more));
                }
            }
            all.push_back(one);
        }
    }

    std::size_t unknowns_;
    const std::vector<Statement>& firm_;
    const std::vector<LengthReading>& readings_;
    std::vector<Offsets> offsets_;
    std::vector<std::size_t> shared_;
    std::vector<std::size_t> own_;
    bool repeats_ = false;
};

} // namespace

WeighedLengths weigh_readings(std::size_t unknowns,
                              const std::vector<Statement>& firm,
                              const std::vector<LengthReading>& readings) {
    const Weigher weigher(unknowns, firm, readings);
    const std::vector<Judged> all = weigher.judge();
    double best = all.front().hypothesis.log_weight;
    for (const Judged& one : all) {
        best = std::max(best, one.hypothesis.log_weight);
    }
    WeighedLengths out;
    out.value_m.assign(unknowns, 0.0);
    out.covariance_m2.assign(unknowns * unknowns, 0.0);
    out.wrong.assign(readings.size(), 0.0);
    out.off_cents.assign(readings.size(), 0.0);
    out.off_sd_cents.assign(readings.size(), 0.0);
    out.repeats = weigher.repeats();
    double sum = 0.0;
    for (const Judged& one : all) {
        sum += std::exp(one.hypothesis.log_weight - best);
    }
    for (const Judged& one : all) {
        const double weight = std::exp(one.hypothesis.log_weight - best) / sum;
        for (std::size_t i = 0; i < unknowns; ++i) {
            out.value_m[i] += weight * one.settled.value[i];
        }
        for (const std::size_t i : one.hypothesis.wrong) {
            out.wrong[i] += weight;
        }
        for (std::size_t i = 0; i < readings.size(); ++i) {
            out.off_cents[i] += weight * one.off_cents[i];
            out.off_sd_cents[i] += weight * std::sqrt(one.off_variance[i]);
        }
        out.aim_cents += weight * kAims[one.aim].cents;
        out.offset_cents += weight * kOffsets[one.offset].cents;
    }
    // Spread within each reading of the facts, and between them.
    for (const Judged& one : all) {
        const double weight = std::exp(one.hypothesis.log_weight - best) / sum;
        const std::size_t n = one.settled.value.size();
        for (std::size_t i = 0; i < unknowns; ++i) {
            for (std::size_t k = 0; k < unknowns; ++k) {
                out.covariance_m2[i * unknowns + k] +=
                    weight * (one.settled.covariance[i * n + k] +
                              (one.settled.value[i] - out.value_m[i]) *
                                  (one.settled.value[k] - out.value_m[k]));
            }
        }
    }
    return out;
}

} // namespace bellhand::instrument

#include "hand/bump_search.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

namespace bellhand::hand {

namespace {

using pitch::PitchPoint;
using Column = std::vector<double>;

// How a practised hand differs from the movement of least jerk: it is ahead of it or behind by this share of the movement's
// length, and so for this share of it. Set on simulated movements of other shapes (tests/property/balance_test.cpp).
constexpr double kAhead = 0.05;
constexpr double kAheadFor = 0.15;
constexpr double kLips_s = 0.06;     // how long the lips' wander holds
constexpr double kLipsShare = 1.5;   // of the wobble that was measured
constexpr double kWidened = 0.1;     // of the movement: its edges are not known better
constexpr double kShortest_s = 0.06; // of a movement
// Shares of the way, and when the movement of least jerk has gone them.
constexpr double kQuarter = 0.25;
constexpr double kQuarterAt = 0.359;
constexpr double kHalf = 0.5;
// In a quicker movement nearly every bump may be the hand's own speed: none is told.
constexpr double kSlow_s = 0.9;
constexpr double kTold = 3.7; // deviations
constexpr double kLeast_cents = 2.5;
constexpr double kOutOfWobble = 3.0;
constexpr double kRestless_cents = 2.0;
constexpr std::array kBumps_s{0.06, 0.10, 0.16, 0.24, 0.32};
constexpr double kUsualBump_s = 0.16; // of what is said to be hearable
constexpr double kBeside_s = 0.3;     // bumps are looked for so far from the movement

double least_jerk(double x) {
    x = std::clamp(x, 0.0, 1.0);
    return x * x * x * (10.0 - 15.0 * x + 6.0 * x * x);
}

double least_jerk_speed(double x) {
    return x <= 0.0 || x >= 1.0 ? 0.0 : 30.0 * x * x * (1.0 - x) * (1.0 - x);
}

struct Movement {
    double from_s = 0.0;
    double length_s = 1.0;
    double bend_cents = 0.0;

    [[nodiscard]] double share(double time_s) const { return (time_s - from_s) / length_s; }
    /// Cents a second, the largest about that time.
    [[nodiscard]] double speed(double time_s) const {
        double most = 0.0;
        for (int step = -2; step <= 2; ++step) {
            most = std::max(most, least_jerk_speed(share(time_s) + step * kWidened));
        }
        return std::fabs(bend_cents) * most / length_s;
    }
};

/// When the pitch has gone that share of the way: the first time, beyond which it does not fall back for long.
std::optional<double> passed_s(const BumpQuestion& question, double share) {
    const double bend = question.after_cents - question.before_cents;
    for (std::size_t i = 1; i < question.points.size(); ++i) {
        const double gone = (question.points[i].cents - question.before_cents) / bend;
        const double before = (question.points[i - 1].cents - question.before_cents) / bend;
        if (gone >= share) {
            const double part =
                gone > before ? std::clamp((share - before) / (gone - before), 0.0, 1.0) : 1.0;
            return question.points[i - 1].time_s +
                   part * (question.points[i].time_s - question.points[i - 1].time_s);
        }
    }
    return std::nullopt;
}

std::optional<Movement> movement_of(const BumpQuestion& question) {
    const auto quarter = passed_s(question, kQuarter);
    const auto half = passed_s(question, kHalf);
    const auto three = passed_s(question, 1.0 - kQuarter);
    if (!quarter || !half || !three) {
        return std::nullopt;
    }
    Movement out;
    out.length_s = std::max(kShortest_s, (*three - *quarter) / (1.0 - 2.0 * kQuarterAt));
    out.from_s = *half - 0.5 * out.length_s;
    out.bend_cents = question.after_cents - question.before_cents;
    return out;
}

double dot(const Column& a, const Column& b) {
    double sum = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        sum += a[i] * b[i];
    }
    return sum;
}

/// Covariance of lips, hand and ear between the points, and its Cholesky factor.
class Wander {
public:
    Wander(const BumpQuestion& question, const Movement& movement)
        : count_(question.points.size()), hand_(count_ * count_), factor_(count_ * count_) {
        Column speeds(count_);
        for (std::size_t i = 0; i < count_; ++i) {
            speeds[i] = movement.speed(question.points[i].time_s);
        }
        const double ahead_s = kAhead * movement.length_s;
        const double for_s = kAheadFor * movement.length_s;
        const double lips = kLipsShare * question.lips_cents;
        for (std::size_t i = 0; i < count_; ++i) {
            for (std::size_t j = 0; j <= i; ++j) {
                const double apart_s = question.points[i].time_s - question.points[j].time_s;
                const double held = apart_s / kLips_s;
                const double along = apart_s / for_s;
                // Lips: a Matern process of order 3/2; hand: a smooth error of time, times the speed.
                const double hand =
                    ahead_s * ahead_s * speeds[i] * speeds[j] * std::exp(-0.5 * along * along);
                hand_[at(i, j)] = hand_[at(j, i)] = hand;
                factor_[at(i, j)] =
                    lips * lips * (1.0 + held) * std::exp(-held) + hand +
                    (i == j ? question.tremble_cents * question.tremble_cents : 0.0);
            }
        }
        decompose();
    }

    /// The column in units of its own deviations, each independent of the others.
    [[nodiscard]] Column whitened(Column x) const {
        for (std::size_t i = 0; i < count_; ++i) {
            double value = x[i];
            for (std::size_t k = 0; k < i; ++k) {
                value -= factor_[at(i, k)] * x[k];
            }
            x[i] = value / factor_[at(i, i)];
        }
        return x;
    }

    /// What of the whitened rest is likeliest the hand's.
    [[nodiscard]] Column hands_part(Column rest) const {
        for (std::size_t back = count_; back > 0; --back) {
            const std::size_t i = back - 1;
            for (std::size_t k = back; k < count_; ++k) {
                rest[i] -= factor_[at(k, i)] * rest[k];
            }
            rest[i] /= factor_[at(i, i)];
        }
        Column out(count_, 0.0);
        for (std::size_t i = 0; i < count_; ++i) {
            for (std::size_t k = 0; k < count_; ++k) {
                out[i] += hand_[at(i, k)] * rest[k];
            }
        }
        return out;
    }

private:
    [[nodiscard]] std::size_t at(std::size_t i, std::size_t j) const { return i * count_ + j; }

    void decompose() {
        for (std::size_t i = 0; i < count_; ++i) {
            for (std::size_t j = 0; j <= i; ++j) {
                double sum = factor_[at(i, j)];
                for (std::size_t k = 0; k < j; ++k) {
                    sum -= factor_[at(i, k)] * factor_[at(j, k)];
                }
                factor_[at(i, j)] =
                    i == j ? std::sqrt(std::max(sum, 1e-9)) : sum / factor_[at(j, j)];
            }
        }
    }

    std::size_t count_;
    std::vector<double> hand_;
    std::vector<double> factor_;
};

/// What is known of the course but for its size: still pitch, a drift, the movement, and that it may come earlier or last
/// longer. Columns, made orthogonal after whitening (Gram and Schmidt, twice).
class Courses {
public:
    Courses(const BumpQuestion& question, const Movement& movement, const Wander& wander) {
        const std::size_t count = question.points.size();
        std::array<Column, 5> raw;
        for (const PitchPoint& point : question.points) {
            const double x = movement.share(point.time_s);
            raw[0].push_back(1.0);
            raw[1].push_back(least_jerk(x));
            raw[2].push_back(least_jerk_speed(x));
            raw[3].push_back(least_jerk_speed(x) * (x - 0.5));
            raw[4].push_back(x - 0.5);
        }
        for (Column& plain : raw) {
            Column white = wander.whitened(plain);
            Column shape = plain;
            for (int again = 0; again < 2; ++again) {
                for (std::size_t k = 0; k < white_.size(); ++k) {
                    const double share = dot(white_[k], white);
                    for (std::size_t i = 0; i < count; ++i) {
                        white[i] -= share * white_[k][i];
                        shape[i] -= share * plain_[k][i];
                    }
                }
            }
            const double size = std::sqrt(dot(white, white));
            if (size < 1e-6) {
                continue;
            }
            for (std::size_t i = 0; i < count; ++i) {
                white[i] /= size;
                shape[i] /= size;
            }
            white_.push_back(std::move(white));
            plain_.push_back(std::move(shape));
        }
    }

    /// Takes out of a whitened column what the courses explain; gives that part, in cents.
    Column take_out(Column& white) const {
        Column explained(white.size(), 0.0);
        for (std::size_t k = 0; k < white_.size(); ++k) {
            const double share = dot(white_[k], white);
            for (std::size_t i = 0; i < white.size(); ++i) {
                white[i] -= share * white_[k][i];
                explained[i] += share * plain_[k][i];
            }
        }
        return explained;
    }

private:
    std::vector<Column> white_;
    std::vector<Column> plain_;
};

Column bump_at(const BumpQuestion& question, double at_s, double length_s) {
    Column out;
    for (const PitchPoint& point : question.points) {
        const double through = (point.time_s - at_s) / length_s + 0.5;
        const double wave =
            through > 0.0 && through < 1.0 ? std::sin(std::numbers::pi * through) : 0.0;
        out.push_back(wave * wave);
    }
    return out;
}

/// The bump that stands out most, and how far bumps of the usual length must stand out on the average.
struct BestBump {
    double score = 0.0; ///< deviations
    double cents = 0.0;
    double at_s = 0.0;
    double length_s = 0.0;
    Column white;
    double usual_deviation = 0.0; ///< cents
};

BestBump best_bump(const BumpQuestion& question,
                   const Movement& movement,
                   const Wander& wander,
                   const Courses& courses,
                   const Column& rest) {
    const double from_s = std::max(question.points.front().time_s, movement.from_s - kBeside_s);
    const double to_s =
        std::min(question.points.back().time_s, movement.from_s + movement.length_s + kBeside_s);
    BestBump best;
    int looks = 0;
    for (const double length_s : kBumps_s) {
        for (double at_s = from_s; at_s <= to_s; at_s += 0.25 * length_s) {
            Column bump = wander.whitened(bump_at(question, at_s, length_s));
            (void)courses.take_out(bump);
            const double size = std::sqrt(dot(bump, bump));
            if (size < 1e-3) {
                continue;
            }
            if (length_s == kUsualBump_s) {
                best.usual_deviation += 1.0 / size;
                ++looks;
            }
            const double score = dot(bump, rest) / size;
            if (std::fabs(score) > std::fabs(best.score)) {
                const double deviation = best.usual_deviation;
                best = {score, score / size, at_s, length_s, std::move(bump), deviation};
            }
        }
    }
    best.usual_deviation /= std::max(1, looks);
    return best;
}

} // namespace

BumpAnswer search_bump(const BumpQuestion& question) {
    BumpAnswer out;
    const std::optional<Movement> movement = movement_of(question);
    if (!movement) {
        return out;
    }
    out.known = true;
    const Wander wander(question, *movement);
    const Courses courses(question, *movement, wander);
    Column cents;
    for (const PitchPoint& point : question.points) {
        cents.push_back(point.cents);
    }
    Column rest = wander.whitened(cents);
    out.hand_cents = courses.take_out(rest);

    const BestBump best = best_bump(question, *movement, wander, courses, rest);
    HandMove& move = out.move;
    move.from_s = movement->from_s;
    move.to_s = movement->from_s + movement->length_s;
    move.bend_cents = movement->bend_cents;
    move.jolt_cents = best.cents;
    move.jolt_at_s = best.at_s;
    move.jolt_s = best.length_s;
    move.slow = movement->length_s >= kSlow_s;
    // Regular waves are no such process: a jolt stands well out of them, the further the more restless the player.
    const double restless = std::max(1.0, question.lips_cents / kRestless_cents);
    const double least = std::max(kLeast_cents, kOutOfWobble * restless * question.lips_cents);
    move.hearable_cents = std::max(least, kTold * best.usual_deviation);
    move.jolted =
        move.slow && std::fabs(best.score) >= kTold && std::fabs(move.jolt_cents) >= least;
    if (move.jolted) { // the hand is what is left without it
        for (std::size_t i = 0; i < rest.size(); ++i) {
            rest[i] -= best.cents * best.white[i];
        }
    }
    const Column ahead = wander.hands_part(rest);
    for (std::size_t i = 0; i < ahead.size(); ++i) {
        out.hand_cents[i] += ahead[i];
    }
    return out;
}

} // namespace bellhand::hand

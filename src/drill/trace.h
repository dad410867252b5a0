#pragma once

#include "drill/plan.h"
#include "trainer/reading.h"

#include <cstddef>
#include <optional>
#include <vector>

namespace bellhand::drill {

/// Pitch and loudness of the last 44 seconds, hop by hop, for what goes on inside a note. Allocates once.
class Trace {
public:
    Trace() : moments_(kMoments) {}
    void add(const trainer::Reading& reading) noexcept;
    void clear() noexcept { count_ = 0; }

    struct Moment {
        double time_s = 0.0;
        double cents = 0.0; ///< from 1 Hz
        double level_dbfs = -200.0;
    };
    /// Voiced moments between two times, oldest first.
    [[nodiscard]] std::vector<Moment> between(double from_s, double to_s) const;

private:
    static constexpr std::size_t kMoments = 8192;
    std::vector<Moment> moments_;
    std::size_t count_ = 0;
};

/// Whether loudness went as the hairpin says, by at least `least_db`, from means over fifths of the note. Empty: too
/// little was heard of it.
[[nodiscard]] std::optional<bool>
hairpin_followed(const std::vector<Trace::Moment>& note, Hairpin hairpin, double least_db);

/// A trill as it was heard.
struct TrillHeard {
    int changes = 0;      ///< from one note to the other
    double rate_hz = 0.0; ///< full turns a second
    double uneven = 0.0;  ///< standard deviation of the half turns over their mean
};
[[nodiscard]] TrillHeard
trill_of(const std::vector<Trace::Moment>& note, double one_hz, double other_hz);

/// A closing or opening of the hand from one pitch to another.
struct ClosingHeard {
    double reached_share = 0.0;      ///< of the whole way
    double largest_jump_cents = 0.0; ///< within 40 ms
    double back_cents = 0.0;         ///< furthest way back on the way
};
[[nodiscard]] ClosingHeard
closing_of(const std::vector<Trace::Moment>& note, double from_hz, double to_hz);

} // namespace bellhand::drill

#pragma once

#include "dsp/decimator.h"
#include "pitch/harmonic_search.h"
#include "pitch/history.h"

namespace bellhand::pitch {

/// Says whether a horn sounds and where its pitch is, from longer stretches of sound than the follower looks at.
///
/// Two searches: one for most notes, and one over a longer stretch of the low-passed sound for the deepest. What is a
/// horn is told by the spectrum alone: clear narrow lines (not the hump of breath noise), nearly all of them on one
/// comb (not a chord), empty between the teeth, and for low notes most of the energy in higher harmonics, where mains
/// hum has it in the lowest.
class NoteFinder {
public:
    explicit NoteFinder(double sample_rate_hz);

    /// Samples of history it wants to look back on.
    [[nodiscard]] std::size_t reach() const noexcept;

    /// Take the newest samples.
    void hear(std::span<const float> x) noexcept;
    void forget() noexcept;

    struct Finding {
        PitchCandidate pitch{};
        bool clear = false; ///< enough to begin a note at once
        bool horn = false;  ///< enough to begin one if it is still there a little later
        bool maybe = false; ///< enough to go on with one
    };

    /// What sounds? `deep`: look for the deepest notes too when the first search finds none.
    [[nodiscard]] Finding find(const History& history, const PitchPrior& prior, bool deep) noexcept;

    /// Does `followed_hz` still explain the sound best? `repeats`: share of the newest sound that repeats with it;
    /// `established`: it has held for a while.
    [[nodiscard]] Finding check(const History& history,
                                double followed_hz,
                                double repeats,
                                bool established,
                                const PitchPrior& prior) noexcept;

    /// A note that began not long ago while `old_hz` still rings in the room; `age_s` since the old one ceased to be all.
    /// `odd`: look at a short stretch even where a longer one would do; asked in turn, the first to see it wins.
    [[nodiscard]] Finding find_after(const History& history,
                                     double old_hz,
                                     double age_s,
                                     bool odd,
                                     const PitchPrior& prior) noexcept;

    /// How much of the newest sound `check` looks at for a pitch, in seconds.
    [[nodiscard]] static double span_s(double followed_hz) noexcept;

private:
    HarmonicSearch main_;
    HarmonicSearch quick_;
    dsp::Decimator low_pass_;
    HarmonicSearch deep_;
    History deep_history_;
};

} // namespace bellhand::pitch

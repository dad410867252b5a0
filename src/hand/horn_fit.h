#pragma once

#include "horn/hand_response.h"

#include <array>
#include <cstddef>
#include <span>

namespace bellhand::hand {

/// A note that held its pitch, as evidence of the tube it came from.
struct FitNote {
    double f0_hz = 0.0;
    /// Log odds of open against stopped by timbre, in nats; 0 where it says nothing. Little of it is believed.
    double open_log_odds = 0.0;
};

/// A tube on which notes lie, most of them open.
struct FittedTube {
    double f1_hz = 0.0;
    double sd_cents = 0.0; ///< of f1
    double share = 0.0;    ///< probability, given that one of the tubes looked at sounds
    int open_places = 0;   ///< different pitches that are its open partials
};

/// What the notes say of the horn that was set.
enum class HornVerdict {
    unknown, ///< too few notes yet; what was set is believed
    fits,
    doubtful, ///< the notes lie badly on the horn that was set, and on no other well enough to name it
    either, ///< two horns explain them alike
    other,  ///< another horn explains them, and the one that was set does not
};

struct HornFit {
    HornVerdict verdict = HornVerdict::unknown;
    FittedTube best; ///< the likeliest tube; with `fits` the one that was set, where it really lies
    FittedTube rival; ///< the next one; known with `either`
    /// With `either`: this open partial of the tube `deciding_f1_hz` lies far from all open ones of the other tube.
    int deciding_partial = 0;
    double deciding_f1_hz = 0.0;
    /// With `fits`: how far the whole horn lies from f1 of the crook at the pitch that is set, its standard deviation, and whether that is so
    /// much and so sure that it ought to be said.
    double offset_cents = 0.0;
    double offset_sd_cents = 100.0;
    bool offset_matters = false;

    /// Advice on hand and lips would rest on a horn that perhaps does not sound.
    [[nodiscard]] bool doubted() const noexcept { return verdict >= HornVerdict::doubtful; }
};

/// A horn that lies further off than this is another horn: the next crook is 100 cents away, and the pitch of the day
/// moves by 40 between 430 and 440 Hz (common practice, no source).
inline constexpr double kSameHorn_cents = 70.0;

/// Finds which horn sounds, from the last notes that held their pitch: every tube of the family is tried with its pitch
/// left free.
///
/// A note is an open partial (near n f1, as lips and tube scatter) or a hand note (anywhere, most of them near the
/// semitones of the horn's own scale), and what each tube makes of all of them is compared (Bayes, 1763, over a grid of
/// f1). The horn that was set begins ahead: players seldom mount another one than they say. The same pitch again is
/// hardly new evidence. Belongs to one thread, never allocates.
class HornFinder {
public:
    static constexpr std::size_t kRemembered = 16; ///< notes

    HornFinder() noexcept { set_horn(43.6535); }
    /// The horn that is set from now on; what was heard is forgotten. `open_cents`: where a measured horn has its open
    /// partials against n f1, empty where that is not known.
    void set_horn(double f1_hz, std::span<const double> open_cents = {}) noexcept;
    void add(const FitNote& note) noexcept;
    [[nodiscard]] const HornFit& fit() const noexcept { return fit_; }
    /// How far a measured horn lies from f1 as a whole; 0 where nothing was measured.
    [[nodiscard]] double measured_cents() const noexcept { return measured_cents_; }

private:
    static constexpr std::size_t kTubes = 400;
    struct Remembered {
        double cents = 0.0; ///< from 1 Hz
        double open_log_odds = 0.0;
        std::array<std::array<float, kTubes>, 3> logs{}; ///< log likelihood by each tube
    };
    struct Peak {
        std::size_t at = 0;
        FittedTube tube;
    };
    [[nodiscard]] std::size_t count() const noexcept {
        return count_ < kRemembered ? count_ : kRemembered;
    }
    [[nodiscard]] double weight_of(std::size_t note) const noexcept;
    [[nodiscard]] double
    log_likelihood(const Remembered& note, double usual, double f1_cents) const noexcept;
    [[nodiscard]] double open_share(const Remembered& note, double f1_cents) const noexcept;
    [[nodiscard]] int places(double f1_cents) const noexcept;
    void weigh_tubes() noexcept;
    [[nodiscard]] Peak take_peak(std::array<double, kTubes>& left) const noexcept;
    void judge() noexcept;
    void settle_offset() noexcept;
    void find_deciding() noexcept;

    double nominal_cents_ = 0.0;  ///< f1 of the horn that was set, from 1 Hz
    double measured_cents_ = 0.0; ///< how far its measured partials lie from that
    double set_cents_ = 0.0;      ///< both
    std::array<double, horn::kPartials> partial_cents_{}; ///< open partials above f1
    std::array<Remembered, kRemembered> notes_{};
    std::size_t count_ = 0;
    int proven_ = 0; ///< most different open notes that have proved the horn at once
    struct Offset {
        double cents = 0.0;
        double sd_cents = 100.0;
        int places = 0;
    };
    Offset settled_;
    std::array<double, kTubes> posterior_{};
    HornFit fit_;
};

} // namespace bellhand::hand

#pragma once

#include "pitch/history.h"
#include "pitch/phase_fit.h"
#include "pitch/phasor_bank.h"

#include <array>
#include <vector>

namespace bellhand::pitch {

/// What the follower knows after a hop. Pitches in rad per sample, standard deviations in cents.
struct Following {
    double live_omega = 0.0;
    double live_sd_cents = 0.0;
    double judged_omega = 0.0;
    double judged_sd_cents = 0.0;
    double judged_age = 0.0; ///< samples from the instant of the judged value to the newest sample
    double tone_power = 0.0;
    double noise_power = 0.0; ///< what does not repeat with the pitch
    double repeats = 0.0;     ///< share of the newest hop's energy that repeats after one period
    int harmonics = 0;
    std::array<float, kBankHarmonics> amplitude{};
    bool changed = false; ///< a new pitch began, `changed_age` samples before the newest sample
    double changed_age = 0.0;
    bool doubtful = false; ///< the sound stopped repeating and no new period was found in time
};

/// Follows one pitch from hop to hop once it is known, and notices when it jumps.
///
/// While the pitch holds or bends, phase fits of two lengths give the judged value (in the middle of the window) and,
/// with the chirp, the live value at the newest sample. When a hop no longer repeats with the period, the windows are
/// cut there and the new period is looked for in what came after.
class NoteFollower {
public:
    NoteFollower(double sample_rate_hz, int hop);

    /// Follow `omega` from here on; only the newest `usable` samples of `history` belong to it.
    void start(const History& history, double omega, std::size_t usable) noexcept;
    void stop() noexcept { active_ = false; }
    [[nodiscard]] bool active() const noexcept { return active_; }

    /// One hop later.
    const Following& advance(const History& history) noexcept;

    /// Samples since the sound ceased to repeat with the pitch, 0 while it does.
    [[nodiscard]] double change_age() const noexcept { return changing_ ? change_age_ : 0.0; }

    /// Samples since the note began or jumped.
    [[nodiscard]] double usable() const noexcept { return usable_; }

    [[nodiscard]] const Following& state() const noexcept { return out_; }

    /// Samples of history it wants to look back on.
    [[nodiscard]] static std::size_t reach(double sample_rate_hz) noexcept;

private:
    void refer(const History& history, double omega) noexcept;
    void watch(const History& history) noexcept;
    void look_for_change(const History& history) noexcept;

    void fit(const History& history) noexcept;
    void compare(double judged, double judged_variance, double age) noexcept;
    void match_only(const History& history) noexcept;
    [[nodiscard]] int whole_blocks(double samples) const noexcept;

    double rate_hz_;
    int hop_;
    PhasorBank bank_;
    std::vector<float> scratch_;
    std::array<float, kBankHarmonics> noise_{};
    Following out_;
    bool active_ = false;
    bool changing_ = false;
    bool fresh_ = true;
    double usable_ = 0.0;      // samples since the note began or jumped
    double change_age_ = 0.0;  // while changing: samples since the jump
    double usual_ratio_ = 0.0; // running mismatch between neighbouring periods
    double noise_power_ = 0.0;
    double misfit_ = 1.0;
    struct Past {
        double omega = 0.0; ///< 0: none
        double chirp = 0.0;
        double variance = 0.0;
        double live = 0.0;
        double live_variance = 0.0;
    };
    double restless_ = 0.0;       // motion that the quick and the patient window see differently
    double surprise_ = 0.0;       // error of past live readings beyond their deviation
    std::array<Past, 32> past_{}; // quick fits, newest first, one a hop
    double mid_omega_ = 0.0;      // last fit
    double chirp_ = 0.0;
    double live_chirp_ = 0.0;
};

} // namespace bellhand::pitch

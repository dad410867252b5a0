#pragma once

#include "drill/remark.h"

#include <array>
#include <cstddef>
#include <optional>

namespace bellhand::drill {

/// Where a player stands against the metronome: beats are counted, notes get their distance from the beat, and what
/// all of them have in common is said once: a constant lag, which may be the headphones' or the room's as well as the
/// player's, or a drift.
class Click {
public:
    /// A beat as the player hears it. `heard`: its way to the microphone was measured, not only reported by drivers.
    void beat(double time_s, bool heard) noexcept;
    [[nodiscard]] int beats() const noexcept { return beats_; }

    /// A note at a place (in beats from the beginning; `goes_on`: in the order of the exercise). Seconds behind where this
    /// player usually comes in. Needs a beat.
    double hear(double place_beats,
                double start_s,
                double length_s, ///< from beat to beat
                int beats_in_bar,
                bool goes_on) noexcept;
    /// Forgets how late the player was; what was said stays said.
    void begin_anew() noexcept;
    /// What has become clear by now; each kind once.
    [[nodiscard]] std::optional<Remark> remark() noexcept;

private:
    static constexpr std::size_t kNotes = 12;
    struct Late {
        double beats = 0.0;
        double late_s = 0.0;
    };
    [[nodiscard]] double middle_s() const noexcept;

    int beats_ = 0;
    double beat_s_ = 0.0;
    bool heard_ = false;
    std::optional<double> grid_; ///< beat number of the beginning of the exercise
    std::array<Late, kNotes> late_{};
    std::size_t count_ = 0; ///< of this phrase; newest at count_ - 1, a ring
    double usual_s_ = 0.0;  ///< what the player is late by
    bool lag_said_ = false;
    bool drift_said_ = false;
};

} // namespace bellhand::drill

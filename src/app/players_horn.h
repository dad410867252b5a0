#pragma once

#include "core/result.h"
#include "instrument/calibration/calibration_closing.h"
#include "instrument/profile.h"
#include "practice/analysis.h"

#include <filesystem>
#include <optional>
#include <span>
#include <vector>

namespace bellhand::app {

/// The measured hand of the profile on this tuning; what was not measured comes from the acoustic model. Errors: no
/// calibration near this crook and pitch.
[[nodiscard]] Result<practice::OwnHand> measured_hand(const instrument::Profile& profile,
                                                      const horn::Tuning& tuning);

/// What is known of the player's hand when a session begins.
struct PlayerHand {
    std::optional<practice::OwnHand> own; ///< measured on the horn that is tuned to
    std::vector<hand::Colour> open_notes; ///< of earlier days, oldest first
};

/// The player's own horn as far as the hand is concerned: what calibration measured, and what was learnt of the open
/// notes. Reads and writes the profile file; never called from the threads of the analysis.
class PlayersHorn {
public:
    /// No profile: nothing is known, and what is learnt lasts until the program ends.
    PlayersHorn() = default;
    /// Errors: those of the profile. `own`: false for a horn that comes with the program, which is never written to.
    [[nodiscard]] static Result<PlayersHorn> open(const std::filesystem::path& profile, bool own);

    /// The hand for this tuning; no `own` where the profile has no calibration near it.
    [[nodiscard]] PlayerHand hand_for(const horn::Tuning& tuning) const;
    /// What that hand does to the tube, for judging; empty as above.
    [[nodiscard]] std::optional<horn::HandResponse> response_on(const horn::Tuning& tuning) const;
    /// How many open notes are known.
    [[nodiscard]] int open_notes() const noexcept { return static_cast<int>(open_notes_.size()); }
    /// What is learnt can be written to a file of the player's own.
    [[nodiscard]] bool lasts() const noexcept { return own_; }

    /// Keeps the open notes that taught a session something, for the next one and, when the profile is the player's own, in
    /// its file: read anew and replaced in one step, so that nothing else in it is lost. Errors: file not readable or
    /// writable; memory has them all the same.
    [[nodiscard]] Result<void> keep(std::span<const hand::Colour> taught);
    /// Forgets all of them, in the file too. Errors as `keep`.
    [[nodiscard]] Result<void> forget();

    /// Adds one slow closing to the calibration near this tuning. Errors: no profile of the player's own, no calibrated
    /// horn near this crook and pitch, file not writable.
    [[nodiscard]] Result<void> add_closing(const instrument::MeasuredClosing& closing,
                                           const horn::Tuning& tuning);

private:
    std::filesystem::path path_;
    bool own_ = false;
    instrument::Profile profile_;
    std::vector<hand::Colour> open_notes_;
};

} // namespace bellhand::app

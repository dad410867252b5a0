#pragma once

#include "core/result.h"
#include "horn/acoustics/air.h"
#include "horn/crook.h"

#include <array>
#include <optional>
#include <span>
#include <vector>

namespace bellhand::instrument {

inline constexpr int kCalibratedPartials = 24;

/// One held open note: its judged pitch over the held part. Which partial it was is not known, and it may be a wrong note.
struct PlayedPitch {
    double time_s = 0.0; ///< middle of the held part
    double f0_hz = 0.0;
    double sd_cents =
        1.0; ///< standard error of f0 over the held part (wander averaged), at least 0
};

/// Standard error of the median pitch of a held note whose pitch wanders by `spread_cents` (standard deviation) from
/// reading to reading. Readings 60 ms apart count as independent (twice a correlation time of 30 ms; common practice, no
/// source); a median needs pi/2 as many as a mean.
[[nodiscard]] double held_note_sd_cents(double spread_cents, double held_s) noexcept;

/// What is believed of open partials before anything is played: mean offset from n f1, and how far a horn may stray
/// from it. Neighbours stray together (`together`), each one also by itself (`alone`).
struct OffsetPrior {
    std::array<double, kCalibratedPartials> mean_cents{};
    std::array<double, kCalibratedPartials> together_sd_cents{};
    std::array<double, kCalibratedPartials> alone_sd_cents{};
};

/// Prior that leans on no bore: offsets zero. Straying as wide as among 150 variations of the modelled horn's bore
/// (tube 5 %, cones 15 to 20 %, bell 10 %, mouthpiece 30 %), where the standard deviation on the crook of F was 33 cents
/// on partial 2, 18 on 3, 13 on 4, 4 to 10 on 5 to 16; above 12 wider, because there the mean is not zero.
[[nodiscard]] OffsetPrior wide_offset_prior() noexcept;

/// Prior with the offsets of the modelled horn as means and the same straying, narrower above 12. Takes about 10 ms.
/// The wide one when the modelled horn has no crook for this f1.
[[nodiscard]] OffsetPrior model_offset_prior(double f1_hz, const horn::acoustics::AirState& air);

struct CalibrationQuestion {
    /// f1 that the crook should give, with how far it may be off; empty: any horn from 22 to 75 Hz.
    std::optional<double> expected_f1_hz;
    double expected_sd_cents = 60.0;
    /// Empty: that of the modelled horn at the expected f1; without one, first the wide one, then the model's at the f1
    /// found.
    std::optional<OffsetPrior> offsets;
    double aim_sd_cents =
        1.5; ///< how differently the same note is centred each time, in the first search for f1
    double drift_sd_cents_per_min = 2.0; ///< how fast a horn may warm up or cool down
    double wrong_note_share = 0.05;
    horn::acoustics::AirState air;
};

struct CalibratedPartial {
    int partial = 0;
    double offset_cents = 0.0; ///< from n f1
    double sd_cents = 0.0;
    int notes = 0; ///< that were counted on it; 0: only inferred from the others and the prior
};

struct NoteVerdict {
    int partial = 0;             ///< nearest reading of it
    double weight = 0.0;         ///< probability that it was this open partial and not a wrong note
    double residual_cents = 0.0; ///< note minus what all notes together say
};

/// f1 by convention: the frequency from which the offsets of the partials 4, 5, 6, 8, 9, 10 and 12 average zero. Player
/// and horn are one here: a player who plays everything 5 cents high finds an f1 that is 5 cents high.
struct PlayedCalibration {
    double f1_hz = 0.0; ///< at `middle_s`
    double f1_sd_cents = 0.0;
    double middle_s = 0.0;           ///< weighted mean time of the notes
    double effective_length_m = 0.0; ///< c / (2 f1) in the stated air
    double drift_cents_per_min = 0.0;
    double drift_sd_cents_per_min =
        0.0; ///< near the question's figure: the notes said nothing about it
    double spread_cents =
        0.0; ///< how differently the same note is centred each time: the player's aim
    int repeats =
        0; ///< notes beyond the first on their partial; without any the aim is only believed, not known
    std::vector<CalibratedPartial> partials; ///< 1 to 24
    std::vector<NoteVerdict> notes;          ///< in the order given
    std::optional<double> rival_f1_hz;       ///< another f1 that explains the notes nearly as well
};

/// Finds which horn was played from its open notes.
///
/// Method: for each f1 of a grid the notes are scored against all partials at once (mixture of normals plus a uniform
/// share of wrong notes); the best few are refined by expectation-maximisation (Dempster, Laird & Rubin 1977) around a
/// linear Gaussian model whose state is the pitch of each partial and the drift, with the prior of the offsets shrinking
/// what the notes leave open. The player's aim is averaged over what players have (0.5 to 6 cents), each value weighed
/// by its evidence (the variational bound of Jordan, Ghahramani, Jaakkola & Saul 1999): repeats tell it, and until then a partial's offset cannot be told from the aim of its one note. A note counts as wrong by its distance from what all *other* notes predict.
///
/// Errors (usage): fewer than three notes, a pitch or time that is not a number, pitches outside 20 to 2000 Hz;
/// (failure): no f1 explains two thirds of the notes.
[[nodiscard]] Result<PlayedCalibration> calibrate_open_notes(std::span<const PlayedPitch> notes,
                                                             const CalibrationQuestion& question);

/// A4 at which equal temperament puts this crook's written C4 on 4 f1.
[[nodiscard]] double suiting_a4_hz(double f1_hz, const horn::Crook& crook) noexcept;

} // namespace bellhand::instrument

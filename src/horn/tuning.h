#pragma once

#include "core/result.h"
#include "horn/crook.h"
#include "horn/note.h"
#include "horn/temperament.h"

namespace bellhand::horn {

inline constexpr double kLowestA4Hz = 380.0;
inline constexpr double kHighestA4Hz = 470.0;

/// What the player has chosen for the day: everything that turns a written note into a frequency.
struct Tuning {
    Crook crook{};
    double a4_hz = 440.0;
    Temperament temperament{};

    friend bool operator==(const Tuning&, const Tuning&) = default;
};

/// Errors (usage): A4 outside 380 to 470 Hz, or not a number.
[[nodiscard]] Result<double> checked_a4(double a4_hz);

/// The note that sounds, spelled as far from its written name as the crook's key is from C: written B♭ on E♭ sounds D♭.
/// Where that would need C♭, F♭, E♯, B♯ or a double accidental, the usual spelling.
[[nodiscard]] Note sounding_note(Note written, const Crook& crook) noexcept;

/// The written note for a sounding one, spelled by the same rule.
[[nodiscard]] Note written_note(Note sounding, const Crook& crook) noexcept;

/// Frequency at which the written note should sound (crook's transposition, then temperament by sounding note).
[[nodiscard]] double target_hz(Note written, const Tuning& tuning) noexcept;

/// f1, the nominal fundamental of the crook: a quarter of equal-tempered written C4. Partial n of the tube is n * f1.
[[nodiscard]] double fundamental_hz(const Tuning& tuning) noexcept;

} // namespace bellhand::horn

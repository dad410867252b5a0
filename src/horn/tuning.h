#pragma once

#include "core/result.h"
#include "horn/crook.h"
#include "horn/note.h"
#include "horn/temperament.h"

#include <optional>
#include <string>
#include <string_view>

namespace bellhand::horn {

inline constexpr double kLowestA4Hz = 380.0;
inline constexpr double kHighestA4Hz = 470.0;

/// Which note stays where equal temperament at the day's pitch has it.
enum class Anchor {
    key, ///< alone: the crook's key, so that the tube's own notes are in tune
    a    ///< in company: their A
};

/// The key that a crook is named after, as a step above C: 9 for A, 3 for E♭.
[[nodiscard]] int key_step(const Crook& crook) noexcept;

/// Where an unequal temperament stands. Equal temperament is the same on any.
struct Footing {
    /// Sounding step above C, 0 to 11, from which the temperament is built; empty: the crook's key.
    std::optional<int> root;
    Anchor anchor = Anchor::key;
    Enharmonic enharmonic = Enharmonic::sharp;

    friend bool operator==(const Footing&, const Footing&) = default;
};

/// What the player has chosen for the day: everything that turns a written note into a frequency.
struct Tuning {
    Crook crook{};
    double a4_hz = 440.0;
    Temperament temperament{};
    Footing footing{};

    friend bool operator==(const Tuning&, const Tuning&) = default;
};

/// The step of the root that is in force.
[[nodiscard]] int root_step(const Tuning& tuning) noexcept;
/// "C", "C#", "Eb": a step above C, 0 to 11, for options and files.
[[nodiscard]] std::string step_name(int step);
/// "E♭": a step as horn players usually spell it; the crook's key as the crook does.
[[nodiscard]] std::string root_label(const Tuning& tuning);

/// Reads "C", "Eb", "F#", "A flat", any case, as a step above C. Errors (usage): no note name, or one with an octave.
[[nodiscard]] Result<int> parse_root(std::string_view text);
/// "key" or "a": options and files.
[[nodiscard]] const char* anchor_id(Anchor anchor) noexcept;
/// The anchor of that id; empty when it is none.
[[nodiscard]] std::optional<Anchor> anchor_of(std::string_view id) noexcept;

/// Errors (usage): A4 outside 380 to 470 Hz, or not a number.
[[nodiscard]] Result<double> checked_a4(double a4_hz);

/// The note that sounds, spelled as far from its written name as the crook's key is from C: written B♭ on E♭ sounds D♭.
/// Where that would need C♭, F♭, E♯, B♯ or a double accidental, the usual spelling.
[[nodiscard]] Note sounding_note(Note written, const Crook& crook) noexcept;

/// The written note for a sounding one, spelled by the same rule.
[[nodiscard]] Note written_note(Note sounding, const Crook& crook) noexcept;

/// How far a sounding note (A4 = 69) lies from equal temperament at the day's A4, in cents.
[[nodiscard]] double offset_from_equal_cents(const Tuning& tuning, int sounding_number) noexcept;

/// How far the crook's key does: 0 when it is the anchor. By this the slide has to stand off the day's equal pitch.
[[nodiscard]] double key_from_equal_cents(const Tuning& tuning) noexcept;

/// Why the target stands where it does: "a pure major third above E", "a fifth above F, 3.9 cents narrower than pure",
/// "the root", by the sounding interval from the temperament's root. Equal temperament counts from the crook's key.
[[nodiscard]] std::string target_words(Note written, const Tuning& tuning);

/// Frequency at which the written note should sound (crook's transposition, then temperament by sounding note).
[[nodiscard]] double target_hz(Note written, const Tuning& tuning) noexcept;

/// f1, the nominal fundamental of the crook: a quarter of equal-tempered written C4. Partial n of the tube is n * f1.
[[nodiscard]] double fundamental_hz(const Tuning& tuning) noexcept;

} // namespace bellhand::horn

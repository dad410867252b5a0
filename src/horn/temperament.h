#pragma once

#include "core/result.h"

#include <array>
#include <optional>
#include <span>
#include <string_view>

namespace bellhand::horn {

/// Twelve notes of an octave in cents from the root, C in the books.
struct Temperament {
    const char* id = "equal";    ///< options and files
    const char* label = "Equal"; ///< for people
    std::array<double, 12> cents{0, 100, 200, 300, 400, 500, 600, 700, 800, 900, 1000, 1100};
    const char* source = ""; ///< where the figures come from
    double flat_sixth_cents =
        800.0; ///< the note four fifths below the root; differs from cents[8] in a meantone

    friend bool operator==(const Temperament& a, const Temperament& b) noexcept {
        return std::string_view(a.id) == b.id;
    }
};

[[nodiscard]] std::span<const Temperament> all_temperaments() noexcept;

/// By id, any case. Errors (usage): unknown; the sentence lists what there is.
[[nodiscard]] Result<Temperament> parse_temperament(std::string_view text);

/// Frequency ratio of the pure interval of so many semitones up (negative: down), as in the table's just intonation.
[[nodiscard]] double just_ratio(int semitones) noexcept;

/// The one black key of which a meantone has either the sharp or the flat: eight fifths above the root (on C: G♯) or four
/// below (A♭). Where both are one note the choice changes nothing.
enum class Enharmonic { sharp, flat };
/// "sharp" or "flat": options and files.
[[nodiscard]] const char* enharmonic_id(Enharmonic enharmonic) noexcept;
/// The choice of that id; empty when it is none.
[[nodiscard]] std::optional<Enharmonic> enharmonic_of(std::string_view id) noexcept;

/// How far the note so many steps (0 to 11) above the temperament's root lies from equal temperament when the root is
/// left where it is, in cents.
[[nodiscard]] double off_equal_cents(const Temperament& temperament,
                                     int steps_above_root,
                                     Enharmonic enharmonic = Enharmonic::sharp) noexcept;

} // namespace bellhand::horn

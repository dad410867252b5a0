#pragma once

#include "core/result.h"

#include <array>
#include <span>
#include <string_view>

namespace bellhand::horn {

/// Twelve notes of an octave in cents from C, by sounding note.
struct Temperament {
    const char* id = "equal";    ///< options and files
    const char* label = "Equal"; ///< for people
    std::array<double, 12> cents{0, 100, 200, 300, 400, 500, 600, 700, 800, 900, 1000, 1100};
    const char* source = ""; ///< where the figures come from

    friend bool operator==(const Temperament& a, const Temperament& b) noexcept {
        return std::string_view(a.id) == b.id;
    }
};

[[nodiscard]] std::span<const Temperament> all_temperaments() noexcept;

/// By id, any case. Errors (usage): unknown; the sentence lists what there is.
[[nodiscard]] Result<Temperament> parse_temperament(std::string_view text);

/// Frequency ratio of the pure interval of so many semitones up (negative: down), as in the table's just intonation.
[[nodiscard]] double just_ratio(int semitones) noexcept;

/// How far the note lies from equal temperament when A is left where it is, in cents. `sounding_number`: chromatic
/// number of the sounding note (A4 = 69).
[[nodiscard]] double offset_from_equal_cents(const Temperament& temperament,
                                             int sounding_number) noexcept;

} // namespace bellhand::horn

#pragma once

#include "core/result.h"
#include "hand/features.h"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>

namespace bellhand::hand {

/// How the colour of a note moves against the player's own open notes when the hand closes by degrees: shift of each trait
/// in its own unit, a + b o + c o^2, o octaves of f0 from the reference, and how far single notes scatter about it.
///
/// Modelled, not measured (transmission line with the hand in the bell, blown by a wave that steepens): no recording of a
/// half-stopped horn was to be had. So it only breaks ties: see `colour_logs`. `assets/hand/hand_colour.txt` holds it,
/// `tests/bench/learn_hand_colour.cpp` makes it.
struct HandColourModel {
    struct Shift {
        std::array<double, 3> curve{};
        double spread = 1.0;
    };
    double reference_hz = 200.0;
    std::array<std::array<Shift, kTraits>, kDegrees> shift{};
};

[[nodiscard]] const char* trait_name(std::size_t trait) noexcept;

/// The text of the file and back. Errors of reading: a name unknown, missing or twice, a figure that is none; the sentence
/// names `where` and the line.
[[nodiscard]] std::string hand_colour_text(const HandColourModel& model);
[[nodiscard]] Result<HandColourModel> parse_hand_colour(std::string_view text,
                                                        const std::string& where);
/// From the program's own files. Errors: file missing or damaged.
[[nodiscard]] Result<HandColourModel> load_hand_colour();

/// A note's traits against the player's own open notes, and how uncertain that comparison is.
struct OwnColour {
    std::array<double, kTraits> off{};
    std::array<double, kTraits> variance{};
    std::array<bool, kTraits> known{};

    [[nodiscard]] bool any() const noexcept {
        return std::any_of(known.begin(), known.end(), [](bool one) { return one; });
    }
};

/// Log likelihood of each degree by colour, the likeliest 0. What is modelled must not outweigh what is measured: no degree
/// comes out more than exp(3) times less likely than another. All 0 when nothing is known.
[[nodiscard]] std::array<double, kDegrees>
colour_logs(const OwnColour& own, double f0_hz, const HandColourModel& model) noexcept;

} // namespace bellhand::hand

#pragma once

#include <cstdint>

namespace bellhand::gui {

/// A colour as Dear ImGui packs it (alpha, blue, green, red from the top byte down).
using Colour = std::uint32_t;

[[nodiscard]] constexpr Colour rgb(unsigned hex) noexcept {
    return 0xFF000000U | ((hex & 0xFFU) << 16U) | (hex & 0xFF00U) | ((hex >> 16U) & 0xFFU);
}

/// The same colour, `opacity` 0..1.
[[nodiscard]] constexpr Colour faded(Colour colour, float opacity) noexcept {
    const auto alpha = static_cast<Colour>(opacity * static_cast<float>(colour >> 24U) + 0.5F);
    return (colour & 0x00FFFFFFU) | (alpha << 24U);
}

/// `share` 0 gives `from`, 1 gives `to`.
[[nodiscard]] Colour mixed(Colour from, Colour to, float share) noexcept;

/// Few colours, named by their part in the picture. None of them means "right" or "wrong".
struct Palette {
    Colour paper; ///< the ground
    Colour sheet; ///< a sheet laid on it
    Colour ink;   ///< what is read first
    Colour
        ink_soft; ///< what is read second; 4.5:1 on paper at least (WCAG 2.1, success criterion 1.4.3)
    Colour rule;       ///< hairlines, staff lines' companions
    Colour brass;      ///< what belongs to the instrument: rungs, targets, chosen things
    Colour brass_soft; ///< its wide areas
    Colour voice;      ///< what the player sounds
    Colour voice_pale; ///< signs (no words) of what is heard too unsurely to judge by
    Colour warning;    ///< a sentence that wants to be read; always with words
};

[[nodiscard]] const Palette& light_palette() noexcept;
[[nodiscard]] const Palette& dark_palette() noexcept;

/// Contrast ratio of two opaque colours (WCAG 2.1, "contrast ratio"): 1 to 21.
[[nodiscard]] double contrast(Colour one, Colour other) noexcept;

} // namespace bellhand::gui

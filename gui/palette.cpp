#include "gui/palette.h"

#include <algorithm>
#include <cmath>

namespace bellhand::gui {

namespace {

constexpr Palette kLight{
    rgb(0xF5F0E4), // paper
    rgb(0xFCF9F1), // sheet
    rgb(0x1D1A16), // ink
    rgb(0x655C4F), // ink_soft
    rgb(0xD3C8B2), // rule
    rgb(0x84540F), // brass
    rgb(0xE9D9B4), // brass_soft
    rgb(0x1F3F66), // voice
    rgb(0x647890), // voice_pale
    rgb(0x8C2F22), // warning
};

constexpr Palette kDark{
    rgb(0x191613), // paper
    rgb(0x24201B), // sheet
    rgb(0xF3EADB), // ink
    rgb(0xADA08C), // ink_soft
    rgb(0x463F35), // rule
    rgb(0xE0AE57), // brass
    rgb(0x443620), // brass_soft
    rgb(0x9CC3EC), // voice
    rgb(0x728BA6), // voice_pale
    rgb(0xF0A08E), // warning
};

double linear(Colour channel) noexcept {
    const double value = static_cast<double>(channel) / 255.0;
    return value <= 0.03928 ? value / 12.92 : std::pow((value + 0.055) / 1.055, 2.4);
}

double luminance(Colour colour) noexcept {
    return 0.2126 * linear(colour & 0xFFU) + 0.7152 * linear((colour >> 8U) & 0xFFU) +
           0.0722 * linear((colour >> 16U) & 0xFFU);
}

} // namespace

Colour mixed(Colour from, Colour to, float share) noexcept {
    Colour result = 0;
    for (unsigned shift = 0; shift < 32; shift += 8) {
        const auto a = static_cast<float>((from >> shift) & 0xFFU);
        const auto b = static_cast<float>((to >> shift) & 0xFFU);
        result |= static_cast<Colour>(std::lround(a + (b - a) * share)) << shift;
    }
    return result;
}

const Palette& light_palette() noexcept {
    return kLight;
}

const Palette& dark_palette() noexcept {
    return kDark;
}

double contrast(Colour one, Colour other) noexcept {
    const double a = luminance(one);
    const double b = luminance(other);
    return (std::max(a, b) + 0.05) / (std::min(a, b) + 0.05);
}

} // namespace bellhand::gui

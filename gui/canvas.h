#pragma once

#include "gui/box.h"
#include "gui/drawn.h"
#include "gui/fonts.h"
#include "gui/palette.h"
#include "horn/note.h"

#include <algorithm>
#include <string_view>

struct ImDrawList;

namespace bellhand::gui {

enum class Align { left, middle, right };

/// What every view draws with: one list of shapes, the fonts, the colours and the unit of size. Text is placed by its
/// baseline and sized by the height of its capitals, as a printer would.
class Canvas {
public:
    Canvas(ImDrawList& shapes, const FontBook& book, const Palette& palette, const TypeScale& sizes)
        : list(shapes), fonts(book), colour(palette), scale(sizes), em(sizes.em_px) {}

    /// The same canvas with an em that lets so many of them fit into the box: large type grows only as far as that.
    [[nodiscard]] Canvas fitted(const Box& box, float ems_wide, float ems_high) const noexcept {
        Canvas smaller = *this;
        smaller.em = std::min({em, box.width() / ems_wide, box.height() / ems_high});
        return smaller;
    }

    /// Height of capitals for running text, and for its small print.
    [[nodiscard]] float cap() const noexcept { return em * 0.72F; }
    [[nodiscard]] float small_cap() const noexcept { return em * 0.605F; }
    /// The least height of what is read from a music stand while one plays (common practice, no source).
    static constexpr float kPlayed_px = 14.0F;
    [[nodiscard]] float played_cap() const noexcept { return std::max(cap(), kPlayed_px); }
    /// The same canvas, its running text as large as what is read while one plays.
    [[nodiscard]] Canvas played() const noexcept {
        Canvas larger = *this;
        larger.em = std::max(em, kPlayed_px / 0.72F);
        return larger;
    }

    /// Draws; returns the width. UTF-8.
    float text(Face face,
               float cap_px,
               float x,
               float baseline,
               Align align,
               Colour ink,
               std::string_view words) const;
    [[nodiscard]] float width(Face face, float cap_px, std::string_view words) const;
    /// Breaks at spaces; returns the baseline after the last line.
    float
    paragraph(Face face, float cap_px, const Box& box, Colour ink, std::string_view words) const;
    /// Cuts the end off with an ellipsis when the words are wider than `room`.
    float text_within(Face face,
                      float cap_px,
                      float x,
                      float baseline,
                      float room,
                      Colour ink,
                      std::string_view words) const;

    /// "F" with its accidental, by its left edge or middle. Letters in the roman of printed music.
    float note_name(
        horn::Note note, float cap_px, float x, float baseline, Align align, Colour ink) const;
    [[nodiscard]] float note_name_width(horn::Note note, float cap_px) const;

    void line(float x0, float y0, float x1, float y1, Colour ink, float thickness) const;
    /// A level line on whole pixels: those beside each other look alike.
    void level_line(float x0, float x1, float y, Colour ink, float thickness) const;
    void hairline(float x0, float y0, float x1, float y1) const;
    void fill(const Box& box, Colour ink, float rounding = 0.0F) const;
    void outline(const Box& box, Colour ink, float thickness, float rounding = 0.0F) const;
    void dot(float x, float y, float radius, Colour ink) const;
    void ring(float x, float y, float radius, Colour ink, float thickness) const;

    /// The sign of a hand position as printed in parts: circle, cross or fraction, as high as the capitals, its middle
    /// at height `y`. The signs of a range stand side by side.
    void hand_sign(
        std::string_view signs, float cap_px, float x, float y, Align align, Colour ink) const;
    [[nodiscard]] float hand_sign_width(std::string_view signs, float cap_px) const;

    /// A small key cap with the key's name; returns its width.
    float key_cap(float x, float baseline, std::string_view name) const;
    [[nodiscard]] float key_cap_width(std::string_view name) const;
    /// A key cap and in small print what the key does; returns the width of both.
    float key_hint(
        float x, float baseline, std::string_view key, std::string_view words, Colour ink) const;
    [[nodiscard]] float key_hint_width(std::string_view key, std::string_view words) const;

    /// Thickness of the finest line that is still seen.
    [[nodiscard]] float hair() const noexcept { return em * 0.06F < 1.0F ? 1.0F : em * 0.06F; }

    ImDrawList& list;
    const FontBook& fonts;
    const Palette& colour;
    TypeScale scale;
    float em;
    DrawnThings* drawn = nullptr; ///< when set, everything drawn is noted here

private:
    void note(Drawn::Kind kind,
              const Box& box,
              Colour ink,
              float cap_px = 0.0F,
              std::string_view words = {}) const;
};

} // namespace bellhand::gui

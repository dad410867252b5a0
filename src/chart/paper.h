#pragma once

#include "core/result.h"

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>

// As cairo.h declares it.
using cairo_t = struct _cairo; // NOLINT(bugprone-reserved-identifier): the library's own name

namespace bellhand::chart {

enum class PageFormat { svg, pdf };

/// A4 upright.
inline constexpr double kPageWidth_mm = 210.0;
inline constexpr double kPageHeight_mm = 297.0;

/// Draws one A4 page (millimetres, origin at the top left, y downwards) and returns the file's bytes. Errors (failure):
/// a font of the page is missing; the drawing library ran out of memory.
[[nodiscard]] Result<std::string>
render_page(PageFormat format, const std::string& title, const std::function<void(cairo_t*)>& draw);

/// The same for several pages, drawn by their index: pages of a PDF; in SVG, which knows no pages, one under another.
/// The bytes depend on what is drawn alone: a PDF holds no date.
[[nodiscard]] Result<std::string>
render_pages(PageFormat format,
             const std::string& title,
             std::size_t pages,
             const std::function<void(cairo_t*, std::size_t)>& draw);

enum class Align { left, centre, right };

/// The program's own letter, and the roman of printed music for words in a part.
enum class Letter { plain, music };

struct TextStyle {
    double size_mm = 3.0;
    bool bold = false;
    double grey = 0.0; ///< 0 black to 1 white
    Align align = Align::left;
    bool italic = false;
    Letter letter = Letter::plain;
};

/// One line of text on its baseline; ♯ and ♭ are drawn by us, since few fonts have them. Returns the width in mm.
double draw_text(
    cairo_t* page, double x_mm, double baseline_mm, std::string_view text, const TextStyle& style);

[[nodiscard]] double text_width_mm(cairo_t* page, std::string_view text, const TextStyle& style);

/// Sets the ink for the shapes that follow.
void set_grey(cairo_t* page, double grey);

/// A straight line.
void draw_line(
    cairo_t* page, double x0_mm, double y0_mm, double x1_mm, double y1_mm, double width_mm);

} // namespace bellhand::chart

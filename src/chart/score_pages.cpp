#include "chart/score_pages.h"

#include "chart/signs.h"
#include "engraving/layout.h"

#include <cmath>
#include <memory>

#include <cairo.h>

namespace bellhand::chart {

namespace {

using engraving::TextFace;

constexpr double kSpace_mm = 1.75;
constexpr double kSide_mm = 13.0;
constexpr double kTop_mm = 13.0;
constexpr double kFoot_mm = 13.0;
constexpr double kCapOfSize = 0.727;      // of Inter
constexpr double kMusicCapOfSize = 0.722; // of Schola

/// Hand signs are as wide as they are high, but for the fractions.
constexpr double kShapeRadius = 0.5;

TextStyle style_of(TextFace face, double cap_mm) {
    TextStyle style;
    style.bold = face == TextFace::strong;
    style.italic = face == TextFace::italic;
    const bool music = face == TextFace::strong || face == TextFace::italic;
    style.letter = music ? Letter::music : Letter::plain;
    style.size_mm = cap_mm / (music ? kMusicCapOfSize : kCapOfSize);
    return style;
}

/// Calls `shape(is_open)` and `fraction(text)` for the signs of a hand side by side.
template <typename Shape, typename Fraction>
void each_sign(std::string_view signs, const Shape& shape, const Fraction& fraction) {
    while (!signs.empty()) {
        if (signs.front() == 'o' || signs.front() == '+') {
            shape(signs.front() == 'o');
            signs.remove_prefix(1);
            continue;
        }
        std::size_t length = 1;
        while (length < signs.size() &&
               (static_cast<unsigned char>(signs[length]) & 0xC0U) == 0x80U) {
            ++length;
        }
        fraction(std::string(signs.substr(0, length)));
        signs.remove_prefix(length);
    }
}

double hand_width_mm(cairo_t* page, double cap_mm, std::string_view signs) {
    double wide = 0.0;
    each_sign(
        signs,
        [&](bool) { wide += 2.0 * kShapeRadius * cap_mm; },
        [&](const std::string& text) {
            wide += text_width_mm(page, text, style_of(TextFace::plain, cap_mm));
        });
    return wide;
}

class Printer {
public:
    Printer(cairo_t* page, const engraving::Layout& layout) : page_(page), layout_(layout) {}

    void draw(std::size_t index) const {
        const engraving::Page& page = layout_.pages[index];
        for (const engraving::PlacedText& text : page.texts) {
            draw_text_at(text, kSide_mm, kTop_mm, 1.0);
        }
        for (const engraving::PlacedSystem& placed : page.systems) {
            draw_system(layout_.systems[placed.system],
                        kTop_mm + kSpace_mm * static_cast<double>(placed.bottom_line));
        }
    }

private:
    static double x_mm(double x) { return kSide_mm + kSpace_mm * x; }

    void draw_system(const engraving::System& system, double bottom_mm) const {
        const auto y_mm = [bottom_mm](float y) {
            return bottom_mm - kSpace_mm * static_cast<double>(y);
        };
        set_grey(page_, 0.0);
        for (const engraving::PlacedLine& line : system.lines) {
            draw_line_at(line, bottom_mm);
        }
        for (const engraving::PlacedSign& sign : system.signs) {
            draw_sign(page_,
                      sign.sign,
                      x_mm(static_cast<double>(sign.at.x)),
                      y_mm(sign.at.y),
                      kSpace_mm * static_cast<double>(sign.size));
        }
        for (const engraving::PlacedCurve& curve : system.curves) {
            draw_curve(curve, bottom_mm);
        }
        for (const engraving::PlacedText& text : system.texts) {
            draw_text_at(text, kSide_mm, bottom_mm, -1.0);
        }
    }

    void draw_line_at(const engraving::PlacedLine& line, double bottom_mm) const {
        const double x0 = x_mm(static_cast<double>(line.from.x));
        const double x1 = x_mm(static_cast<double>(line.to.x));
        const double y0 = bottom_mm - kSpace_mm * static_cast<double>(line.from.y);
        const double y1 = bottom_mm - kSpace_mm * static_cast<double>(line.to.y);
        const double thick = kSpace_mm * static_cast<double>(line.thick);
        if (line.what != engraving::What::beam) {
            draw_line(page_, x0, y0, x1, y1, thick);
            return;
        }
        const double half = 0.5 * thick;
        cairo_move_to(page_, x0, y0 - half);
        cairo_line_to(page_, x1, y1 - half);
        cairo_line_to(page_, x1, y1 + half);
        cairo_line_to(page_, x0, y0 + half);
        cairo_close_path(page_);
        cairo_fill(page_);
    }

    void draw_curve(const engraving::PlacedCurve& curve, double bottom_mm) const {
        const auto at = [&](const engraving::Point& point, float away) {
            return std::pair(x_mm(static_cast<double>(point.x)),
                             bottom_mm - kSpace_mm * static_cast<double>(point.y + away));
        };
        // Between two curves that meet at the ends: at the middle they are three quarters of their controls apart.
        const float half = 0.5F * curve.thick / 0.75F;
        const auto [fx, fy] = at(curve.from, 0.0F);
        const auto [tx, ty] = at(curve.to, 0.0F);
        const auto side = [&](const engraving::Point& a,
                              const engraving::Point& b,
                              float away,
                              double to_x,
                              double to_y) {
            const auto [ax, ay] = at(a, away);
            const auto [bx, by] = at(b, away);
            cairo_curve_to(page_, ax, ay, bx, by, to_x, to_y);
        };
        cairo_move_to(page_, fx, fy);
        side(curve.lead, curve.trail, half, tx, ty);
        side(curve.trail, curve.lead, -half, fx, fy);
        cairo_close_path(page_);
        cairo_fill_preserve(page_);
        constexpr double kEnds = 0.08;
        cairo_set_line_width(page_, kEnds * kSpace_mm);
        cairo_set_line_join(page_, CAIRO_LINE_JOIN_ROUND);
        cairo_stroke(page_);
        cairo_set_line_join(page_, CAIRO_LINE_JOIN_MITER);
    }

    void draw_text_at(const engraving::PlacedText& text,
                      double left_mm,
                      double origin_mm,
                      double downwards) const {
        const double x = left_mm + kSpace_mm * static_cast<double>(text.at.x);
        const double y = origin_mm + downwards * kSpace_mm * static_cast<double>(text.at.y);
        const double cap = kSpace_mm * static_cast<double>(text.cap);
        if (text.face != TextFace::hand) {
            draw_text(page_, x, y, text.words, style_of(text.face, cap));
            return;
        }
        double now = x;
        const double radius = kShapeRadius * cap;
        each_sign(
            text.words,
            [&](bool open) {
                const auto draw = open ? draw_open_sign : draw_stopped_sign;
                draw(page_, now + radius, y - radius, 0.94 * radius);
                now += 2.0 * radius;
            },
            [&](const std::string& fraction) {
                now += draw_text(page_, now, y, fraction, style_of(TextFace::plain, cap));
            });
    }

    cairo_t* page_;
    const engraving::Layout& layout_;
};

/// Something to measure text on.
class Measure {
public:
    Measure()
        : surface_(cairo_recording_surface_create(CAIRO_CONTENT_ALPHA, nullptr),
                   cairo_surface_destroy),
          page_(cairo_create(surface_.get()), cairo_destroy) {}

    [[nodiscard]] float width(TextFace face, float cap, std::string_view words) const {
        const double cap_mm = kSpace_mm * static_cast<double>(cap);
        const double wide = face == TextFace::hand
                                ? hand_width_mm(page_.get(), cap_mm, words)
                                : text_width_mm(page_.get(), words, style_of(face, cap_mm));
        return static_cast<float>(wide / kSpace_mm);
    }

private:
    std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)> surface_;
    std::unique_ptr<cairo_t, decltype(&cairo_destroy)> page_;
};

} // namespace

Result<std::string> score_pages(const engraving::Score& score, PageFormat format) {
    const Measure measure;
    engraving::PageStyle style;
    style.width = static_cast<float>((kPageWidth_mm - 2.0 * kSide_mm) / kSpace_mm);
    style.page_height = static_cast<float>((kPageHeight_mm - kTop_mm - kFoot_mm) / kSpace_mm);
    style.text_width = [&measure](TextFace face, float cap, std::string_view words) {
        return measure.width(face, cap, words);
    };
    const engraving::Layout layout = engraving::lay_out(score, style);
    return render_pages(
        format,
        score.title.empty() ? score.name : score.title + ", " + score.name,
        layout.pages.size(),
        [&layout](cairo_t* page, std::size_t index) { Printer(page, layout).draw(index); });
}

} // namespace bellhand::chart

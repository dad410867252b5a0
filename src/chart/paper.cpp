#include "chart/paper.h"

#include "chart/signs.h"
#include "core/assets.h"
#include "core/platform.h"

#include <memory>

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <cairo.h>
#include <fontconfig/fontconfig.h>

namespace bellhand::chart {

namespace {

constexpr double kPointsPerMm = 72.0 / 25.4;
constexpr const char* kPlain = "Inter";
constexpr const char* kMusic = "TeX Gyre Schola"; // the roman of printed music
constexpr double kAccidentalWidth = 0.46;         // of the text size
constexpr double kAccidentalSpace = 0.31;         // staff space that suits the text size
constexpr double kAccidentalRise = 0.30;          // of its middle above the baseline

cairo_status_t append(void* closure, const unsigned char* data, unsigned int length) noexcept {
    try {
        static_cast<std::string*>(closure)->append(reinterpret_cast<const char*>(data), length);
        return CAIRO_STATUS_SUCCESS;
    } catch (...) { // nothing may be thrown through the C library
        return CAIRO_STATUS_WRITE_ERROR;
    }
}

/// The library numbers its surfaces through the life of the process, and writes that number into an SVG.
void without_counter(std::string& bytes) {
    constexpr std::string_view kId = "id=\"surface";
    const std::size_t at = bytes.find(kId);
    const std::size_t from = at + kId.size();
    if (at != std::string::npos) {
        bytes.erase(from, bytes.find('"', from) - from);
    }
}

// Calls `run(text)` for the parts between accidentals and `accidental(sharp)` for each of them.
template <typename Run, typename Accidental>
void split(std::string_view text, const Run& run, const Accidental& accidental) {
    constexpr std::string_view kSharp = "♯";
    constexpr std::string_view kFlat = "♭";
    std::size_t start = 0;
    for (std::size_t at = 0; at < text.size();) {
        const bool sharp = text.substr(at, kSharp.size()) == kSharp;
        if (sharp || text.substr(at, kFlat.size()) == kFlat) {
            run(std::string(text.substr(start, at - start)));
            accidental(sharp);
            at += kSharp.size();
            start = at;
        } else {
            ++at;
        }
    }
    run(std::string(text.substr(start)));
}

/// The fonts that came with the program count like installed ones, so that a page looks the same everywhere.
void add_own_fonts() {
    static const bool kAdded = [] {
        const platform::QuietErrors quiet; // without a configuration, as on Windows, its own serves
        return FcConfigAppFontAddDir(
            nullptr,
            reinterpret_cast<const FcChar8*>((assets_folder() / "fonts").string().c_str()));
    }();
    static_cast<void>(kAdded); // without them the system's serve, if they are the same
}

/// Errors: a font is not there; what would stand in for it is cut otherwise, and the page would be another.
Result<void> look_for_fonts() {
    add_own_fonts();
    for (const char* const family : {kPlain, kMusic}) {
        using Pattern = std::unique_ptr<FcPattern, decltype(&FcPatternDestroy)>;
        const Pattern wanted(FcPatternCreate(), FcPatternDestroy);
        FcPatternAddString(wanted.get(), FC_FAMILY, reinterpret_cast<const FcChar8*>(family));
        FcConfigSubstitute(nullptr, wanted.get(), FcMatchPattern);
        FcDefaultSubstitute(wanted.get());
        FcResult ignored{};
        const Pattern found(FcFontMatch(nullptr, wanted.get(), &ignored), FcPatternDestroy);
        FcChar8* name = nullptr;
        bool same = false;
        for (int i = 0; found && !same &&
                        FcPatternGetString(found.get(), FC_FAMILY, i, &name) == FcResultMatch;
             ++i) {
            same = std::string_view(reinterpret_cast<const char*>(name)) == family;
        }
        if (!same) {
            return failure("The font " + std::string(family) + " is neither in " +
                           (assets_folder() / "fonts").string() +
                           " nor on this system: install Bellhand again, or the font.");
        }
    }
    return {};
}

void choose_font(cairo_t* page, const TextStyle& style) {
    add_own_fonts();
    cairo_select_font_face(page,
                           style.letter == Letter::music ? kMusic : kPlain,
                           style.italic ? CAIRO_FONT_SLANT_ITALIC : CAIRO_FONT_SLANT_NORMAL,
                           style.bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(page, style.size_mm);
}

double advance_mm(cairo_t* page, const std::string& text) {
    cairo_text_extents_t extents;
    cairo_text_extents(page, text.c_str(), &extents);
    return extents.x_advance;
}

} // namespace

Result<std::string> render_page(PageFormat format,
                                const std::string& title,
                                const std::function<void(cairo_t*)>& draw) {
    return render_pages(format, title, 1, [&draw](cairo_t* page, std::size_t) { draw(page); });
}

Result<std::string> render_pages(PageFormat format,
                                 const std::string& title,
                                 std::size_t pages,
                                 const std::function<void(cairo_t*, std::size_t)>& draw) {
    if (auto there = look_for_fonts(); !there) {
        return tl::unexpected(there.error());
    }
    std::string bytes;
    const double width_pt = kPageWidth_mm * kPointsPerMm;
    const double one_pt = kPageHeight_mm * kPointsPerMm;
    const double height_pt =
        format == PageFormat::pdf ? one_pt : one_pt * static_cast<double>(pages);
    const std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)> surface(
        format == PageFormat::pdf
            ? cairo_pdf_surface_create_for_stream(append, &bytes, width_pt, height_pt)
            : cairo_svg_surface_create_for_stream(append, &bytes, width_pt, height_pt),
        cairo_surface_destroy);
    if (format == PageFormat::pdf) {
        cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, title.c_str());
        cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, "");
    }
    const std::unique_ptr<cairo_t, decltype(&cairo_destroy)> page(cairo_create(surface.get()),
                                                                  cairo_destroy);
    cairo_scale(page.get(), kPointsPerMm, kPointsPerMm);
    for (std::size_t i = 0; i < pages; ++i) {
        if (i == 0 || format == PageFormat::pdf) {
            set_grey(page.get(), 1.0);
            cairo_paint(page.get());
        }
        set_grey(page.get(), 0.0);
        draw(page.get(), i);
        if (format == PageFormat::pdf) {
            cairo_show_page(page.get());
        } else {
            cairo_translate(page.get(), 0.0, kPageHeight_mm);
        }
    }
    const cairo_status_t drawn = cairo_status(page.get());
    cairo_surface_finish(surface.get());
    const cairo_status_t written = cairo_surface_status(surface.get());
    for (const cairo_status_t status : {drawn, written}) {
        if (status != CAIRO_STATUS_SUCCESS) {
            return failure("The page could not be drawn (" +
                           std::string(cairo_status_to_string(status)) +
                           "): close other programs, or install the fonts again.");
        }
    }
    without_counter(bytes);
    return bytes;
}

void set_grey(cairo_t* page, double grey) {
    cairo_set_source_rgb(page, grey, grey, grey);
}

double text_width_mm(cairo_t* page, std::string_view text, const TextStyle& style) {
    choose_font(page, style);
    double width = 0.0;
    split(
        text,
        [&](const std::string& run) { width += advance_mm(page, run); },
        [&](bool) { width += kAccidentalWidth * style.size_mm; });
    return width;
}

double draw_text(
    cairo_t* page, double x_mm, double baseline_mm, std::string_view text, const TextStyle& style) {
    const double width = text_width_mm(page, text, style);
    double x = x_mm;
    if (style.align != Align::left) {
        x -= style.align == Align::centre ? 0.5 * width : width;
    }
    set_grey(page, style.grey);
    split(
        text,
        [&](const std::string& run) {
            if (run.empty()) {
                return;
            }
            cairo_move_to(page, x, baseline_mm);
            cairo_show_text(page, run.c_str());
            x += advance_mm(page, run);
        },
        [&](bool sharp) {
            const auto shape = sharp ? draw_sharp : draw_flat;
            const double middle = x + 0.5 * kAccidentalWidth * style.size_mm;
            const double rise = (sharp ? 1.15 : 0.75) * kAccidentalRise * style.size_mm;
            shape(page, middle, baseline_mm - rise, kAccidentalSpace * style.size_mm);
            x += kAccidentalWidth * style.size_mm;
        });
    return width;
}

void draw_line(
    cairo_t* page, double x0_mm, double y0_mm, double x1_mm, double y1_mm, double width_mm) {
    cairo_set_line_width(page, width_mm);
    cairo_move_to(page, x0_mm, y0_mm);
    cairo_line_to(page, x1_mm, y1_mm);
    cairo_stroke(page);
}

} // namespace bellhand::chart

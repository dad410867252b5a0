#include "gui/views/staff_drawing.h"

#include "engraving/metrics.h"

#include <algorithm>
#include <cmath>

#include <imgui.h>

namespace bellhand::gui {

namespace {

using engraving::metrics::kLedgerLine;
using engraving::metrics::kStaffLine;
using engraving::metrics::kStem;

void draw_ledgers(const Canvas& canvas,
                  const Staff& staff,
                  const engraving::StaffPlace& place,
                  float x) {
    const float half = 1.05F * staff.space;
    const auto ledger = [&](int step) {
        canvas.level_line(
            x - half, x + half, staff.y_of(step), canvas.colour.ink, kLedgerLine * staff.space);
    };
    for (int i = 1; i <= place.ledgers_above; ++i) {
        ledger(8 + 2 * i);
    }
    for (int i = 1; i <= place.ledgers_below; ++i) {
        ledger(-2 * i);
    }
}

/// Returns the y of its end.
float draw_stem(const Canvas& canvas, const Staff& staff, int step, float x, Colour ink) {
    const bool up = step < 4;
    const float thick = std::max(1.0F, kStem * staff.space);
    const float head = 0.59F * staff.space;
    // Three and a half spaces, but at least to the middle line.
    const float y = staff.y_of(step);
    const float middle = staff.y_of(4);
    if (up) {
        const float end = std::min(y - 3.5F * staff.space, middle);
        canvas.fill({x + head - thick, end, x + head, y - 0.16F * staff.space}, ink);
        return end;
    }
    const float end = std::max(y + 3.5F * staff.space, middle);
    canvas.fill({x - head, y + 0.16F * staff.space, x - head + thick, end}, ink);
    return end;
}

void draw_accidental(const Canvas& canvas,
                     const Staff& staff,
                     int sharps,
                     bool restored,
                     float x,
                     float y,
                     Colour ink) {
    if (sharps == 0 && !restored) {
        return;
    }
    const engraving::Sign sign = sharps < 0   ? engraving::Sign::flat
                                 : sharps > 0 ? engraving::Sign::sharp
                                              : engraving::Sign::natural;
    canvas.fonts.engraving().draw(canvas.list, sign, staff.space, x - 1.95F * staff.space, y, ink);
}

Face face_of(engraving::TextFace face) {
    switch (face) {
    case engraving::TextFace::strong:
        return Face::music;
    case engraving::TextFace::italic:
        return Face::remark;
    default:
        return Face::text;
    }
}

/// Where a system stands on the screen.
struct Place {
    float left;
    float bottom;
    float space;
    [[nodiscard]] ImVec2 at(engraving::Point point) const {
        return {left + space * point.x, bottom - space * point.y};
    }
};

void draw_line(const Canvas& canvas,
               const Place& place,
               const engraving::PlacedLine& line,
               Colour ink) {
    const ImVec2 from = place.at(line.from);
    const ImVec2 to = place.at(line.to);
    const float thick = std::max(1.0F, line.thick * place.space);
    const float half = 0.5F * thick;
    if (from.y == to.y) {
        canvas.level_line(from.x, to.x, from.y, ink, thick);
    } else if (from.x == to.x) {
        const float x = std::round(from.x - half);
        canvas.fill({x,
                     std::min(from.y, to.y),
                     x + std::max(1.0F, std::round(thick)),
                     std::max(from.y, to.y)},
                    ink);
    } else if (line.what == engraving::What::beam) {
        canvas.list.AddQuadFilled(ImVec2(from.x, from.y - half),
                                  ImVec2(to.x, to.y - half),
                                  ImVec2(to.x, to.y + half),
                                  ImVec2(from.x, from.y + half),
                                  ink);
    } else {
        canvas.line(from.x, from.y, to.x, to.y, ink, thick);
    }
}

/// A tie or slur as a row of pieces, thick in the middle.
void draw_curve(const Canvas& canvas,
                const Place& place,
                const engraving::PlacedCurve& curve,
                Colour ink) {
    constexpr int kPieces = 24;
    const ImVec2 p[] = {
        place.at(curve.from), place.at(curve.lead), place.at(curve.trail), place.at(curve.to)};
    ImVec2 before = p[0];
    for (int i = 1; i <= kPieces; ++i) {
        const float t = static_cast<float>(i) / kPieces;
        const float u = 1.0F - t;
        const float w[] = {u * u * u, 3.0F * u * u * t, 3.0F * u * t * t, t * t * t};
        const ImVec2 now(w[0] * p[0].x + w[1] * p[1].x + w[2] * p[2].x + w[3] * p[3].x,
                         w[0] * p[0].y + w[1] * p[1].y + w[2] * p[2].y + w[3] * p[3].y);
        const float middle = t - 0.5F / kPieces;
        const float thick =
            place.space * (0.08F + (curve.thick - 0.08F) * 4.0F * middle * (1.0F - middle));
        canvas.line(before.x, before.y, now.x, now.y, ink, std::max(1.0F, thick));
        before = now;
    }
}

} // namespace

void draw_staff_lines(const Canvas& canvas, const Staff& staff) {
    for (int step = 0; step <= 8; step += 2) {
        canvas.level_line(staff.left,
                          staff.right,
                          staff.y_of(step),
                          canvas.colour.ink_soft,
                          kStaffLine * staff.space);
    }
}

void draw_clef(
    const Canvas& canvas, const Staff& staff, engraving::Clef clef, float x, float size) {
    const bool treble = clef == engraving::Clef::treble;
    canvas.fonts.engraving().draw(canvas.list,
                                  treble ? engraving::Sign::treble_clef
                                         : engraving::Sign::bass_clef,
                                  size * staff.space,
                                  x,
                                  staff.y_of(treble ? 2 : 6),
                                  canvas.colour.ink);
}

void draw_staff_note(const Canvas& canvas,
                     const Staff& staff,
                     horn::Note note,
                     float x,
                     Colour ink,
                     Stem stem,
                     bool restored) {
    const engraving::StaffPlace place = engraving::staff_place(note);
    const float y = staff.y_of(place.step);
    draw_ledgers(canvas, staff, place, x);
    const Engraving& engraving = canvas.fonts.engraving();
    engraving.draw(canvas.list, engraving::Sign::notehead, staff.space, x, y, ink);
    if (stem == Stem::drawn) {
        draw_stem(canvas, staff, place.step, x, ink);
    }
    draw_accidental(canvas, staff, note.sharps, restored, x, y, ink);
}

void draw_system(const Canvas& canvas,
                 const engraving::System& system,
                 float left,
                 float bottom_line_y,
                 float space,
                 const std::function<Colour(int event)>& ink_of) {
    const Place place{left, std::round(bottom_line_y), space};
    const auto ink = [&](engraving::What what, int event) {
        return what == engraving::What::staff ? canvas.colour.ink_soft
               : event == engraving::kNoEvent ? canvas.colour.ink
                                              : ink_of(event);
    };
    for (const engraving::PlacedLine& line : system.lines) {
        draw_line(canvas, place, line, ink(line.what, line.event));
    }
    const Engraving& signs = canvas.fonts.engraving();
    for (const engraving::PlacedSign& sign : system.signs) {
        const ImVec2 at = place.at(sign.at);
        signs.draw(
            canvas.list, sign.sign, sign.size * space, at.x, at.y, ink(sign.what, sign.event));
    }
    for (const engraving::PlacedCurve& curve : system.curves) {
        draw_curve(canvas, place, curve, ink(curve.what, curve.event));
    }
    for (const engraving::PlacedText& text : system.texts) {
        const ImVec2 at = place.at(text.at);
        const float cap = text.cap * space;
        if (text.face == engraving::TextFace::hand) {
            canvas.hand_sign(
                text.words, cap, at.x, at.y - 0.5F * cap, Align::left, ink(text.what, text.event));
        } else {
            canvas.text(face_of(text.face),
                        cap,
                        at.x,
                        at.y,
                        Align::left,
                        ink(text.what, text.event),
                        text.words);
        }
    }
}

std::function<float(engraving::TextFace, float, std::string_view)> text_widths(const Canvas& canvas,
                                                                               float space) {
    return [&canvas, space](engraving::TextFace face, float cap, std::string_view words) {
        const float wide = face == engraving::TextFace::hand
                               ? canvas.hand_sign_width(words, cap * space)
                               : canvas.width(face_of(face), cap * space, words);
        return wide / space;
    };
}

} // namespace bellhand::gui

#include "desk/pages/part_page.h"
#include "gui/views/page_parts.h"
#include "gui/views/staff_drawing.h"
#include "gui/views/surface.h"
#include "gui/views/views.h"
#include "part/write/printed.h"

#include <algorithm>
#include <cmath>

namespace bellhand::gui {

namespace {

constexpr float kGap = 1.5F; // between lines, staff spaces

/// The part laid out for the width of the page; made anew when the part or the page changes.
struct Shown {
    int version = -1;
    float width = 0.0F;
    float space = 0.0F;
    engraving::Layout layout;
};

const engraving::Layout&
layout_for(const Canvas& canvas, const desk::PartPage& page, float width, float space) {
    static Shown shown;
    if (shown.version != page.version() || shown.width != width || shown.space != space) {
        shown = {page.version(), width, space, {}};
        engraving::PageStyle style;
        style.width = width / space;
        style.text_width = text_widths(canvas, space);
        shown.layout = engraving::lay_out(page.printed().score, style);
    }
    return shown.layout;
}

/// The line that the note stands in.
std::size_t
line_of(const engraving::Layout& layout, const engraving::Score& score, std::size_t attack) {
    for (std::size_t i = 0; i < layout.systems.size(); ++i) {
        for (const engraving::Slot& slot : layout.systems[i].slots) {
            if (score.events[slot.event].step == attack) {
                return i;
            }
        }
    }
    return 0;
}

/// Lines one under another from the page's first; returns the first line of the page that holds `line`.
std::size_t first_of_page(const engraving::Layout& layout, std::size_t line, float room) {
    std::size_t first = 0;
    float used = 0.0F;
    for (std::size_t i = 0; i <= line && i < layout.systems.size(); ++i) {
        const float high = layout.systems[i].high - layout.systems[i].low + kGap;
        if (i > first && used + high > room) {
            first = i;
            used = 0.0F;
        }
        used += high;
    }
    return first;
}

void draw_line(const Canvas& canvas,
               desk::Desk& desk,
               const engraving::System& system,
               const Box& box,
               float space) {
    desk::PartPage& page = desk.pages().part;
    const engraving::Score& score = page.printed().score;
    const float bottom = box.y0 + system.high * space;
    const int bar_here = page.part()->attacks[page.cursor()].at.bar;
    for (const engraving::BarRoom& bar : system.bars) {
        const auto index = static_cast<std::size_t>(bar.bar);
        const int in_file = page.printed().bar_of[index];
        const Box room{box.x0 + bar.left * space,
                       bottom - 4.6F * space,
                       box.x0 + bar.right * space,
                       bottom + 0.6F * space};
        if (in_file == bar_here && score.bars[index].rests == 0) {
            canvas.fill(room, canvas.colour.brass_soft);
        }
        // What goes round has a line over it.
        if (page.loop() && in_file >= page.loop()->first && in_file <= page.loop()->last) {
            canvas.fill({room.x0, room.y0 - 0.5F * space, room.x1, room.y0 - 0.2F * space},
                        canvas.colour.brass);
        }
    }
    draw_system(canvas, system, box.x0, bottom, space, [&](int event) {
        const std::size_t attack = score.events[static_cast<std::size_t>(event)].step;
        return attack == page.cursor() ? canvas.colour.voice : canvas.colour.ink;
    });
    for (const engraving::Slot& slot : system.slots) {
        const std::size_t attack = score.events[slot.event].step;
        const Box room{box.x0 + slot.left * space, box.y0, box.x0 + slot.right * space, box.y1};
        if (attack == part::kNoAttack || desk.sheet() != desk::Sheet::none) {
            continue;
        }
        if (hot_spot(("part note " + std::to_string(slot.event)).c_str(), room)) {
            page.choose(attack);
        }
    }
}

void draw_note_words(const Canvas& canvas, const desk::PartPage& page, Box box) {
    const float em = canvas.em;
    canvas.hairline(box.x0, box.y0, box.x1, box.y0);
    canvas.text_within(Face::strong,
                       canvas.cap(),
                       box.x0,
                       box.y0 + 1.5F * em,
                       box.width(),
                       canvas.colour.ink,
                       page.note_words());
    canvas.text_within(Face::text,
                       canvas.cap(),
                       box.x0,
                       box.y0 + 2.9F * em,
                       box.width(),
                       canvas.colour.ink,
                       page.reason());
    canvas.text_within(Face::text,
                       canvas.cap(),
                       box.x0,
                       box.y0 + 4.2F * em,
                       box.width(),
                       canvas.colour.ink_soft,
                       page.summary());
}

void draw_part(const Canvas& canvas, desk::Desk& desk, Box box) {
    desk::PartPage& page = desk.pages().part;
    const float em = canvas.em;
    draw_note_words(canvas, page, box.take_bottom(4.8F * em));
    const float space = std::clamp(box.width() / 100.0F, 0.5F * em, 1.1F * em);
    const engraving::Layout& layout = layout_for(canvas, page, box.width(), space);
    const std::size_t line = line_of(layout, page.printed().score, page.cursor());
    const std::size_t first = first_of_page(layout, line, box.height() / space);
    float y = box.y0 + 0.5F * kGap * space;
    for (std::size_t i = first; i < layout.systems.size(); ++i) {
        const engraving::System& system = layout.systems[i];
        const float high = (system.high - system.low) * space;
        if (i > first && y + high > box.y1) {
            break;
        }
        draw_line(canvas, desk, system, {box.x0, y, box.x1, y + high}, space);
        y += high + kGap * space;
    }
}

void draw_rows(const Canvas& canvas, desk::Desk& desk, Box box) {
    desk::PartPage& page = desk.pages().part;
    const float em = canvas.em;
    box.take_top(0.8F * em);
    const float after =
        canvas.paragraph(Face::text, 1.1F * canvas.cap(), box, canvas.colour.ink, page.asked());
    box.y0 = after + 0.4F * em;
    const bool keys = page.stage() != desk::PartPage::Stage::crooks;
    const int clicked =
        draw_list(canvas,
                  "part rows",
                  box,
                  static_cast<int>(page.rows().size()),
                  page.row(),
                  1.9F * em,
                  desk.sheet() == desk::Sheet::none,
                  [&](int index, const Box& row, bool) {
                      const float baseline = row.middle_y() + 0.5F * canvas.cap();
                      const std::string key = keys && index < 9 ? std::to_string(index + 1) : "";
                      const float x = row.x0 + 2.2F * em;
                      if (!key.empty()) {
                          canvas.key_cap(row.x0 + 0.3F * em, baseline, key);
                      }
                      canvas.text_within(Face::text,
                                         canvas.cap(),
                                         x,
                                         baseline,
                                         row.x1 - x,
                                         canvas.colour.ink,
                                         page.rows()[static_cast<std::size_t>(index)]);
                  });
    if (clicked >= 0) {
        page.accept(clicked);
    }
}

} // namespace

void draw_part_screen(const Canvas& page_canvas, desk::Desk& desk, const Box& window) {
    const Canvas canvas = page_canvas.fitted(window, 60.0F, 34.0F);
    const float em = canvas.em;
    Box rest = window.shrunk(1.8F * em, 0.0F);
    draw_frame_of_page(canvas, desk, rest, window);
    const desk::PartPage& page = desk.pages().part;
    rest.take_top(0.4F * em);
    draw_sentence(canvas, rest, page.problem(), page.said());
    switch (page.stage()) {
    case desk::PartPage::Stage::empty:
        draw_empty(
            canvas,
            rest,
            "No part is open",
            "Drop a part or a full score on the window (MusicXML or MIDI), or press Enter and "
            "type its path. Bellhand writes the hand over every note.");
        break;
    case desk::PartPage::Stage::reading:
        draw_part(canvas, desk, rest);
        break;
    default:
        draw_rows(canvas, desk, rest);
        break;
    }
}

} // namespace bellhand::gui

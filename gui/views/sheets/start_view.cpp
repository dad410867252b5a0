#include "desk/desk.h"
#include "gui/views/surface.h"
#include "gui/views/views.h"

#include <algorithm>
#include <string>

namespace bellhand::gui {

void draw_start(const Canvas& canvas, desk::Desk& desk, Box box) {
    using Row = desk::StartSheet::Row;
    constexpr const char* kCaptions[] = {"crook", "pitch", "microphone"};
    constexpr const char* kUnsure[] = {
        "Not sure: play open notes", "Not sure: play open notes", "Not sure: play a note"};
    const float em = canvas.em;
    desk::StartSheet& sheet = desk.sheets().start;
    for (int i = 0; i < desk::StartSheet::kRows; ++i) {
        const Box row = box.take_top(4.6F * em);
        const bool chosen = i == sheet.selected();
        if (chosen) {
            canvas.fill(
                {row.x0, row.y0, row.x1, row.y1 - 0.3F * em}, canvas.colour.brass_soft, 0.2F * em);
            canvas.fill({row.x0, row.y0, row.x0 + 0.3F * em, row.y1 - 0.3F * em},
                        canvas.colour.brass);
        }
        if (hot_spot(kCaptions[i], row)) {
            sheet.select(i);
        }
        const float x = row.x0 + 1.0F * em;
        const float first = row.y0 + 1.6F * em;
        canvas.text(Face::text,
                    canvas.small_cap(),
                    x,
                    first,
                    Align::left,
                    canvas.colour.ink_soft,
                    kCaptions[i]);
        const float left = x + 6.6F * em;
        canvas.text_within(Face::music,
                           1.2F * canvas.cap(),
                           left,
                           first,
                           row.x1 - left - 4.4F * em,
                           canvas.colour.ink,
                           sheet.words(static_cast<Row>(i)));
        if (chosen) {
            const float key_x = row.x1 - canvas.key_cap_width("Left Right") - 0.5F * em;
            canvas.key_cap(key_x, row.y0 + 3.3F * em, "Left Right");
        }
        canvas.text_within(Face::text,
                           canvas.small_cap(),
                           left,
                           row.y0 + 3.3F * em,
                           row.width() - 14.0F * em,
                           canvas.colour.ink_soft,
                           kUnsure[i]);
    }
    box.take_top(0.8F * em);
    box.y0 = canvas.paragraph(Face::strong, canvas.cap(), box, canvas.colour.ink, sheet.heard());
    box.take_top(0.8F * em);
    for (const desk::KeyLine& line : sheet.keys()) {
        const bool shown = line.keys.front().key == desk::Key::enter ||
                           line.keys.front().key == desk::Key::escape ||
                           line.keys.front().character == U'g';
        if (!shown || box.height() < 2.0F * em) {
            continue;
        }
        const Box row = box.take_top(2.2F * em);
        canvas.key_hint(row.x0, row.y0 + em, line.cap, line.words, canvas.colour.ink);
        if (hot_spot(line.cap.c_str(), row)) {
            desk.press(line.keys.front());
            return;
        }
    }
}

} // namespace bellhand::gui

#include "desk/desk.h"
#include "desk/model/heard_hand.h"
#include "gui/views/surface.h"
#include "gui/views/views.h"

#include <algorithm>
#include <string>

namespace bellhand::gui {

namespace {

/// A note as the page will show it, with what its parts mean: F, a note of the hand.
void draw_example(const Canvas& canvas, Box box) {
    const float em = canvas.em;
    canvas.hairline(box.x0, box.y0, box.x1, box.y0);
    box.take_top(0.9F * em);
    canvas.text(Face::remark,
                canvas.cap(),
                box.x0,
                box.y0 + canvas.cap(),
                Align::left,
                canvas.colour.ink_soft,
                "what you will see of each note");
    box.take_top(1.6F * em);
    constexpr horn::Note kNote{65, 0};
    desk::ShownNote note;
    note.note.written = kNote;
    note.sounding = true;
    desk::ShownHand hand;
    hand.asked = desk::asked_of(kNote);
    hand.sounding = true;
    hand.estimate.position.known = true;
    hand.estimate.position.low = 0.5;
    hand.estimate.position.high = 0.85;
    hand.estimate.position.confidence = 0.8;

    Box upper = box.take_top(std::min(8.0F * em, 0.55F * box.height()));
    draw_staff(canvas, note, upper.take_left(0.42F * upper.width()));
    upper.take_left(1.5F * em);
    upper.y0 = upper.middle_y() - 3.0F * em;
    canvas.paragraph(Face::text,
                     canvas.small_cap(),
                     upper,
                     canvas.colour.ink_soft,
                     "The note as it is written on your crook, and over it the hand it asks for; "
                     "beside it, in words, how many cents it is off.");
    draw_hand_range(canvas, hand, box.take_top(3.4F * em), canvas.small_cap());
    box.take_top(0.8F * em);
    canvas.paragraph(Face::text,
                     canvas.small_cap(),
                     box,
                     canvas.colour.ink_soft,
                     "The hand as the sound betrays it: a range, dark where it is sure, on the "
                     "ground that the note asks for.");
}

} // namespace

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
    box.take_top(0.8F * em);
    constexpr float kExample = 13.0F;
    if (box.height() > kExample * em) {
        draw_example(canvas, box.take_top(std::min(box.height(), 18.0F * em)));
    }
}

} // namespace bellhand::gui

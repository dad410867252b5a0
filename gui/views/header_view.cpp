#include "desk/model/phrases.h"
#include "gui/views/surface.h"
#include "gui/views/views.h"

#include <algorithm>

namespace bellhand::gui {

namespace {

/// One choice of the day, as at the head of a part; a click opens its sheet.
float heading(const Canvas& canvas,
              desk::Desk& desk,
              const Box& box,
              float x,
              const char* key,
              const char* caption,
              const std::string& words,
              desk::Sheet sheet) {
    const float title_cap = 1.5F * canvas.cap();
    const float wide = std::max(canvas.width(Face::music, title_cap, words),
                                canvas.width(Face::text, canvas.small_cap(), caption) +
                                    0.6F * canvas.em + canvas.key_cap_width(key));
    bool hovered = false;
    const bool awake = desk.acts(*key);
    if (awake && desk.sheet() == desk::Sheet::none) {
        const Box place{x - 0.5F * canvas.em, box.y0, x + wide + 0.5F * canvas.em, box.y1};
        if (hot_spot(caption, place, &hovered)) {
            desk.open(sheet);
        }
    }
    const Colour ink = hovered ? canvas.colour.brass : canvas.colour.ink;
    const float caption_baseline = box.y0 + 1.0F * canvas.em + canvas.small_cap();
    const float after = x + canvas.text(Face::text,
                                        canvas.small_cap(),
                                        x,
                                        caption_baseline,
                                        Align::left,
                                        canvas.colour.ink_soft,
                                        caption);
    if (awake) {
        canvas.key_cap(after + 0.6F * canvas.em, caption_baseline, key);
    }
    canvas.text(Face::music, title_cap, x, box.y1 - 0.95F * canvas.em, Align::left, ink, words);
    return x + wide + 2.6F * canvas.em;
}

std::string input_words(const desk::Desk& desk) {
    const std::string& live = desk.session().view().source().name;
    return live.empty() ? desk::name_of(desk.session().input()) : live;
}

} // namespace

void draw_header(const Canvas& canvas, desk::Desk& desk, const Box& box) {
    const horn::Tuning& tuning = desk.session().tuning();
    float x = box.x0;
    x = heading(canvas,
                desk,
                box,
                x,
                "C",
                "crook",
                std::string("Horn in ") + tuning.crook.label,
                desk::Sheet::crook);
    x = heading(canvas,
                desk,
                box,
                x,
                "A",
                "pitch",
                "A = " + desk::hertz_text(tuning.a4_hz),
                desk::Sheet::pitch);
    x = heading(canvas,
                desk,
                box,
                x,
                "T",
                "temperament",
                tuning.temperament.label,
                desk::Sheet::temperament);

    // What is heard stands at the right margin, cut short rather than pushed into the rest.
    const float title_cap = 1.1F * canvas.cap();
    const std::string words = input_words(desk);
    const float room = box.x1 - x;
    const float wide = std::min(room, canvas.width(Face::music, title_cap, words));
    const float left = box.x1 - wide;
    bool hovered = false;
    const bool awake = desk.acts('i');
    if (awake && desk.sheet() == desk::Sheet::none &&
        hot_spot("listening", {left - 0.5F * canvas.em, box.y0, box.x1, box.y1}, &hovered)) {
        desk.open(desk::Sheet::input);
    }
    const float caption_baseline = box.y0 + 1.0F * canvas.em + canvas.small_cap();
    const float key_x = box.x1 - canvas.key_cap_width("I");
    if (awake) {
        canvas.key_cap(key_x, caption_baseline, "I");
    }
    canvas.text(Face::text,
                canvas.small_cap(),
                key_x - 0.6F * canvas.em,
                caption_baseline,
                Align::right,
                canvas.colour.ink_soft,
                desk.session().listening() ? "listening to" : "not listening; chosen");
    canvas.text_within(Face::music,
                       title_cap,
                       left,
                       box.y1 - 0.95F * canvas.em,
                       wide + 1.0F,
                       hovered ? canvas.colour.brass : canvas.colour.ink,
                       words);
    canvas.hairline(box.x0, box.y1, box.x1, box.y1);
}

} // namespace bellhand::gui

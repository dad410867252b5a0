#include "desk/model/phrases.h"
#include "gui/views/views.h"
#include "words/verdict.h"

#include <algorithm>
#include <cstdio>

namespace bellhand::gui {

namespace {

/// Lines of one fact: a caption, the fact itself as large as there is room, and a remark.
struct Lines {
    float caption;
    float figure;
    float remark;
};

Lines lines_of(const Canvas& canvas, const Box& box) {
    const float caption = box.y0 + canvas.small_cap();
    const float figure = caption + 0.95F * canvas.em + canvas.scale.figure_cap_px();
    return {caption, figure, figure + 0.75F * canvas.em + canvas.small_cap()};
}

void small_print(const Canvas& canvas, const Box& box, float baseline, const std::string& words) {
    canvas.text_within(Face::text,
                       canvas.small_cap(),
                       box.x0,
                       baseline,
                       box.width(),
                       canvas.colour.ink_soft,
                       words);
}

void draw_words(
    const Canvas& canvas, const Box& box, float baseline, Colour ink, const std::string& words) {
    float cap = canvas.scale.figure_cap_px();
    cap *= std::min(1.0F, box.width() / std::max(1.0F, canvas.width(Face::music, cap, words)));
    canvas.text(Face::music, cap, box.x0, baseline, Align::left, ink, words);
}

} // namespace

void draw_ordinal(const Canvas& canvas,
                  int number,
                  float cap_px,
                  float x,
                  float baseline,
                  Align align,
                  Colour ink) {
    const std::string digits = std::to_string(number);
    const char* ending = words::ordinal_ending(number);
    const float ending_cap = 0.55F * cap_px;
    const float gap = 0.06F * cap_px;
    const float wide = canvas.width(Face::music, cap_px, digits) + gap +
                       canvas.width(Face::music, ending_cap, ending);
    if (align == Align::right) {
        x -= wide;
    }
    x += canvas.text(Face::music, cap_px, x, baseline, Align::left, ink, digits) + gap;
    canvas.text(Face::music, ending_cap, x, baseline, Align::left, ink, ending);
}

void draw_facts(const Canvas& canvas,
                const std::optional<desk::ShownNote>& note,
                const Box& box,
                bool remarks) {
    if (!note) {
        return;
    }
    const Colour ink = note->pale() ? canvas.colour.ink_soft : canvas.colour.ink;
    const horn::Note written = note->note.written;
    const float gap = 1.3F * canvas.em;
    Box rest = box;
    Box partial = rest.take_left(box.width() * 0.29F);
    Box hand = rest.take_left(box.width() * 0.27F);
    for (const Box* column : {&hand, &rest}) {
        canvas.hairline(column->x0 - gap, box.y0, column->x0 - gap, box.y1);
    }
    partial.x1 -= 1.6F * gap;
    hand.x1 -= 1.6F * gap;

    const Lines lines = lines_of(canvas, box);
    const float cap = canvas.scale.figure_cap_px();
    small_print(canvas, partial, lines.caption, "partial");
    draw_ordinal(canvas, note->note.partial, cap, partial.x0, lines.figure, Align::left, ink);
    if (remarks) {
        small_print(canvas, partial, lines.remark, desk::bend_words(written));
    }

    small_print(canvas, hand, lines.caption, "hand");
    const std::string signs = desk::hand_signs(written);
    const float sign_cap =
        cap * std::min(1.0F, hand.width() / std::max(1.0F, canvas.hand_sign_width(signs, cap)));
    canvas.hand_sign(signs, sign_cap, hand.x0, lines.figure - 0.5F * cap, Align::left, ink);
    if (remarks) {
        small_print(canvas, hand, lines.remark, desk::hand_words(written));
    }

    small_print(canvas, rest, lines.caption, "cents from the target");
    draw_words(canvas, rest, lines.figure, ink, words::off_pitch(note->note.deviation_cents));
    if (remarks) {
        char target[48];
        std::snprintf(target, sizeof target, "target %.1f Hz", note->note.target_hz);
        small_print(canvas, rest, lines.remark, target);
    }
}

} // namespace bellhand::gui

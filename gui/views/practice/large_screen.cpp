#include "desk/model/phrases.h"
#include "gui/views/views.h"
#include "words/verdict.h"

#include <algorithm>
#include <cstdio>

namespace bellhand::gui {

namespace {

/// A wide track with the target in the middle and a block where the note lies: shapes that survive a bad video picture.
void draw_track(const Canvas& canvas, const desk::ShownNote& note, const Box& box) {
    constexpr float kRange_cents = 50.0F;
    const float y = box.middle_y();
    const float tall = 0.5F * box.height();
    const float inside =
        std::clamp(static_cast<float>(note.note.deviation_cents), -kRange_cents, kRange_cents);
    const float half_block = 0.032F * box.width();
    const float x = box.middle_x() + inside / kRange_cents * (0.5F * box.width() - half_block);
    const float thick = 0.09F * tall;
    canvas.fill({box.x0, y - thick, box.x1, y + thick}, canvas.colour.ink_soft);
    const float post = 0.15F * tall;
    canvas.fill({box.middle_x() - post, y - tall, box.middle_x() + post, y + tall},
                canvas.colour.ink);
    canvas.fill({x - half_block, y - 0.62F * tall, x + half_block, y + 0.62F * tall},
                canvas.colour.voice);
}

void draw_big_words(const Canvas& canvas,
                    const Box& box,
                    float baseline,
                    Align align,
                    Colour ink,
                    const std::string& words) {
    const float wished = canvas.scale.large_figure_cap_px();
    const float wide = canvas.width(Face::music, wished, words);
    const float cap = wished * std::min(1.0F, box.width() / std::max(1.0F, wide));
    const float x = align == Align::left ? box.x0 : align == Align::right ? box.x1 : box.middle_x();
    canvas.text(Face::music, cap, x, baseline, align, ink, words);
}

} // namespace

void draw_large_screen(const Canvas& canvas, desk::Desk& desk, const Box& window) {
    const std::optional<desk::ShownNote>& note = desk.session().view().large_note();
    const float height = window.height();
    const Box page = window.shrunk(0.06F * window.width(), 0.07F * height);
    if (!note) {
        canvas.text(Face::music,
                    canvas.scale.figure_cap_px(),
                    page.middle_x(),
                    page.middle_y(),
                    Align::middle,
                    canvas.colour.ink,
                    "play a note");
        return;
    }
    Box rest = page;
    const Box hand = rest.take_bottom(0.14F * height);
    rest.take_bottom(0.035F * height);
    const Box track = rest.take_bottom(0.09F * height);
    const Box words = rest.take_bottom(0.19F * height);
    Box right = rest;
    const Box left = right.take_left(0.56F * rest.width());

    const float cap =
        std::min({canvas.scale.large_note_cap_px(), left.width() * 0.62F, left.height() * 0.88F});
    const float baseline = left.y0 + 0.44F * left.height() + 0.5F * cap;
    canvas.note_name(
        note->note.written, cap, left.middle_x(), baseline, Align::middle, canvas.colour.ink);

    // Hand above, partial below, in a column of their own.
    right.take_left(0.08F * right.width());
    const float figure = 1.25F * canvas.scale.large_figure_cap_px();
    const std::string signs = desk::hand_signs(note->note.written);
    const float sign_cap =
        figure * std::min(1.0F, right.width() / canvas.hand_sign_width(signs, figure));
    canvas.hand_sign(
        signs, sign_cap, right.x0, baseline - cap + 0.5F * figure, Align::left, canvas.colour.ink);
    draw_ordinal(
        canvas, note->note.partial, figure, right.x0, baseline, Align::left, canvas.colour.ink);

    draw_big_words(canvas,
                   words,
                   words.y1 - 0.06F * height,
                   Align::middle,
                   canvas.colour.ink,
                   words::off_pitch(note->note.deviation_cents));
    draw_track(canvas, *note, track);
    draw_hand_range(canvas, desk.session().view().hand(), hand, 0.042F * height);
    if (desk.pages().large.hold_just_changed()) {
        char held[64];
        std::snprintf(held,
                      sizeof held,
                      "each note is held %.1f s at least",
                      desk.preferences().large_hold_s);
        canvas.text(Face::text,
                    1.2F * canvas.cap(),
                    page.middle_x(),
                    window.y1 - canvas.em,
                    Align::middle,
                    canvas.colour.ink,
                    held);
    }
}

} // namespace bellhand::gui

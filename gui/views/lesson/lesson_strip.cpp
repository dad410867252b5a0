#include "desk/model/lesson_words.h"
#include "gui/views/lesson/lesson_views.h"

#include <algorithm>
#include <array>

namespace bellhand::gui {

namespace {

constexpr float kOctave = 0.5F; // of the letter's height

/// Signs that fit into a column: beside each other, smaller when they would not.
void draw_signs(const Canvas& canvas,
                const std::string& signs,
                float cap,
                float room,
                float x,
                float y,
                Colour ink) {
    if (signs.empty()) {
        canvas.text(Face::music, cap, x, y + 0.5F * cap, Align::middle, ink, "-");
        return;
    }
    const float wide = canvas.hand_sign_width(signs, cap);
    canvas.hand_sign(signs, cap * std::min(1.0F, room / wide), x, y, Align::middle, ink);
}

} // namespace

float note_with_octave_width(const Canvas& canvas, horn::Note note, float cap_px) {
    return canvas.note_name_width(note, cap_px) + canvas.width(Face::music, kOctave * cap_px, "4") +
           0.08F * cap_px;
}

void draw_note_with_octave(
    const Canvas& canvas, horn::Note note, float cap_px, float x, float baseline, Colour ink) {
    const float wide = canvas.note_name(note, cap_px, x, baseline, Align::left, ink);
    canvas.text(Face::music,
                kOctave * cap_px,
                x + wide + 0.08F * cap_px,
                baseline + 0.12F * cap_px,
                Align::left,
                ink,
                std::to_string(horn::staff_name(note).octave));
}

void draw_lesson_strip(const Canvas& canvas, const desk::Lesson& lesson, const Box& box) {
    constexpr std::array kRows{"note", "asked", "heard", "cents"};
    const float row = box.height() / static_cast<float>(kRows.size());
    const float caption = std::min(0.36F * row, canvas.scale.figure_cap_px());
    float head = 0.0F;
    for (const char* const name : kRows) {
        head = std::max(head, canvas.width(Face::music, caption, name));
    }
    head += 0.02F * box.width();
    const auto middle = [&](std::size_t line) {
        return box.y0 + (static_cast<float>(line) + 0.5F) * row;
    };
    for (std::size_t line = 0; line < kRows.size(); ++line) {
        canvas.text(Face::music,
                    caption,
                    box.x0,
                    middle(line) + 0.5F * caption,
                    Align::left,
                    canvas.colour.ink_soft,
                    kRows[line]);
    }
    canvas.hairline(box.x0, box.y0, box.x1, box.y0);
    const float column = (box.width() - head) / static_cast<float>(desk::Lesson::kStrip);
    const auto [first, last] = lesson.strip();
    const desk::LessonNote* const framed = lesson.framed();
    const float cap = 0.6F * row;
    for (std::size_t i = first; i < last; ++i) {
        const desk::LessonNote& note = lesson.notes()[i];
        // The newest stands at the right margin, also before eight were played.
        const float right = box.x1 - static_cast<float>(last - 1 - i) * column;
        const Box cell{right - column, box.y0, right, box.y1};
        if (framed == &note) {
            canvas.fill(cell, canvas.colour.brass_soft);
            canvas.outline(cell, canvas.colour.brass, std::max(2.0F, 1.5F * canvas.hair()));
        }
        const Colour ink = note.ended ? canvas.colour.ink : canvas.colour.voice;
        const float room = 0.9F * column;
        const float wide = note_with_octave_width(canvas, note.written, cap);
        const float name = cap * std::min(1.0F, room / wide);
        draw_note_with_octave(canvas,
                              note.written,
                              name,
                              cell.middle_x() - 0.5F * std::min(room, wide),
                              middle(0) + 0.5F * name,
                              ink);
        if (note.marked) {
            const float side = 0.2F * row;
            canvas.fill({cell.x0, cell.y0, cell.x0 + side, cell.y0 + row}, canvas.colour.brass);
        }
        draw_signs(canvas,
                   desk::asked_signs(note.asked),
                   cap,
                   room,
                   cell.middle_x(),
                   middle(1),
                   canvas.colour.ink);
        draw_signs(canvas,
                   desk::heard_signs(note.hand),
                   cap,
                   room,
                   cell.middle_x(),
                   middle(2),
                   canvas.colour.voice);
        const std::string cents = desk::short_off_words(note);
        const float long_px = canvas.width(Face::music, cap, cents);
        const float figure = cap * std::min(1.0F, room / long_px);
        canvas.text(Face::music,
                    figure,
                    cell.middle_x(),
                    middle(3) + 0.5F * figure,
                    Align::middle,
                    note.pitch_known() ? ink : canvas.colour.ink_soft,
                    cents);
    }
}

} // namespace bellhand::gui

#include "desk/model/lesson_words.h"
#include "gui/views/lesson/lesson_views.h"

#include <algorithm>
#include <array>
#include <span>

namespace bellhand::gui {

namespace {

constexpr float kOctave = 0.55F; // of the letter's height

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

namespace {

/// The rows of the strip, and where its columns stand.
class Strip {
public:
    Strip(const Canvas& canvas,
          const desk::Lesson& lesson,
          const Box& box,
          std::span<const char* const> rows)
        : canvas_(canvas),
          lesson_(lesson),
          box_(box),
          row_(box.height() / static_cast<float>(rows.size())) {
        const float caption = std::min(0.36F * row_, canvas.scale.figure_cap_px());
        float head = 0.0F;
        for (const char* const name : rows) {
            head = std::max(head, canvas.width(Face::music, caption, name));
        }
        for (std::size_t line = 0; line < rows.size(); ++line) {
            canvas.text(Face::music,
                        caption,
                        box.x0,
                        middle(line) + 0.5F * caption,
                        Align::left,
                        canvas.colour.ink_soft,
                        rows[line]);
        }
        column_ =
            (box.width() - head - 0.02F * box.width()) / static_cast<float>(desk::Lesson::kStrip);
    }

    [[nodiscard]] float middle(std::size_t line) const {
        return box_.y0 + (static_cast<float>(line) + 0.5F) * row_;
    }
    /// The newest stands at the right margin, also before eight were played.
    [[nodiscard]] Box cell(std::size_t from_right) const {
        const float right = box_.x1 - static_cast<float>(from_right) * column_;
        return {right - column_, box_.y0, right, box_.y1};
    }
    [[nodiscard]] float row() const { return row_; }
    [[nodiscard]] float cap() const { return 0.6F * row_; }
    [[nodiscard]] float room() const { return 0.9F * column_; }

    void frame(const Box& cell) const {
        canvas_.fill(cell, canvas_.colour.brass_soft);
        canvas_.outline(cell, canvas_.colour.brass, std::max(2.0F, 1.5F * canvas_.hair()));
    }
    void name(const desk::LessonNote& note, const Box& cell, std::size_t line) const {
        const float wide = note_with_octave_width(canvas_, note.written, cap());
        const float name = cap() * std::min(1.0F, room() / wide);
        draw_note_with_octave(canvas_,
                              note.written,
                              name,
                              cell.middle_x() - 0.5F * std::min(room(), wide),
                              middle(line) + 0.5F * name,
                              ink(note));
        if (note.marked) {
            const float top = middle(line) - 0.5F * row_;
            canvas_.fill({cell.x0, top, cell.x0 + 0.15F * row_, top + row_}, canvas_.colour.brass);
        }
    }
    void words(const std::string& words, const Box& cell, std::size_t line, Colour ink) const {
        const float wide = canvas_.width(Face::music, cap(), words);
        const float cap_px = cap() * std::min(1.0F, room() / wide);
        canvas_.text(Face::music,
                     cap_px,
                     cell.middle_x(),
                     middle(line) + 0.5F * cap_px,
                     Align::middle,
                     ink,
                     words);
    }
    void signs(const std::string& signs, const Box& cell, std::size_t line, Colour ink) const {
        draw_signs(canvas_, signs, cap(), room(), cell.middle_x(), middle(line), ink);
    }
    [[nodiscard]] Colour ink(const desk::LessonNote& note) const {
        return !note.sure   ? canvas_.colour.ink_soft
               : note.ended ? canvas_.colour.ink
                            : canvas_.colour.voice;
    }
    [[nodiscard]] bool framed(const std::optional<std::size_t>& place) const {
        return place && lesson_.framed() == &lesson_.notes()[*place];
    }

private:
    const Canvas& canvas_;
    const desk::Lesson& lesson_;
    Box box_;
    float row_;
    float column_ = 0.0F;
};

void draw_one_side(const Canvas& canvas, const desk::Lesson& lesson, const Box& box) {
    constexpr std::array kRows{"note", "asked", "heard", "cents"};
    const Strip strip(canvas, lesson, box, kRows);
    const auto [first, last] = lesson.strip();
    for (std::size_t i = first; i < last; ++i) {
        const std::optional<std::size_t>& place = lesson.columns()[i].here;
        if (!place) {
            continue;
        }
        const desk::LessonNote& note = lesson.notes()[*place];
        const Box cell = strip.cell(last - 1 - i);
        if (strip.framed(place)) {
            strip.frame(cell);
        }
        strip.name(note, cell, 0);
        strip.signs(desk::asked_signs(note.asked), cell, 1, canvas.colour.ink);
        strip.signs(desk::heard_signs(note.hand),
                    cell,
                    2,
                    note.sure ? canvas.colour.voice : canvas.colour.ink_soft);
        strip.words(desk::short_off_words(note),
                    cell,
                    3,
                    note.pitch_known() ? strip.ink(note) : canvas.colour.ink_soft);
    }
}

/// Both sides: the same notes one under the other, each with its cents, and how far they are apart.
void draw_two_sides(const Canvas& canvas, const desk::Lesson& lesson, const Box& box) {
    constexpr std::array kRows{"this side", "cents", "the call", "cents", "apart"};
    const Strip strip(canvas, lesson, box, kRows);
    const auto [first, last] = lesson.strip();
    for (std::size_t i = first; i < last; ++i) {
        const desk::LessonColumn& column = lesson.columns()[i];
        const Box cell = strip.cell(last - 1 - i);
        if (strip.framed(column.here) || strip.framed(column.call)) {
            const float top = strip.framed(column.here) ? box.y0 : box.y0 + 2.0F * strip.row();
            strip.frame({cell.x0, top, cell.x1, top + 2.0F * strip.row()});
        }
        std::size_t line = 0;
        for (const desk::Side side : desk::kSides) {
            if (const auto& place = column.of(side)) {
                const desk::LessonNote& note = lesson.notes()[*place];
                strip.name(note, cell, line);
                strip.words(desk::short_off_words(note),
                            cell,
                            line + 1,
                            note.pitch_known() ? strip.ink(note) : canvas.colour.ink_soft);
            }
            line += 2;
        }
        if (column.here && column.call) {
            strip.words(
                desk::apart_words(lesson.notes()[*column.here], lesson.notes()[*column.call]),
                cell,
                4,
                canvas.colour.ink);
        }
    }
}

} // namespace

void draw_lesson_strip(const Canvas& canvas, const desk::Lesson& lesson, const Box& box) {
    canvas.hairline(box.x0, box.y0, box.x1, box.y0);
    if (lesson.two_sides()) {
        draw_two_sides(canvas, lesson, box);
    } else {
        draw_one_side(canvas, lesson, box);
    }
}

} // namespace bellhand::gui

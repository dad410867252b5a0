#include "gui/views/run/run_staff.h"

#include "desk/model/exercise_page.h"
#include "desk/model/phrases.h"
#include "gui/views/staff_drawing.h"

#include <algorithm>
#include <cmath>

#include <imgui.h>

namespace bellhand::gui {

namespace {

constexpr float kBeforeNotes = 6.6F; // clef and time signature, in staff spaces
constexpr float kSignRow = 2.4F;
constexpr float kRemarkRow = 1.6F;
constexpr float kUnderRow =
    3.7F; // dynamics; what came of a note takes their place when it has been played
constexpr float kDynamicsRow = 2.2F;
constexpr double kRange_cents = 30.0;

/// How the rows of a system lie, in staff spaces.
struct SystemRows {
    float remarks = 0.0F; ///< 0: none
    float above = 0.0F;   ///< from the top of the system to the top line
    float below = 0.0F;   ///< from the bottom line to the dynamics
    float under = 0.0F;
    [[nodiscard]] float total() const noexcept { return above + 4.0F + below + under; }
};

const char* remark_of(const drill::Step& step) {
    switch (step.manner) {
    case drill::Manner::lip_trill:
        return "lip trill";
    case drill::Manner::hand_trill:
        return "hand trill";
    case drill::Manner::slow_closing:
        return "close slowly";
    default:
        return step.hand_first ? "hand first" : "";
    }
}

SystemRows rows_of(const drill::Exercise& exercise, const desk::ExercisePage& page, bool verdicts) {
    SystemRows rows;
    bool dynamics = false;
    bool remarks = false;
    for (const drill::Step& step : exercise.steps) {
        dynamics = dynamics || step.dynamic != drill::Dynamic::as_before ||
                   step.hairpin != drill::Hairpin::none;
        remarks = remarks || *remark_of(step) != '\0';
    }
    rows.remarks = remarks ? kRemarkRow : 0.0F;
    rows.under = verdicts ? kUnderRow : dynamics ? kDynamicsRow : 0.0F;
    // A note over the staff pushes the signs up; slurs and flags need a little air.
    rows.above = 1.2F + 0.5F * static_cast<float>(page.highest - 8) + kSignRow + rows.remarks;
    rows.below = std::max(1.8F, 1.0F - 0.5F * static_cast<float>(page.lowest));
    return rows;
}

const char* dynamic_words(drill::Dynamic dynamic) {
    static constexpr const char* kWords[] = {"", "pp", "p", "mp", "mf", "f", "ff"};
    return kWords[static_cast<int>(dynamic)];
}

void draw_hairpin(const Canvas& canvas, const Staff& staff, drill::Hairpin hairpin, Box box) {
    const float thick = std::max(1.0F, 0.13F * staff.space);
    const float half = 0.42F * staff.space;
    const auto wedge = [&](float narrow, float wide) {
        canvas.line(narrow, box.middle_y(), wide, box.middle_y() - half, canvas.colour.ink, thick);
        canvas.line(narrow, box.middle_y(), wide, box.middle_y() + half, canvas.colour.ink, thick);
    };
    switch (hairpin) {
    case drill::Hairpin::growing:
        wedge(box.x0, box.x1);
        break;
    case drill::Hairpin::fading:
        wedge(box.x1, box.x0);
        break;
    case drill::Hairpin::growing_and_fading:
        wedge(box.x0, box.middle_x() - 0.1F * staff.space);
        wedge(box.x1, box.middle_x() + 0.1F * staff.space);
        break;
    default:
        break;
    }
}

void draw_slur(const Canvas& canvas, const Staff& staff, float x0, int from, float x1, int to) {
    // On the side of the heads.
    const bool over = from >= 4;
    const float away = (over ? -1.0F : 1.0F) * staff.space;
    const float y0 = staff.y_of(from) + 0.85F * away;
    const float y1 = staff.y_of(to) + 0.85F * away;
    const float lift = 1.1F * away;
    canvas.list.AddBezierCubic(ImVec2(x0 + 0.3F * staff.space, y0),
                               ImVec2(x0 + 0.3F * (x1 - x0), y0 + lift),
                               ImVec2(x1 - 0.3F * (x1 - x0), y1 + lift),
                               ImVec2(x1 - 0.3F * staff.space, y1),
                               canvas.colour.ink,
                               std::max(1.5F, 0.16F * staff.space));
}

void draw_time(const Canvas& canvas, const Staff& staff, int quarters) {
    const float cap = 1.9F * staff.space;
    const float x = staff.left + 5.0F * staff.space;
    const auto figure = [&](const std::string& words, int step) {
        canvas.text(Face::music, cap, x, staff.y_of(step), Align::middle, canvas.colour.ink, words);
    };
    figure(std::to_string(quarters), 4);
    figure("4", 0);
}

/// What the marks on the page show.
struct Marks {
    const std::vector<std::optional<desk::Verdict>>* verdicts = nullptr;
    std::optional<std::uint32_t> place; ///< the frame stands here
    bool sounding = false;
    std::uint32_t past = 0; ///< steps before it have been played
};

class SystemDrawing {
public:
    SystemDrawing(const Canvas& canvas,
                  const drill::Exercise& exercise,
                  const desk::ExercisePage& page,
                  const SystemRows& rows,
                  const Box& box,
                  float space)
        : canvas_(canvas), exercise_(exercise), page_(page), rows_(rows), box_(box) {
        const float bottom_line = box.y0 + (rows.above + 4.0F) * space;
        staff_ = {box.x0, box.x1, std::round(bottom_line), space};
    }

    void draw(int system, const Marks& marks) const {
        draw_staff_lines(canvas_, staff_);
        const engraving::Clef clef = page_.clefs[static_cast<std::size_t>(system)];
        draw_clef(canvas_, staff_, clef, staff_.left + 1.9F * staff_.space, 1.0F);
        if (system == 0 && !page_.bar_lines.empty()) {
            draw_time(canvas_, staff_, exercise_.quarters_in_bar);
        }
        const float thick = std::max(1.0F, 0.16F * staff_.space);
        for (const desk::BarLine& line : page_.bar_lines) {
            if (line.system == system) {
                const float x = std::min(x_of(line.x), staff_.right);
                const float wide = line.last ? 3.0F * thick : thick;
                canvas_.fill({x - wide, staff_.y_of(8), x, staff_.y_of(0)}, canvas_.colour.ink);
            }
        }
        for (const desk::PlacedStep& placed : page_.steps) {
            if (placed.system == system) {
                draw_step(placed, marks);
            }
        }
    }

private:
    [[nodiscard]] float x_of(float x) const {
        return staff_.left + (kBeforeNotes + x) * staff_.space;
    }

    void draw_step(const desk::PlacedStep& placed, const Marks& marks) const {
        const float space = staff_.space;
        const drill::Step& step = exercise_.steps[placed.step];
        const float x = x_of(placed.x);
        const Box column{x_of(placed.left), box_.y0, x_of(placed.right), box_.y1};
        const bool here = marks.place && *marks.place == placed.step;
        if (here) {
            draw_place(column, x, marks.sounding);
        }
        if (placed.new_clef) {
            draw_clef(canvas_, staff_, placed.place.clef, x_of(placed.left) + 1.5F * space, 0.75F);
        }
        const Colour ink = here && marks.sounding              ? canvas_.colour.voice
                           : placed.step < marks.past && !here ? canvas_.colour.ink_soft
                                                               : canvas_.colour.ink;
        if (!step.written) {
            draw_rest(canvas_, staff_, engraving::note_value(step.quarters), x, ink);
            return;
        }
        const WrittenNote note{placed.place,
                               engraving::note_value(step.quarters),
                               step.written->sharps,
                               placed.restored};
        draw_written_note(canvas_, staff_, note, x, ink);
        draw_over(step, x, ink);
        if (step.slurred && placed.step > 0) {
            const desk::PlacedStep& before = page_.steps[placed.step - 1];
            const float from = before.system == placed.system ? x_of(before.x) : column.x0;
            draw_slur(canvas_, staff_, from, before.place.step, x, placed.place.step);
        }
        if (!here && marks.verdicts != nullptr && placed.step < marks.verdicts->size() &&
            (*marks.verdicts)[placed.step]) {
            draw_verdict(*(*marks.verdicts)[placed.step], column, x);
        } else {
            draw_under(placed, column, step);
        }
    }

    void draw_place(const Box& column, float x, bool sounding) const {
        const float space = staff_.space;
        const float thick = std::max(2.0F, 0.22F * space);
        const Box frame{column.x0 + 0.1F * space,
                        column.y0 + 0.3F * space,
                        column.x1 - 0.1F * space,
                        staff_.bottom_line_y + rows_.below * space};
        if (sounding) {
            canvas_.fill(frame, canvas_.colour.brass_soft, 0.5F * space);
        }
        canvas_.outline(frame, canvas_.colour.brass, thick, 0.5F * space);
        // A pointer at its foot is seen from far.
        const float y = frame.y1 + 1.9F * space;
        canvas_.list.AddTriangleFilled(ImVec2(x, y),
                                       ImVec2(x - 0.9F * space, y + 1.3F * space),
                                       ImVec2(x + 0.9F * space, y + 1.3F * space),
                                       canvas_.colour.brass);
    }

    void draw_over(const drill::Step& step, float x, Colour ink) const {
        const float space = staff_.space;
        const float y = box_.y0 + (rows_.remarks + 0.5F * kSignRow + 0.2F) * space;
        std::string signs = desk::step_hand_signs(step);
        if (step.manner == drill::Manner::slow_closing) {
            signs = "o +";
        }
        canvas_.hand_sign(signs, 1.35F * space, x, y, Align::middle, ink);
        if (const char* words = remark_of(step); *words != '\0') {
            canvas_.text(
                Face::remark, 0.85F * space, x, box_.y0 + 1.45F * space, Align::middle, ink, words);
        }
    }

    void
    draw_under(const desk::PlacedStep& placed, const Box& column, const drill::Step& step) const {
        const float space = staff_.space;
        const float top = staff_.bottom_line_y + rows_.below * space;
        Box row{column.x0 + 0.3F * space, top, column.x1 - 0.3F * space, top + 1.8F * space};
        if (step.dynamic != drill::Dynamic::as_before) {
            const char* words = dynamic_words(step.dynamic);
            const bool alone = step.hairpin == drill::Hairpin::none;
            const float x = alone ? x_of(placed.x) : row.x0;
            row.x0 += canvas_.text(Face::remark,
                                   1.1F * space,
                                   x,
                                   row.middle_y() + 0.5F * space,
                                   alone ? Align::middle : Align::left,
                                   canvas_.colour.ink,
                                   words) +
                      0.3F * space;
        }
        if (row.width() > space) {
            draw_hairpin(canvas_, staff_, step.hairpin, row);
        }
    }

    void draw_verdict(const desk::Verdict& verdict, const Box& column, float x) const {
        const float space = staff_.space;
        const float top = staff_.bottom_line_y + rows_.below * space;
        draw_verdict_mark(
            canvas_, verdict, {x - 1.2F * space, top, x + 1.2F * space, top + 1.8F * space});
        const float cap = 0.7F * space;
        const float baseline = top + 3.2F * space;
        if (verdict.words.empty()) {
            return;
        }
        const std::string& words = verdict.words.front();
        const float room = column.width() + 0.8F * space;
        const float wide = std::min(room, canvas_.width(Face::strong, cap, words));
        canvas_.text_within(
            Face::strong, cap, x - 0.5F * wide, baseline, room, canvas_.colour.ink, words);
    }

    const Canvas& canvas_;
    const drill::Exercise& exercise_;
    const desk::ExercisePage& page_;
    const SystemRows& rows_;
    Box box_;
    Staff staff_;
};

void draw_systems(const Canvas& canvas,
                  const drill::Exercise& exercise,
                  const Marks& marks,
                  std::uint32_t looked_at,
                  const Box& box) {
    if (exercise.steps.empty()) {
        return;
    }
    // Width decides how many systems there are, their number how large the notes may be.
    const float widest = box.width() / 30.0F;
    float space = std::min(canvas.scale.line_space_px(), widest);
    desk::ExercisePage page = desk::lay_out(exercise, box.width() / space - kBeforeNotes);
    const SystemRows rows = rows_of(exercise, page, marks.place.has_value());
    // To look at, the beginning is enough; to play from, the next row must be there.
    const auto shown = [&] { return marks.place && page.systems() > 1 ? 2.0F : 1.0F; };
    const float largest = page.systems() > 1 ? space : std::min(1.2F * space, widest);
    space = std::min(largest, box.height() / (shown() * rows.total()));
    // All of it in one row may be larger than two rows of it.
    const float alone = std::min(largest, box.height() / rows.total());
    for (float larger = alone; larger > space; larger *= 0.96F) {
        if (desk::lay_out(exercise, box.width() / larger - kBeforeNotes).systems() == 1) {
            space = larger;
        }
    }
    page = desk::lay_out(exercise, box.width() / space - kBeforeNotes);
    const float height = std::min(box.height() / shown(), (rows.total() + 1.5F) * space);
    const float top = box.y0 + 0.5F * (box.height() - shown() * height);
    const desk::ShownSystems systems = desk::shown_systems(page, looked_at);
    const auto draw = [&](int system, int row) {
        if (system < 0 || system >= page.systems()) {
            return;
        }
        const float y = top + static_cast<float>(row) * height;
        const Box place{box.x0, y, box.x1, y + rows.total() * space};
        SystemDrawing(canvas, exercise, page, rows, place, space).draw(system, marks);
    };
    draw(systems.upper, 0);
    if (shown() > 1.0F) {
        draw(systems.lower, 1);
    }
}

} // namespace

void draw_verdict_mark(const Canvas& canvas, const desk::Verdict& verdict, const Box& box) {
    const auto y_of = [&box](double cents) {
        const double inside = std::clamp(cents, -kRange_cents, kRange_cents) / kRange_cents;
        return box.middle_y() - static_cast<float>(inside) * 0.5F * box.height();
    };
    const double tolerance = std::min(verdict.tolerance_cents, kRange_cents);
    canvas.fill({box.x0, y_of(tolerance), box.x1, y_of(-tolerance)}, canvas.colour.brass_soft);
    const float thick = std::max(1.0F, 0.045F * box.height());
    canvas.level_line(box.x0, box.x1, box.middle_y(), canvas.colour.brass, thick);
    const float x = box.middle_x();
    const float y = y_of(verdict.cents);
    const float radius = 0.19F * box.height();
    switch (verdict.shape) {
    case desk::Verdict::Shape::round:
        canvas.dot(x, y, radius, canvas.colour.voice);
        break;
    case desk::Verdict::Shape::diamond: {
        const float reach = 1.35F * radius;
        canvas.list.AddQuadFilled(ImVec2(x, y - reach),
                                  ImVec2(x + reach, y),
                                  ImVec2(x, y + reach),
                                  ImVec2(x - reach, y),
                                  canvas.colour.voice);
        break;
    }
    case desk::Verdict::Shape::hollow:
        canvas.ring(x, y, radius, canvas.colour.voice, std::max(1.5F, 0.35F * radius));
        break;
    }
}

void draw_run_staff(const Canvas& canvas, const desk::RunView& view, const Box& box) {
    Marks marks;
    marks.verdicts = &view.verdicts;
    marks.place = view.sounding ? view.step : view.next;
    marks.sounding = view.sounding;
    marks.past = view.begun ? *marks.place : 0;
    draw_systems(canvas, view.exercise, marks, *marks.place, box);
}

void draw_marked_staff(const Canvas& canvas,
                       const drill::Exercise& exercise,
                       const std::vector<std::optional<desk::Verdict>>& verdicts,
                       std::optional<std::uint32_t> chosen,
                       const Box& box) {
    Marks marks;
    marks.verdicts = &verdicts;
    marks.place = chosen;
    draw_systems(canvas, exercise, marks, chosen.value_or(0), box);
}

} // namespace bellhand::gui

#include "desk/desk.h"
#include "drill/playable.h"
#include "gui/views/homework/homework_views.h"
#include "gui/views/run/run_staff.h"

#include <algorithm>

namespace bellhand::gui {

namespace {

/// "name   value" in one row.
void draw_field(
    const Canvas& canvas, const char* name, const std::string& value, bool open, const Box& row) {
    const float baseline = row.middle_y() + 0.5F * canvas.cap();
    const float indent = 6.6F * canvas.em;
    canvas.text(Face::text,
                canvas.small_cap(),
                row.x0,
                baseline,
                Align::left,
                canvas.colour.ink_soft,
                name);
    canvas.text_within(open ? Face::text : Face::strong,
                       canvas.cap(),
                       row.x0 + indent,
                       baseline,
                       row.width() - indent,
                       open ? canvas.colour.ink_soft : canvas.colour.ink,
                       value);
}

void draw_task_row(const Canvas& canvas,
                   const homework::Task& task,
                   std::size_t number,
                   const Box& row) {
    const float baseline = row.middle_y() + 0.5F * canvas.cap();
    const float title = canvas.text_within(Face::strong,
                                           canvas.cap(),
                                           row.x0,
                                           baseline,
                                           0.55F * row.width(),
                                           canvas.colour.ink,
                                           std::to_string(number) + ". " + task.exercise.title);
    const float after = row.x0 + title + canvas.em;
    canvas.text_within(Face::text,
                       canvas.small_cap(),
                       after,
                       baseline,
                       row.x1 - after,
                       canvas.colour.ink_soft,
                       task_words(task));
}

/// The fields of the homework, and its tasks under them.
void draw_rows_of_homework(const Canvas& canvas, desk::Desk& desk, Box box) {
    desk::ComposePage& page = desk.pages().homework.compose();
    const homework::Homework& homework = page.now();
    const bool free = desk.sheet() == desk::Sheet::none && !page.entry();
    const bool here = page.focus() == desk::ComposePage::Focus::list;
    const float row = std::min(2.1F * canvas.em, 0.052F * box.height());
    Box head = draw_section(
        canvas, box.take_top(2.3F * canvas.em + row * desk::ComposePage::kHeadRows), "homework");
    int clicked = draw_list(canvas,
                            "field",
                            head,
                            desk::ComposePage::kHeadRows,
                            here && !page.task() ? page.row() : -1,
                            row,
                            free,
                            [&](int index, const Box& place, bool) {
                                const auto field = static_cast<desk::HeadField>(index);
                                draw_field(canvas,
                                           desk::name_of(field),
                                           desk::value_words(homework, field),
                                           desk::left_open(homework, field),
                                           place);
                            });
    box.take_top(0.8F * canvas.em);
    const auto count = static_cast<int>(homework.tasks.size());
    const Box tasks =
        draw_section(canvas,
                     box,
                     count == 0 ? "no exercise yet; A adds one"
                                : std::to_string(count) + (count == 1 ? " task" : " tasks"));
    const int below = draw_list(canvas,
                                "task",
                                tasks,
                                count,
                                page.task() ? static_cast<int>(*page.task()) : -1,
                                2.1F * canvas.em,
                                free,
                                [&](int index, const Box& place, bool) {
                                    const auto at = static_cast<std::size_t>(index);
                                    draw_task_row(canvas, homework.tasks[at], at + 1, place);
                                });
    clicked = below >= 0 ? desk::ComposePage::kHeadRows + below : clicked;
    if (clicked >= 0) {
        page.choose(clicked);
    }
}

/// The notes that are asked, and how they are to be played.
void draw_task(const Canvas& canvas, desk::Desk& desk, Box box) {
    desk::ComposePage& page = desk.pages().homework.compose();
    const homework::Task& task = page.now().tasks[*page.task()];
    box = draw_section(canvas, box, task.exercise.title);
    draw_marked_staff(canvas,
                      homework::exercise_of(task),
                      {},
                      std::nullopt,
                      box.take_top(std::min(9.0F * canvas.em, 0.34F * box.height())));
    box.take_top(0.6F * canvas.em);
    const drill::Playable playable =
        drill::playable(task.exercise, task.crook.value_or(desk.session().tuning().crook));
    if (task.crook && !playable.yes) {
        box.y0 = canvas.paragraph(
                     Face::text, canvas.small_cap(), box, canvas.colour.warning, playable.why) +
                 0.2F * canvas.em;
    }
    box.take_top(0.7F * canvas.em);
    const Box fields = draw_section(canvas, box, "how it is played");
    const int clicked =
        draw_list(canvas,
                  "task field",
                  fields,
                  desk::ComposePage::kTaskRows,
                  page.focus() == desk::ComposePage::Focus::task ? page.task_row() : -1,
                  2.1F * canvas.em,
                  desk.sheet() == desk::Sheet::none && !page.entry(),
                  [&](int index, const Box& place, bool) {
                      const auto field = static_cast<desk::TaskField>(index);
                      draw_field(canvas,
                                 desk::name_of(field),
                                 desk::value_words(task, field),
                                 desk::left_open(task, field),
                                 place);
                  });
    if (clicked >= 0) {
        page.choose_task_field(clicked);
    }
}

/// All exercises, narrowed by what is typed, with the notes of the chosen one.
void draw_exercises(const Canvas& canvas, desk::Desk& desk, Box list, Box side) {
    desk::ComposePage& page = desk.pages().homework.compose();
    const desk::ExercisePicker& picker = page.picker();
    const float em = canvas.em;
    list = draw_section(canvas, list, "an exercise to add: type words of it");
    Box typed = list.take_top(3.2F * em);
    draw_writing(canvas, picker.typed(), typed.take_top(2.7F * em));
    if (picker.rows() == 0) {
        draw_empty(canvas, list, "nothing matches", "Backspace deletes a letter.");
        return;
    }
    const int clicked = draw_list(canvas,
                                  "exercise",
                                  list,
                                  picker.rows(),
                                  picker.chosen(),
                                  2.1F * em,
                                  desk.sheet() == desk::Sheet::none,
                                  [&](int index, const Box& place, bool here) {
                                      const drill::Exercise& exercise = picker.row(index);
                                      const float baseline = place.middle_y() + 0.5F * canvas.cap();
                                      draw_two_ends(canvas,
                                                    place,
                                                    baseline,
                                                    here ? Face::strong : Face::text,
                                                    canvas.colour.ink,
                                                    exercise.title,
                                                    exercise.family);
                                  });
    if (clicked >= 0) {
        page.choose_exercise(clicked);
    }
    const drill::Exercise& chosen = *picker.exercise();
    side = draw_section(canvas, side, chosen.title);
    draw_marked_staff(
        canvas, chosen, {}, std::nullopt, side.take_top(std::min(9.0F * em, 0.4F * side.height())));
    side.take_top(0.8F * em);
    if (!chosen.purpose.empty()) {
        side.y0 =
            canvas.paragraph(Face::text, canvas.cap(), side, canvas.colour.ink, chosen.purpose) +
            0.3F * em;
    }
    if (const auto crook = page.usual_crook()) {
        if (const drill::Playable playable = drill::playable(chosen, *crook); !playable.yes) {
            canvas.paragraph(Face::text, canvas.cap(), side, canvas.colour.warning, playable.why);
        }
    }
}

} // namespace

void draw_compose(const Canvas& canvas, desk::Desk& desk, const Box& box) {
    const float em = canvas.em;
    desk::ComposePage& page = desk.pages().homework.compose();
    Box rest = box;
    const bool typing = page.focus() == desk::ComposePage::Focus::exercises;
    draw_sentence(canvas, rest, page.problem(), page.said().empty() ? page.missing() : page.said());
    if (page.entry()) {
        Box writing = rest.take_bottom(std::min(8.0F * em, 0.3F * rest.height()));
        writing.take_top(0.5F * em);
        writing = draw_section(canvas, writing, page.name_of_entry());
        draw_writing(canvas, *page.entry(), writing);
    }
    Box left = rest.take_left(0.46F * rest.width());
    rest.take_left(2.6F * em);
    if (typing) {
        draw_exercises(canvas, desk, left, rest);
        return;
    }
    draw_rows_of_homework(canvas, desk, left);
    if (page.task()) {
        draw_task(canvas, desk, rest);
        return;
    }
    // What the student will read.
    draw_homework_head(canvas, page.now(), rest);
}

} // namespace bellhand::gui

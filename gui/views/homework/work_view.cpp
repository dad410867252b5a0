#include "desk/desk.h"
#include "gui/views/homework/homework_views.h"
#include "homework/counting.h"
#include "report/text.h"

#include <algorithm>

namespace bellhand::gui {

namespace {

void draw_task(const Canvas& canvas,
               const homework::Task& task,
               int done,
               std::size_t number,
               const Box& row) {
    const float em = canvas.em;
    const float first = row.y0 + 0.65F * em + canvas.cap();
    const bool all = done >= task.times;
    const Colour ink = all ? canvas.colour.ink_soft : canvas.colour.ink;
    const std::string count = homework::done_words(task, done);
    draw_two_ends(canvas,
                  row,
                  first,
                  Face::strong,
                  ink,
                  std::to_string(number) + ". " + task.exercise.title,
                  count);
    std::string how = task_words(task);
    if (!task.words.empty()) {
        how += ". " + task.words;
    }
    draw_small(canvas, row, first + 1.5F * em, how);
}

void draw_take(const Canvas& canvas,
               const desk::WorkSide& work,
               std::size_t index,
               bool here,
               const Box& row) {
    const homework::WorkTake& shown = work.takes()[index];
    const float em = canvas.em;
    const float baseline = row.middle_y() + 0.5F * canvas.cap();
    const bool goes = work.goes_back(shown.take.id);
    const float side = 0.5F * em;
    const Box mark{row.x0, row.middle_y() - side, row.x0 + 2.0F * side, row.middle_y() + side};
    canvas.outline(mark, goes ? canvas.colour.ink : canvas.colour.ink_soft, canvas.hair());
    if (goes) {
        canvas.fill(mark.shrunk(0.22F * em, 0.22F * em), canvas.colour.brass);
    }
    const std::string right =
        here && work.listening().sounding
            ? place_words(work.listening(), shown.take.duration_s)
            : (goes ? "goes back, " : "stays here, ") + report::clock_text(shown.take.duration_s);
    draw_two_ends(canvas,
                  {row.x0 + 1.9F * em, row.y0, row.x1, row.y1},
                  baseline,
                  here ? Face::strong : Face::text,
                  canvas.colour.ink,
                  "task " + std::to_string(shown.task + 1) + ", take " + std::to_string(index + 1) +
                      (shown.take.why.empty() ? "" : ": " + shown.take.why),
                  right);
}

} // namespace

void draw_work(const Canvas& canvas, desk::Desk& desk, Box box) {
    const float em = canvas.em;
    desk::HomeworkPage& page = desk.pages().homework;
    desk::WorkSide& work = page.work();
    const homework::Given& given = *page.chosen_given();
    box = draw_homework_head(canvas, given.homework, box);

    Box words = box.take_bottom(std::min(6.4F * em, 0.25F * box.height()));
    words.take_top(0.4F * em);
    if (work.writing()) {
        draw_writing(canvas, *work.entry(), words);
    } else {
        const Box inside = draw_section(canvas, words, "words to the teacher");
        canvas.paragraph(Face::remark,
                         canvas.cap(),
                         inside,
                         work.words().empty() ? canvas.colour.ink_soft : canvas.colour.ink,
                         work.words().empty() ? "none yet; W writes them" : work.words());
    }

    const float row = 3.4F * em;
    const auto& tasks = given.homework.tasks;
    const float room = std::min(2.1F * em + row * static_cast<float>(tasks.size()) + 0.6F * em,
                                (work.takes().empty() ? 0.85F : 0.6F) * box.height());
    Box upper =
        draw_section(canvas,
                     box.take_top(room),
                     std::to_string(tasks.size()) + (tasks.size() == 1 ? " task" : " tasks"));
    const int left_out = static_cast<int>(tasks.size()) - static_cast<int>(upper.height() / row);
    for (std::size_t i = 0; i < tasks.size() && upper.height() >= row; ++i) {
        draw_task(canvas, tasks[i], given.done[i], i + 1, upper.take_top(row));
    }
    if (left_out > 0 && upper.height() > canvas.small_cap()) {
        canvas.text(Face::text,
                    canvas.small_cap(),
                    upper.x1,
                    upper.y1 - 0.2F * em,
                    Align::right,
                    canvas.colour.ink_soft,
                    "and " + std::to_string(left_out) + " more");
    }

    const auto count = static_cast<int>(work.takes().size());
    const Box takes = draw_section(canvas,
                                   box,
                                   count == 0 ? "no takes yet; what is played of it is recorded"
                                              : "takes, and what goes back");
    const int clicked =
        draw_list(canvas,
                  "work take",
                  takes,
                  count,
                  work.on_takes() ? work.take() : -1,
                  2.2F * em,
                  desk.sheet() == desk::Sheet::none,
                  [&](int index, const Box& place, bool here) {
                      draw_take(canvas, work, static_cast<std::size_t>(index), here, place);
                  });
    if (clicked >= 0) {
        work.enter_takes();
        work.choose(clicked);
    }
}

} // namespace bellhand::gui

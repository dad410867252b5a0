#include "desk/desk.h"
#include "desk/model/phrases.h"
#include "gui/views/homework/homework_views.h"
#include "homework/counting.h"
#include "homework/teacher.h"

#include <algorithm>
#include <cstdio>

namespace bellhand::gui {

namespace {

void draw_two_lines(const Canvas& canvas,
                    const std::string& first,
                    const std::string& second,
                    Colour second_ink,
                    const Box& row) {
    const float baseline = row.y0 + 0.65F * canvas.em + canvas.cap();
    canvas.text_within(
        Face::strong, canvas.cap(), row.x0, baseline, row.width(), canvas.colour.ink, first);
    canvas.text_within(Face::text,
                       canvas.small_cap(),
                       row.x0,
                       baseline + 1.6F * canvas.em,
                       row.width(),
                       second_ink,
                       second);
}

/// "2 of 3 tasks done, due 2026-03-08".
std::string progress_words(const homework::Given& given) {
    if (!given.returned_at.empty()) {
        return "given back " + desk::moment_words(given.returned_at);
    }
    std::size_t done = 0;
    const auto& tasks = given.homework.tasks;
    for (std::size_t i = 0; i < tasks.size(); ++i) {
        done += given.done[i] >= tasks[i].times ? 1U : 0U;
    }
    std::string words = std::to_string(done) + " of " + std::to_string(tasks.size()) +
                        (tasks.size() == 1 ? " task done" : " tasks done");
    if (!given.homework.due_on.empty()) {
        words += "  ·  due " + given.homework.due_on;
    }
    return words;
}

std::string filed_words(const homework::Homework& homework) {
    std::string words;
    if (homework.returned) {
        words = "came back " + desk::moment_words(homework.returned->returned_at);
    } else {
        words = "written " + homework.written_on;
    }
    if (!homework.student.empty()) {
        words = homework.student + "  ·  " + words;
    }
    if (!homework.returned && !homework.due_on.empty()) {
        words += "  ·  due " + homework.due_on;
    }
    return words;
}

/// What is to be done here over what was set; the choice goes through both.
void draw_lists(const Canvas& canvas, desk::Desk& desk, Box box) {
    desk::HomeworkPage& page = desk.pages().homework;
    const float row = 3.7F * canvas.em;
    const float head = 2.1F * canvas.em;
    const auto given = static_cast<int>(page.given().size());
    const auto filed = static_cast<int>(page.filed().size());
    const bool free = desk.sheet() == desk::Sheet::none;
    int clicked = -1;
    if (given > 0) {
        const float wanted = head + row * static_cast<float>(given) + 0.8F * canvas.em;
        Box upper = filed == 0
                        ? box
                        : box.take_top(std::min(
                              wanted,
                              std::max(0.5F * box.height(),
                                       box.height() - head - row * static_cast<float>(filed))));
        upper = draw_section(canvas, upper, "to be done here");
        clicked = draw_list(
            canvas,
            "given",
            upper,
            given,
            page.chosen() < given ? page.chosen() : -1,
            row,
            free,
            [&](int index, const Box& place, bool) {
                const homework::Given& one = page.given()[static_cast<std::size_t>(index)];
                draw_two_lines(
                    canvas, one.homework.title, progress_words(one), canvas.colour.ink_soft, place);
            });
    }
    if (filed > 0) {
        const Box lower = draw_section(canvas, box, "set, and returned");
        const int below =
            draw_list(canvas,
                      "filed",
                      lower,
                      filed,
                      page.chosen() >= given ? page.chosen() - given : -1,
                      row,
                      free,
                      [&](int index, const Box& place, bool) {
                          const homework::Filed& one =
                              page.filed()[static_cast<std::size_t>(index)];
                          const bool good = one.problem.empty();
                          draw_two_lines(canvas,
                                         good ? one.homework.title : one.file.filename().string(),
                                         good ? filed_words(one.homework) : "cannot be read",
                                         good ? canvas.colour.ink_soft : canvas.colour.warning,
                                         place);
                      });
        clicked = below >= 0 ? given + below : clicked;
    }
    if (clicked >= 0) {
        desk.pages().homework.choose(clicked);
    }
}

/// A file that was set: what it asks for, and in a line what came back.
void draw_filed(const Canvas& canvas, const homework::Filed& filed, Box box) {
    if (!filed.problem.empty()) {
        draw_empty(canvas, box, "this file cannot be read", filed.problem);
        return;
    }
    const homework::Homework& homework = filed.homework;
    box = draw_homework_head(canvas, homework, box);
    box = draw_section(canvas,
                       box,
                       std::to_string(homework.tasks.size()) +
                           (homework.tasks.size() == 1 ? " task" : " tasks"));
    const float row = 3.4F * canvas.em;
    for (std::size_t i = 0; i < homework.tasks.size() && box.height() > row; ++i) {
        draw_two_lines(canvas,
                       homework.tasks[i].exercise.title,
                       task_words(homework.tasks[i]),
                       canvas.colour.ink_soft,
                       box.take_top(row));
    }
}

} // namespace

std::string task_words(const homework::Task& task) {
    std::string words = task.crook ? std::string("in ") + task.crook->label : "any crook";
    if (const auto bars = homework::bars_of(task)) {
        words += bars->first == bars->second ? ", bar " + std::to_string(bars->first)
                                             : ", bars " + std::to_string(bars->first) + " to " +
                                                   std::to_string(bars->second);
    } else if (task.first_step || task.last_step) {
        const auto last = static_cast<std::uint32_t>(task.exercise.steps.size());
        words += ", notes " + std::to_string(task.first_step.value_or(0) + 1) + " to " +
                 std::to_string(task.last_step ? *task.last_step + 1 : last);
    }
    if (task.quarters_per_minute) {
        char tempo[48];
        std::snprintf(tempo, sizeof tempo, ", %g quarters a minute", *task.quarters_per_minute);
        words += *task.quarters_per_minute > 0.0 ? tempo : ", free tempo";
    }
    if (task.tolerance_factor != 1.0) {
        char factor[48];
        std::snprintf(factor, sizeof factor, ", %g times the tolerance", task.tolerance_factor);
        words += factor;
    }
    if (task.repetitions) {
        words += ", " + std::to_string(*task.repetitions) + " in a row";
    }
    return words + ", " + homework::times_words(task);
}

Box draw_homework_head(const Canvas& canvas, const homework::Homework& homework, Box box) {
    const float em = canvas.em;
    const float cap = 1.5F * canvas.cap();
    const Box head = box.take_top(4.2F * em);
    canvas.text_within(
        Face::music, cap, head.x0, head.y0 + cap, head.width(), canvas.colour.ink, homework.title);
    std::string words;
    if (!homework.teacher.empty()) {
        words += "from " + homework.teacher + "  ·  ";
    }
    if (!homework.student.empty()) {
        words += "for " + homework.student + "  ·  ";
    }
    const auto temperament = horn::parse_temperament(homework.temperament);
    words += "A = " + desk::hertz_text(homework.a4_hz) + ", " +
             (temperament ? temperament->label : homework.temperament);
    if (!homework.due_on.empty()) {
        words += "  ·  due " + homework.due_on;
    }
    canvas.text_within(Face::text,
                       canvas.small_cap(),
                       head.x0,
                       head.y0 + cap + 1.7F * em,
                       head.width(),
                       canvas.colour.ink_soft,
                       words);
    if (!homework.words.empty()) {
        Box place = box;
        place.y1 = place.y0 + std::min(5.5F * em, 0.3F * box.height());
        box.y0 =
            canvas.paragraph(Face::remark, canvas.cap(), place, canvas.colour.ink, homework.words) +
            0.6F * em;
    }
    return box;
}

void draw_homework_screen(const Canvas& page_canvas, desk::Desk& desk, const Box& window) {
    const Canvas canvas = page_canvas.fitted(window, 56.0F, 34.0F);
    const float em = canvas.em;
    desk::HomeworkPage& page = desk.pages().homework;
    Box rest = window.shrunk(1.8F * em, 0.0F);
    draw_frame_of_page(canvas, desk, rest, window);
    rest = rest.shrunk(0.0F, 1.2F * em);
    if (page.inner() == desk::HomeworkPage::Inner::compose) {
        draw_compose(canvas, desk, rest);
        return;
    }
    if (page.inner() == desk::HomeworkPage::Inner::review) {
        draw_review(canvas, desk, rest);
        return;
    }
    draw_sentence(
        canvas, rest, page.problem().empty() ? page.work().problem() : page.problem(), page.said());
    if (page.rows() == 0) {
        draw_empty(
            canvas,
            rest,
            "no homework",
            "A student drops the teacher's file on this window. A teacher presses N to compose "
            "one, and drops the file that came back.");
        return;
    }
    Box list = rest.take_left(0.38F * rest.width());
    rest.take_left(2.6F * em);
    draw_lists(canvas, desk, list);
    if (page.chosen_given() != nullptr) {
        draw_work(canvas, desk, rest);
    } else if (const homework::Filed* filed = page.chosen_filed()) {
        draw_filed(canvas, *filed, rest);
    }
}

} // namespace bellhand::gui

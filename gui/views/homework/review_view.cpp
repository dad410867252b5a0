#include "desk/desk.h"
#include "desk/model/phrases.h"
#include "desk/model/verdict.h"
#include "gui/views/homework/homework_views.h"
#include "gui/views/run/run_staff.h"
#include "homework/counting.h"
#include "report/text.h"
#include "words/verdict.h"

#include <algorithm>
#include <cmath>

namespace bellhand::gui {

namespace {

std::string joined(const std::vector<std::string>& words) {
    std::string line;
    for (const std::string& word : words) {
        line += (line.empty() ? "" : ", ") + word;
    }
    return line;
}

std::string attempt_words(const homework::Homework& homework, const homework::Attempt& attempt) {
    std::string words = desk::moment_words(attempt.done_at);
    if (const auto crook = horn::parse_crook(attempt.crook)) {
        words += std::string("  ·  in ") + crook->label;
    }
    if (attempt.a4_hz != homework.a4_hz) {
        words += "  ·  A = " + desk::hertz_text(attempt.a4_hz);
    }
    if (const auto off = homework::figures_of(attempt).median_off_cents) {
        words += "  ·  median " + std::to_string(std::lround(*off)) + " off";
    }
    return words + "  ·  " + homework::attempt_words(homework.tasks[attempt.task], attempt);
}

/// Every judged step in order, as the mark that stands under its note in a lesson.
void draw_strip(const Canvas& canvas, const homework::Attempt& attempt, const Box& box) {
    const auto count = static_cast<float>(std::max<std::size_t>(attempt.steps.size(), 1));
    const float wide = std::min(1.5F * canvas.em, box.width() / count);
    for (std::size_t i = 0; i < attempt.steps.size(); ++i) {
        const float x = box.x0 + wide * static_cast<float>(i);
        draw_verdict_mark(canvas,
                          desk::verdict_of(attempt.steps[i]),
                          {x + 0.08F * wide, box.y0, x + 0.92F * wide, box.y1});
    }
}

void draw_row(const Canvas& canvas,
              const desk::ReviewPage& page,
              std::size_t index,
              const Box& row) {
    const desk::ReviewPage::Row& what = page.rows()[index];
    const float em = canvas.em;
    const float first = row.y0 + 0.6F * em + canvas.cap();
    std::string title = "the whole";
    std::string right;
    std::string second;
    const homework::Return& back = page.back();
    const homework::Attempt* attempt = nullptr;
    switch (what.kind) {
    case desk::ReviewPage::Row::Kind::whole: {
        second = "came back " + desk::moment_words(back.returned_at);
        const std::size_t count = page.now().comments.size();
        right = count == 0   ? "no comment yet"
                : count == 1 ? "1 comment"
                             : std::to_string(count) + " comments";
        break;
    }
    case desk::ReviewPage::Row::Kind::attempt: {
        attempt = &back.attempts[what.index];
        const homework::AttemptFigures figures = homework::figures_of(*attempt);
        title = std::to_string(attempt->task + 1) + ". " +
                page.now().tasks[attempt->task].exercise.title;
        right = words::right_of(figures.good, figures.steps);
        second = attempt_words(page.now(), *attempt);
        break;
    }
    case desk::ReviewPage::Row::Kind::take: {
        const homework::Take& take = back.takes[what.index];
        title = "take " + std::to_string(what.index + 1);
        right = report::clock_text(take.duration_s);
        second = take.why;
        break;
    }
    }
    draw_two_ends(canvas, row, first, Face::strong, canvas.colour.ink, title, right);
    draw_small(canvas, row, first + 1.5F * em, second);
    if (attempt != nullptr) {
        draw_strip(canvas,
                   *attempt,
                   {row.x0, first + 2.1F * em, row.x1, std::min(first + 3.5F * em, row.y1)});
    }
}

std::string heard_words(const desk::ReviewPage& page, const homework::StepResult& step, bool here) {
    const auto place = page.heard_in(step);
    if (!place) {
        return step.played ? "no take holds it" : "";
    }
    const bool sounds = here && page.listening().sounding && page.heard_take() == place->take;
    return "take " + std::to_string(place->take + 1) +
           (sounds ? ", now at " + report::clock_text(page.listening().at_s) +
                         (page.listening().speed < 1.0 ? ", half speed" : "")
                   : " at " + report::clock_text(place->at_s));
}

void draw_step(const Canvas& canvas,
               const desk::ReviewPage& page,
               const homework::StepResult& step,
               bool here,
               const Box& row) {
    const float em = canvas.em;
    const float baseline = row.middle_y() + 0.5F * canvas.cap();
    float x = row.x0;
    canvas.text(Face::text,
                canvas.small_cap(),
                x,
                baseline,
                Align::left,
                canvas.colour.ink_soft,
                std::to_string(step.step + 1));
    x += 2.0F * em;
    canvas.note_name(step.asked, canvas.cap(), x, baseline, Align::left, canvas.colour.ink);
    x += 2.0F * em;
    canvas.hand_sign(horn::hand_sign(step.hand),
                     canvas.cap(),
                     x,
                     row.middle_y(),
                     Align::left,
                     canvas.colour.ink);
    x += 2.2F * em;
    const desk::Verdict verdict = desk::verdict_of(step);
    draw_verdict_mark(canvas, verdict, {x, row.y0 + 0.2F * em, x + 1.4F * em, row.y1 - 0.2F * em});
    x += 2.2F * em;
    std::string words = verdict.words.empty() ? words::kRight : joined(verdict.words);
    if (step.played && here) {
        words += step.known_within_cents > 0.0
                     ? " (short, pitch " + desk::within_cents(step.known_within_cents) + ")"
                     : " (held " + desk::signed_cents(step.held_cents) + ", attack " +
                           desk::signed_cents(step.attack_cents) + ")";
    }
    draw_two_ends(canvas,
                  {x, row.y0, row.x1, row.y1},
                  baseline,
                  here ? Face::strong : Face::text,
                  canvas.colour.ink,
                  words,
                  heard_words(page, step, here));
}

/// What was said of what is chosen, or what is being said now.
void draw_comments_here(const Canvas& canvas, const desk::ReviewPage& page, Box box) {
    if (page.entry()) {
        box = draw_section(canvas, box, page.about_words(page.written()));
        draw_writing(canvas, *page.entry(), box);
        return;
    }
    const auto here = page.comments_here();
    box = draw_section(canvas, box, here.empty() ? "no comment on it; W writes one" : "comments");
    for (const std::size_t index : here) {
        const homework::Comment& comment = page.now().comments[index];
        const std::string words = comment.text + "  (" + page.about_words(comment) + ")";
        const int lines = lines_of(canvas, Face::remark, canvas.cap(), box.width(), words);
        if (box.height() < 2.05F * canvas.cap() * static_cast<float>(lines)) {
            return;
        }
        box.y0 = canvas.paragraph(Face::remark, canvas.cap(), box, canvas.colour.ink, words);
    }
}

/// The newest verdict of each step of the exercise, as they stand under its notes.
std::vector<std::optional<desk::Verdict>> verdicts_of(const homework::Attempt& attempt,
                                                      std::size_t steps) {
    std::vector<std::optional<desk::Verdict>> verdicts(steps);
    for (const homework::StepResult& step : attempt.steps) {
        if (step.step < steps && !step.extra) {
            verdicts[step.step] = desk::verdict_of(step);
        }
    }
    return verdicts;
}

void draw_attempt(const Canvas& canvas, desk::Desk& desk, Box box) {
    desk::ReviewPage& page = desk.pages().homework.review();
    const homework::Attempt& attempt = *page.attempt();
    const homework::Task& task = page.now().tasks[attempt.task];
    const drill::Exercise exercise = homework::exercise_of(task);
    box = draw_section(canvas, box, task.exercise.title + ", " + task_words(task));
    const homework::StepResult* chosen = page.chosen_step();
    draw_marked_staff(canvas,
                      exercise,
                      verdicts_of(attempt, exercise.steps.size()),
                      chosen != nullptr && chosen->step < exercise.steps.size() ? chosen->step : 0U,
                      box.take_top(std::min(17.0F * canvas.em, 0.42F * box.height())));
    box.take_top(0.6F * canvas.em);
    Box words = box.take_bottom(std::min(7.5F * canvas.em, 0.36F * box.height()));
    words.take_top(0.5F * canvas.em);
    const auto count = static_cast<int>(page.steps().size());
    const Box list = draw_section(canvas,
                                  box,
                                  page.all_steps() ? "note by note"
                                  : count == 0     ? "everything was right; F shows all notes"
                                                   : "what was not right");
    const int clicked = draw_list(canvas,
                                  "step",
                                  list,
                                  count,
                                  page.focus() == desk::ReviewPage::Focus::steps ? page.step() : -1,
                                  2.1F * canvas.em,
                                  desk.sheet() == desk::Sheet::none && !page.entry(),
                                  [&](int index, const Box& row, bool here) {
                                      const std::size_t at =
                                          page.steps()[static_cast<std::size_t>(index)];
                                      draw_step(canvas, page, attempt.steps[at], here, row);
                                  });
    if (clicked >= 0) {
        page.enter_steps();
        page.choose_step(clicked);
    }
    draw_comments_here(canvas, page, words);
}

/// The homework as such: what the student says, the horn, and every comment.
void draw_whole(const Canvas& canvas, desk::Desk& desk, Box box) {
    desk::ReviewPage& page = desk.pages().homework.review();
    const homework::Return& back = page.back();
    box = draw_homework_head(canvas, page.now(), box);
    Box student = draw_section(
        canvas, box.take_top(std::min(7.0F * canvas.em, 0.3F * box.height())), "the student says");
    student.y0 = canvas.paragraph(back.words.empty() ? Face::text : Face::remark,
                                  canvas.cap(),
                                  student,
                                  back.words.empty() ? canvas.colour.ink_soft : canvas.colour.ink,
                                  back.words.empty() ? "nothing" : back.words);
    if (back.profile && student.height() > canvas.em) {
        canvas.text_within(Face::text,
                           canvas.small_cap(),
                           student.x0,
                           student.y0 + 0.5F * canvas.em,
                           student.width(),
                           canvas.colour.ink_soft,
                           "horn: " + back.profile->name);
    }
    if (page.entry()) {
        draw_comments_here(canvas, page, box);
        return;
    }
    const auto& comments = page.now().comments;
    const Box list = draw_section(
        canvas, box, comments.empty() ? "no comment yet; W writes one on the whole" : "comments");
    const int clicked = draw_list(
        canvas,
        "comment",
        list,
        static_cast<int>(comments.size()),
        page.focus() == desk::ReviewPage::Focus::comments ? page.comment() : -1,
        3.4F * canvas.em,
        desk.sheet() == desk::Sheet::none,
        [&](int index, const Box& row, bool here) {
            const homework::Comment& comment = comments[static_cast<std::size_t>(index)];
            const float first = row.y0 + 0.6F * canvas.em + canvas.cap();
            canvas.text_within(Face::remark,
                               canvas.cap(),
                               row.x0,
                               first,
                               row.width(),
                               canvas.colour.ink,
                               comment.text);
            const bool sounds = here && page.listening().sounding;
            draw_small(canvas,
                       row,
                       first + 1.5F * canvas.em,
                       page.about_words(comment) +
                           (sounds ? ", now at " + report::clock_text(page.listening().at_s) : ""));
        });
    if (clicked >= 0) {
        page.enter_comments();
        page.choose_comment(clicked);
    }
}

} // namespace

void draw_review(const Canvas& canvas, desk::Desk& desk, const Box& box) {
    const float em = canvas.em;
    desk::ReviewPage& page = desk.pages().homework.review();
    Box rest = box;
    draw_sentence(canvas, rest, page.problem(), page.said());
    Box left = rest.take_left(0.4F * rest.width());
    rest.take_left(2.6F * em);
    const std::string& student = page.now().student;
    left = draw_section(
        canvas, left, page.now().title + (student.empty() ? "" : ", done by " + student));
    const int clicked = draw_list(canvas,
                                  "row",
                                  left,
                                  static_cast<int>(page.rows().size()),
                                  page.row(),
                                  5.0F * em,
                                  desk.sheet() == desk::Sheet::none && !page.entry(),
                                  [&](int index, const Box& row, bool) {
                                      draw_row(canvas, page, static_cast<std::size_t>(index), row);
                                  });
    if (clicked >= 0) {
        page.choose(clicked);
    }
    const desk::ReviewPage::Row& chosen = page.rows()[static_cast<std::size_t>(page.row())];
    if (chosen.kind == desk::ReviewPage::Row::Kind::whole) {
        draw_whole(canvas, desk, rest);
    } else if (chosen.kind == desk::ReviewPage::Row::Kind::attempt) {
        draw_attempt(canvas, desk, rest);
    } else {
        Box words = draw_section(canvas, rest, page.back().takes[chosen.index].why);
        if (page.listening().sounding) {
            const Box line = words.take_top(2.4F * em);
            canvas.text(Face::text,
                        canvas.cap(),
                        line.x0,
                        line.y0 + canvas.cap(),
                        Align::left,
                        canvas.colour.ink,
                        "now at " + report::clock_text(page.listening().at_s));
        }
        draw_comments_here(canvas, page, words.take_bottom(0.6F * words.height()));
    }
}

} // namespace bellhand::gui

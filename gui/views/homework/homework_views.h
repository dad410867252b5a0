#pragma once

#include "gui/views/page_parts.h"
#include "gui/views/views.h"
#include "homework/homework.h"

#include <string>

namespace bellhand::gui {

// What the homework screen is made of.

/// The teacher's composing of a homework, in the whole box.
void draw_compose(const Canvas& canvas, desk::Desk& desk, const Box& box);
/// What came back, in the whole box.
void draw_review(const Canvas& canvas, desk::Desk& desk, const Box& box);
/// The student's side of the chosen homework.
void draw_work(const Canvas& canvas, desk::Desk& desk, Box box);

/// Title, who it is for or from, when it is due, pitch and temperament, and the words with it; what is left of the box
/// is returned.
Box draw_homework_head(const Canvas& canvas, const homework::Homework& homework, Box box);
/// "crook in Eb, bars, 72 quarters a minute, 3 times over": how a task is to be played, all that is not left open.
[[nodiscard]] std::string task_words(const homework::Task& task);

} // namespace bellhand::gui

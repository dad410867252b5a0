#pragma once

#include "desk/model/run_view.h"
#include "gui/canvas.h"

namespace bellhand::gui {

/// The notes of the exercise as they are played from: one or two systems, hand signs over them, under each note played
/// what came of it, and a frame round the place where the player is.
void draw_run_staff(const Canvas& canvas, const desk::RunView& view, const Box& box);

/// The same notes to look at: where something went wrong, or what the exercise is. `chosen` is framed.
void draw_marked_staff(const Canvas& canvas,
                       const drill::Exercise& exercise,
                       const std::vector<std::optional<desk::Verdict>>& verdicts,
                       std::optional<std::uint32_t> chosen,
                       const Box& box);

/// The shape of a verdict: where the pitch lay against its target, between `box.y0` (high) and `box.y1` (low).
void draw_verdict_mark(const Canvas& canvas, const desk::Verdict& verdict, const Box& box);

} // namespace bellhand::gui

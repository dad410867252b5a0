#pragma once

#include "desk/model/bench.h"
#include "gui/canvas.h"

namespace bellhand::gui {

/// The horn from the side, all to one scale: body, what is between, crook with mouthpiece.
void draw_stack(const Canvas& canvas, const desk::Bench& bench, Box box);

/// The tube stretched out, with the lengths at which each crook's key begins: one coupler is another interval on every
/// crook, which is plain to see here.
void draw_unrolled(const Canvas& canvas,
                   const desk::Bench& bench,
                   const horn::Crook& wanted,
                   Box box);

} // namespace bellhand::gui

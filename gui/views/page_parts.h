#pragma once

#include "desk/listening_status.h"
#include "desk/text_entry.h"
#include "gui/canvas.h"

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace bellhand::desk {
class Desk;
}

namespace bellhand::gui {

/// The foot of a page: its keys from the right margin leftwards, those that must stand there and as many others as fit,
/// and a sentence at the left. A click on a key presses it.
void draw_foot(const Canvas& canvas,
               desk::Desk& desk,
               const Box& box,
               const std::string& sentence,
               Colour ink);

/// How many lines `Canvas::paragraph` makes of the words.
[[nodiscard]] int
lines_of(const Canvas& canvas, Face face, float cap_px, float room, std::string_view words);

/// The short cautions, one under the other, smaller when they would not fit.
void draw_cautions(const Canvas& canvas, Box box);

/// A small heading at the top left of a box.
void draw_small_heading(const Canvas& canvas, const Box& box, std::string_view words);

/// A heading in italics over a hairline; what is left of the box is returned.
Box draw_section(const Canvas& canvas, Box box, const std::string& title);

/// An empty page says what to do: one line in italics and a sentence under it.
void draw_empty(const Canvas& canvas, Box box, const std::string& title, const std::string& words);

/// At the bottom of the box one sentence, of trouble or of what was done, when there is one; the box becomes smaller.
void draw_sentence(const Canvas& canvas,
                   Box& box,
                   const std::string& problem,
                   const std::string& said);

/// Words being written, in a frame.
void draw_writing(const Canvas& canvas, const desk::TextEntry& words, const Box& box);

/// "at 0:03 of 0:12, half speed": where in a take of that length is listened to.
[[nodiscard]] std::string place_words(const desk::ListeningStatus& listening, double duration_s);

/// Words at the left of a row, cut when they are too long, and small soft ones at its right end.
void draw_two_ends(const Canvas& canvas,
                   const Box& row,
                   float baseline,
                   Face face,
                   Colour ink,
                   std::string_view left,
                   std::string_view right);

/// Small soft words across a row, cut when they are too long.
void draw_small(const Canvas& canvas, const Box& row, float baseline, std::string_view words);

/// Rows one under the other, the chosen one marked by a bar at its edge and in view; those out of sight are reached
/// by moving the choice. `draw_row` gets the row's box without its margins. Returns the row that was clicked, or -1.
int draw_list(const Canvas& canvas,
              const std::string& id,
              const Box& box,
              int count,
              int chosen,
              float row_height,
              bool clickable,
              const std::function<void(int index, const Box& row, bool chosen)>& draw_row);

} // namespace bellhand::gui

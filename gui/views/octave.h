#pragma once

#include "gui/canvas.h"

#include <string>

namespace bellhand::gui {

/// "4" of "F#4".
[[nodiscard]] inline std::string octave_of(horn::Note note) {
    const std::string name = horn::ascii_name(note);
    return name.substr(name.find_first_of("-0123456789"));
}

/// How wide `draw_note_and_octave` draws.
[[nodiscard]] inline float
note_and_octave_width(const Canvas& canvas, horn::Note note, float cap_px) {
    return canvas.note_name_width(note, cap_px) + 0.08F * cap_px +
           canvas.width(Face::music, 0.78F * cap_px, octave_of(note));
}

/// "F" with its accidental and, smaller, the number of its octave.
inline float draw_note_and_octave(const Canvas& canvas,
                                  horn::Note note,
                                  float cap_px,
                                  float x,
                                  float baseline,
                                  Align align,
                                  Colour ink) {
    const float wide = note_and_octave_width(canvas, note, cap_px);
    if (align == Align::middle) {
        x -= 0.5F * wide;
    } else if (align == Align::right) {
        x -= wide;
    }
    x += canvas.note_name(note, cap_px, x, baseline, Align::left, ink) + 0.08F * cap_px;
    canvas.text(Face::music, 0.78F * cap_px, x, baseline, Align::left, ink, octave_of(note));
    return wide;
}

} // namespace bellhand::gui

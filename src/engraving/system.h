#pragma once

#include "engraving/columns.h"
#include "engraving/skyline.h"

#include <map>
#include <optional>
#include <vector>

namespace bellhand::engraving {

/// A head or rest in its place.
struct PlacedEvent {
    std::size_t event = 0;
    float x = 0.0F; ///< middle of the head
    int step = 4;   ///< staff step, 0 the bottom line
    bool stem_up = true;
    float stem_end = 0.0F; ///< y; of a note without a stem its head's
    [[nodiscard]] float y() const noexcept { return 0.5F * static_cast<float>(step); }
};

/// One line while it is being made: the parts below add to it in this order.
struct Making {
    Making(const Context& context_of,
           const std::vector<Chunk>& chunks_of_all,
           const Line& line_of,
           std::size_t number_of);

    void sign(Sign sign, Point at, What what, int event = kNoEvent, float size = 1.0F);
    void line(Point from, Point to, float thick, What what, int event = kNoEvent);
    void curve(const PlacedCurve& placed);
    /// Returns its width. `at` is its left end.
    float text(const std::string& words,
               Point at,
               float cap,
               TextFace face,
               What what,
               int event = kNoEvent);

    /// The event in this line; empty when it stands in another.
    [[nodiscard]] const PlacedEvent* placed(std::size_t event) const;
    /// Where a place in a bar stands: the first event there or after it, else the end of its bar; empty when the bar is not here.
    [[nodiscard]] std::optional<float> x_of(int bar, int tick) const;

    /// Where a time in a bar of this line lies, between two events as the time is.
    [[nodiscard]] float x_at(int bar, int tick) const;

    const Context& context;
    const std::vector<Chunk>& chunks;
    Line row;
    std::size_t number; ///< of the line
    std::vector<Column> columns;
    System system;
    Skyline sky;
    std::vector<PlacedEvent> events; ///< in order
    std::size_t first_event = 0;     ///< of the score, in this line
    std::size_t last_event = 0;      ///< past the last
    float notes_from = 0.0F;         ///< right of clef, key and metre
};

/// Staff, clef, key, metre, bar lines, rests of several bars, reminders at the end.
void draw_frame(Making& making);
/// Heads, accidentals, dots, rests, stems, flags, beams.
void draw_notes(Making& making);
/// Ties, slurs, tuplets.
void draw_curves(Making& making);
/// Articulations, hand signs, what stands above.
void draw_above(Making& making);
/// Dynamics, hairpins, expression.
void draw_below(Making& making);

} // namespace bellhand::engraving

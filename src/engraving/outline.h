#pragma once

#include <vector>

namespace bellhand::engraving {

struct Point {
    float x = 0.0F;
    float y = 0.0F;
};

/// Closed polygons, filled by non-zero winding. Units: staff spaces, y upwards.
struct Outline {
    std::vector<std::vector<Point>> loops; ///< filled where any of them covers
    std::vector<std::vector<Point>> holes; ///< cut out again
    Point low;                             ///< corners of what is drawn
    Point high;
};

/// The music signs that the program engraves itself.
enum class Sign {
    treble_clef,
    bass_clef,
    notehead,
    half_head,  ///< open, of half notes
    whole_head, ///< open and wide, of whole notes
    flag_up,    ///< of an eighth whose stem goes up; origin: the stem's end, at its left edge
    flag_down,
    quarter_rest, ///< origin of rests: on the middle line
    eighth_rest,
    flat,
    natural,
    sharp,
    left_parenthesis, ///< origin: the ends nearest to what it encloses, at the height of its middle
    right_parenthesis,
    bold_flat, ///< cut for standing beside a bold letter
    bold_sharp,
};

/// Its outline. Origin: clefs on the line they name (G or F), noteheads in their middle, accidentals on the line or space
/// they belong to, at their left edge.
[[nodiscard]] Outline outline_of(Sign sign);

} // namespace bellhand::engraving

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
    whole_rest, ///< origin of rests: on the middle line
    half_rest,
    quarter_rest,
    eighth_rest,
    sixteenth_rest,
    thirty_second_rest,
    sixty_fourth_rest,
    flat,
    natural,
    sharp,
    double_flat,
    double_sharp,
    left_parenthesis, ///< origin: the ends nearest to what it encloses, at the height of its middle
    right_parenthesis,
    bold_flat, ///< cut for standing beside a bold letter
    bold_sharp,
    figure_0, ///< origin of figures: at their left edge, in the middle of their height
    figure_1,
    figure_2,
    figure_3,
    figure_4,
    figure_5,
    figure_6,
    figure_7,
    figure_8,
    figure_9,
    figure_plus,
    common_time,
    cut_time,
    dot,     ///< origin: its middle
    fermata, ///< origin of marks: in the middle of their foot
    accent,
    segno,
    coda,
    letter_p, ///< of dynamics; origin: on the baseline, at the left
    letter_f,
    letter_m,
    letter_s,
    letter_z,
    letter_r,
    letter_t,
};

/// All of them, for whoever makes pictures of every one.
inline constexpr int kSigns = static_cast<int>(Sign::letter_t) + 1;

/// Its outline. Origin: clefs on the line they name (G or F), noteheads in their middle, accidentals on the line or space
/// they belong to, at their left edge.
[[nodiscard]] const Outline& outline_of(Sign sign);

} // namespace bellhand::engraving

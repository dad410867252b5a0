#pragma once

#include "engraving/outline.h"
#include "engraving/score.h"

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace bellhand::engraving {

// Lengths are staff spaces. Within a system y counts upwards from the bottom line of its staff, x from its left end; on a
// page y counts downwards from the top margin.

/// What a placed thing is: whoever draws chooses its colour by it, tests look for clashes by it.
enum class What {
    staff,
    clef,
    key,
    metre,
    bar_line,
    bar_number,
    head,
    accidental,
    dot,
    stem,
    ledger,
    beam,
    flag,
    rest,
    several_rests,
    tie,
    slur,
    tuplet,
    mark,
    hand,
    partial,
    remark,
    dynamic,
    hairpin,
    text,
    text_box,
    ending,
    heading,
};

enum class TextFace { plain, strong, italic, hand };

inline constexpr int kNoEvent = -1;

struct PlacedSign {
    Sign sign = Sign::notehead;
    Point at; ///< of its origin
    float size = 1.0F;
    What what = What::head;
    int event = kNoEvent; ///< index into the events of the score
};

/// A line whose ends are square; a beam's stand upright.
struct PlacedLine {
    Point from;
    Point to;
    float thick = 0.13F;
    What what = What::staff;
    int event = kNoEvent;
};

/// A tie or slur, thin at its ends: the curve through the middle of its ink (Bézier, cubic).
struct PlacedCurve {
    Point from;
    Point lead; ///< control points
    Point trail;
    Point to;
    float thick = 0.22F; ///< in its middle
    What what = What::tie;
    int event = kNoEvent;
};

struct PlacedText {
    std::string words;
    Point at; ///< left end of its baseline
    float cap = 1.0F;
    TextFace face = TextFace::plain;
    float width = 0.0F;
    What what = What::text;
    int event = kNoEvent;
};

/// A rectangle, y upwards.
struct Box {
    float left = 0.0F;
    float low = 0.0F;
    float right = 0.0F;
    float high = 0.0F;
};

[[nodiscard]] Box box_of(const PlacedSign& placed);
[[nodiscard]] Box box_of(const PlacedLine& placed) noexcept;
[[nodiscard]] Box box_of(const PlacedCurve& placed) noexcept;
[[nodiscard]] Box box_of(const PlacedText& placed) noexcept;

/// Where an event stands in its system: the middle of its head, and the room that belongs to it.
struct Slot {
    std::size_t event = 0;
    float x = 0.0F;
    float left = 0.0F;
    float right = 0.0F;
};

struct BarRoom {
    int bar = 0;
    float left = 0.0F;
    float right = 0.0F;
};

struct System {
    float width = 0.0F;
    float low = 0.0F;  ///< the lowest ink
    float high = 4.0F; ///< the highest
    std::vector<PlacedSign> signs;
    std::vector<PlacedLine> lines;
    std::vector<PlacedCurve> curves;
    std::vector<PlacedText> texts;
    std::vector<Slot> slots;
    std::vector<BarRoom> bars;
};

struct PlacedSystem {
    std::size_t system = 0;
    float bottom_line = 0.0F;
};

struct Page {
    std::vector<PlacedSystem> systems;
    std::vector<PlacedText> texts; ///< titles and numbers; y downwards from the top margin
};

struct Layout {
    std::vector<System> systems;
    std::vector<Page> pages; ///< none without a height of the page
};

struct PageStyle {
    float width = 100.0F;      ///< of a system
    float page_height = 0.0F;  ///< between the margins; 0: one endless row of systems
    float least_room = 0.0F;   ///< every note has at least so much, for what is written under it
    float room_below = 0.0F;   ///< kept under every system for the caller
    bool bar_numbers = true;   ///< at the head of every line
    bool stretch_last = false; ///< the last line is as wide as the others
    /// Width of a text, of capitals so high; of a hand sign for `TextFace::hand`. Empty: a rough guess.
    std::function<float(TextFace face, float cap, std::string_view words)> text_width{};
};

/// Lays a score out: lines are broken at bar lines where the notes come out most even (dynamic programming after Knuth
/// and Plass, 1981), a bar only where it is wider than a line; lines are justified, pages filled evenly and turned where
/// there are rests. The same input gives the same layout.
[[nodiscard]] Layout lay_out(const Score& score, const PageStyle& style);

} // namespace bellhand::engraving

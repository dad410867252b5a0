#pragma once

#include "engraving/layout.h"

#include <optional>
#include <vector>

namespace bellhand::engraving {

/// What is worked out once for a whole score.
struct Context {
    Context(const Score& score_of, const PageStyle& style_of);

    [[nodiscard]] float text_width(TextFace face, float cap, std::string_view words) const;
    /// The clef and key in force before the first event of `chunk` is read.
    [[nodiscard]] const Event& event(std::size_t index) const { return score.events[index]; }

    const Score& score;
    const PageStyle& style;
    std::vector<Metre> metres;                   ///< of bars
    std::vector<int> keys;                       ///< of bars
    std::vector<StaffClef> clefs;                ///< of events
    std::vector<std::optional<int>> accidentals; ///< of events
    std::vector<int> groups;                     ///< of events: under one beam
    std::vector<std::size_t> first_of_bar;       ///< of bars, and the end: index of an event
};

/// A bar, or a piece of one that is wider than a line: what a line is made of.
struct Chunk {
    int bar = 0;
    std::size_t first = 0; ///< events, `last` excluded
    std::size_t last = 0;
    bool begins_bar = true;
    bool ends_bar = true;
};

/// A line of chunks, `last` excluded.
struct Line {
    std::size_t first = 0;
    std::size_t last = 0;
};

enum class ColumnKind { start, event, several_rests, bar_line };

/// Something that stands in a line, from left to right.
struct Column {
    ColumnKind kind = ColumnKind::event;
    int bar = 0;
    std::size_t event = 0;
    float before = 0.0F; ///< what it needs on the left and the right of its x
    float after = 0.0F;
    float natural = 0.0F; ///< distance to the next, were there no hurry
    float x = 0.0F;
};

/// Widths of the things at the head of a line, a bar, and at the end of a line.
[[nodiscard]] float head_width(const Context& context, const Chunk& first);
[[nodiscard]] float change_width(const Bar& bar, int key_before);
[[nodiscard]] float
tail_width(const Context& context, std::size_t chunk_after, const std::vector<Chunk>& chunks);
[[nodiscard]] float key_width(int fifths) noexcept;
[[nodiscard]] float metre_width(const Metre& metre);
[[nodiscard]] Sign figure(char digit) noexcept;
/// Key signs that a change prints: its own, or so many naturals that take the old ones back.
[[nodiscard]] int printed_key(int key, int before) noexcept;

[[nodiscard]] std::vector<Chunk> chunks_of(const Context& context);
[[nodiscard]] std::vector<Line> lines_of(const Context& context, const std::vector<Chunk>& chunks);
/// The columns of a line, justified to the width of the style.
[[nodiscard]] std::vector<Column>
columns_of(const Context& context, const std::vector<Chunk>& chunks, const Line& line);

/// Half the width of a head at its size.
[[nodiscard]] float half_head(const Event& event) noexcept;
[[nodiscard]] float size_of(const Event& event) noexcept;

} // namespace bellhand::engraving

#include "engraving/columns.h"

#include "engraving/accidentals.h"
#include "engraving/metrics.h"
#include "engraving/values.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <limits>

namespace bellhand::engraving {

namespace {

// In staff spaces; common practice, no source.
constexpr float kGap = 0.35F;        // between the ink of neighbours
constexpr float kQuarterRoom = 3.7F; // natural distance after a quarter note
constexpr float kGrowth = 0.58F;     // of the distance with the length, as a power
constexpr float kBarLineRoom = 1.1F; // from a bar line to the note after it
constexpr float kClefRoom = 3.6F;    // of the clef at the head of a line
constexpr float kChangedClefRoom = 2.5F;
constexpr float kMostStretch = 1.9F;   // of a last line
constexpr float kFullLastLine = 0.72F; // from here on the last line is justified
constexpr float kFreeNote_quarters = 3.0F;

float natural_after(const Event& event) {
    if (event.grace) {
        return 0.0F;
    }
    const float quarters = event.ticks > 0
                               ? static_cast<float>(event.ticks) / static_cast<float>(kQuarter)
                               : kFreeNote_quarters;
    return kQuarterRoom * std::pow(std::clamp(quarters, 0.06F, 8.0F), kGrowth);
}

float sign_half_width(const Context& context, const Event& event) {
    float wide = 0.0F;
    if (!event.signs.empty()) {
        wide = context.text_width(TextFace::hand, metrics::kHandCap, event.signs);
    }
    if (!event.partial.empty()) {
        wide = std::max(wide,
                        context.text_width(TextFace::plain, metrics::kPartialCap, event.partial));
    }
    if (!event.remark.empty()) {
        wide = std::max(wide,
                        context.text_width(TextFace::italic, metrics::kPartialCap, event.remark));
    }
    return 0.5F * wide;
}

Column event_column(const Context& context, std::size_t index, bool clef_before_bar_line) {
    const Event& event = context.event(index);
    Column column;
    column.kind = ColumnKind::event;
    column.bar = event.bar;
    column.event = index;
    const float size = size_of(event);
    const float head = half_head(event);
    float left = head;
    float right = head;
    if (const auto& sign = context.accidentals[index]) {
        static constexpr float kWidths[] = {1.6F, 0.9F, 0.72F, 1.06F, 0.98F};
        left += size * (kWidths[static_cast<std::size_t>(*sign + 2)] + 0.25F);
    }
    right += size * 0.65F * static_cast<float>(event.value.dots);
    if (event.head && context.groups[index] < 0 && event.value.halvings > 2) {
        right += size * 0.9F; // a flag, where the stem goes up
    }
    const float sign = sign_half_width(context, event);
    left = std::max(left, sign);
    right = std::max(right, sign);
    if (!event.grace) {
        left = std::max(left, 0.4F * context.style.least_room);
        right = std::max(right, 0.6F * context.style.least_room);
    }
    if (event.clef && !clef_before_bar_line) {
        left += kChangedClefRoom;
    }
    column.before = left;
    column.after = right;
    column.natural = natural_after(event);
    return column;
}

bool clef_before_bar(const Context& context, const std::vector<Chunk>& chunks, std::size_t chunk) {
    if (chunk + 1 >= chunks.size()) {
        return false;
    }
    const Chunk& next = chunks[chunk + 1];
    return next.begins_bar && next.first < next.last && context.event(next.first).clef.has_value();
}

/// Columns without places. Of the first chunk the head of the line is left out.
std::vector<Column>
unplaced(const Context& context, const std::vector<Chunk>& chunks, const Line& line) {
    std::vector<Column> columns;
    for (std::size_t i = line.first; i < line.last; ++i) {
        const Chunk& chunk = chunks[i];
        const Bar& bar = context.score.bars[static_cast<std::size_t>(chunk.bar)];
        if (i == line.first) {
            Column start;
            start.kind = ColumnKind::start;
            start.bar = chunk.bar;
            columns.push_back(start);
        }
        if (bar.rests > 0) {
            Column rests;
            rests.kind = ColumnKind::several_rests;
            rests.bar = chunk.bar;
            const float half = 2.6F + 0.35F * std::log2(static_cast<float>(bar.rests));
            rests.before = half;
            rests.after = half;
            rests.natural = 1.7F * half;
            columns.push_back(rests);
        }
        for (std::size_t event = chunk.first; event < chunk.last; ++event) {
            columns.push_back(
                event_column(context, event, event == chunk.first && chunk.begins_bar));
        }
        if (!chunk.ends_bar) {
            continue;
        }
        Column end;
        end.kind = ColumnKind::bar_line;
        end.bar = chunk.bar;
        end.natural = kBarLineRoom;
        end.before = bar.repeat_ends ? 1.3F : bar.last ? 0.9F : 0.3F;
        end.before += clef_before_bar(context, chunks, i) ? kChangedClefRoom : 0.0F;
        end.after = 0.3F;
        if (i + 1 < line.last) {
            const Bar& next = context.score.bars[static_cast<std::size_t>(chunk.bar) + 1];
            end.after += change_width(next, context.keys[static_cast<std::size_t>(chunk.bar)]);
        }
        columns.push_back(end);
    }
    return columns;
}

float distance(const Column& one, const Column& next, float stretch) {
    const float rigid = one.after + kGap + next.before;
    // Bar lines stand nearer to the note before them than another note would.
    const float natural = one.kind == ColumnKind::bar_line || one.kind == ColumnKind::start
                              ? one.after + kBarLineRoom * std::min(stretch, 1.6F)
                          : next.kind == ColumnKind::bar_line
                              ? stretch * std::max(0.85F * one.natural, 0.1F)
                              : stretch * one.natural;
    return std::max(rigid, natural);
}

float width_of(const std::vector<Column>& columns, float stretch) {
    float wide = 0.0F;
    for (std::size_t i = 0; i + 1 < columns.size(); ++i) {
        wide += distance(columns[i], columns[i + 1], stretch);
    }
    // A line that ends inside a bar ends with a note.
    return wide + (columns.back().kind == ColumnKind::bar_line ? 0.0F : columns.back().after);
}

/// How wide a chunk is as it likes, and as narrow as it can be.
struct Widths {
    float natural = 0.0F;
    float least = 0.0F;
};

std::vector<Widths> widths_of(const Context& context, const std::vector<Chunk>& chunks) {
    std::vector<Widths> widths;
    for (std::size_t i = 0; i < chunks.size(); ++i) {
        const std::vector<Column> columns = unplaced(context, chunks, {i, i + 1});
        const Bar& bar = context.score.bars[static_cast<std::size_t>(chunks[i].bar)];
        const int before =
            chunks[i].bar > 0 ? context.keys[static_cast<std::size_t>(chunks[i].bar) - 1] : 0;
        const float changes = chunks[i].begins_bar ? change_width(bar, before) : 0.0F;
        widths.push_back({width_of(columns, 1.0F) + changes, width_of(columns, 0.0F) + changes});
    }
    return widths;
}

} // namespace

float size_of(const Event& event) noexcept {
    return event.grace || event.cue ? metrics::kGraceSize : 1.0F;
}

float half_head(const Event& event) noexcept {
    if (!event.head) {
        return 0.55F;
    }
    return size_of(event) * (event.value.halvings <= 0 ? 0.84F : 0.59F);
}

Context::Context(const Score& score_of, const PageStyle& style_of)
    : score(score_of),
      style(style_of),
      metres(metres_of(score_of)),
      accidentals(printed_accidentals(score_of)),
      groups(beam_groups(score_of, metres)) {
    int key = 0;
    for (const Bar& bar : score.bars) {
        key = bar.key.value_or(key);
        keys.push_back(key);
    }
    StaffClef clef = score.clef;
    std::size_t next = 0;
    for (std::size_t bar = 0; bar <= score.bars.size(); ++bar) {
        while (next < score.events.size() && score.events[next].bar < static_cast<int>(bar)) {
            ++next;
        }
        first_of_bar.push_back(bar < score.bars.size() ? next : score.events.size());
    }
    for (const Event& event : score.events) {
        clef = event.clef.value_or(clef);
        clefs.push_back(clef);
    }
}

float Context::text_width(TextFace face, float cap, std::string_view words) const {
    if (style.text_width) {
        return style.text_width(face, cap, words);
    }
    const auto letters = std::count_if(words.begin(), words.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
    });
    return cap * 0.8F * static_cast<float>(letters);
}

Sign figure(char digit) noexcept {
    return digit == '+' ? Sign::figure_plus
                        : static_cast<Sign>(static_cast<int>(Sign::figure_0) + (digit - '0'));
}

float key_width(int fifths) noexcept {
    return fifths == 0 ? 0.0F : 1.0F * static_cast<float>(std::abs(fifths)) + 0.7F;
}

int printed_key(int key, int before) noexcept {
    return key != 0 ? key : before;
}

float metre_width(const Metre& metre) {
    if (metre.symbol) {
        return 2.4F;
    }
    std::size_t digits = std::max(metre.figures.size(), std::to_string(metre.beat_type).size());
    return 1.55F * static_cast<float>(digits) + 0.8F;
}

float change_width(const Bar& bar, int key_before) {
    float wide = 0.0F;
    if (bar.key) {
        wide += key_width(printed_key(*bar.key, key_before));
    }
    if (bar.metre) {
        wide += metre_width(*bar.metre);
    }
    wide += wide > 0.0F ? 0.5F : 0.0F;
    return wide + (bar.repeat_begins ? 1.6F : 0.0F);
}

float head_width(const Context& context, const Chunk& first) {
    const auto bar = static_cast<std::size_t>(first.bar);
    const Bar& begin = context.score.bars[bar];
    float wide = kClefRoom + key_width(context.keys[bar]);
    if (begin.metre && first.begins_bar) {
        wide += metre_width(*begin.metre);
    }
    return wide + (begin.repeat_begins && first.begins_bar ? 1.6F : 0.0F);
}

float tail_width(const Context& context,
                 std::size_t chunk_after,
                 const std::vector<Chunk>& chunks) {
    if (chunk_after >= chunks.size() || !chunks[chunk_after].begins_bar) {
        return 0.0F;
    }
    const auto bar = static_cast<std::size_t>(chunks[chunk_after].bar);
    Bar changes = context.score.bars[bar];
    changes.repeat_begins = false;
    return change_width(changes, bar > 0 ? context.keys[bar - 1] : 0);
}

std::vector<Chunk> chunks_of(const Context& context) {
    std::vector<Chunk> chunks;
    for (std::size_t bar = 0; bar < context.score.bars.size(); ++bar) {
        Chunk whole{
            static_cast<int>(bar), context.first_of_bar[bar], context.first_of_bar[bar + 1]};
        const float room = context.style.width - head_width(context, whole) - 1.0F;
        const auto wide = [&](const Chunk& chunk) {
            const std::vector<Chunk> alone{chunk};
            return width_of(unplaced(context, alone, {0, 1}), 0.0F);
        };
        // Wider than a line: cut between beams, as late as it goes.
        while (wide(whole) > room) {
            Chunk piece = whole;
            piece.ends_bar = false;
            std::size_t cut = whole.first;
            for (std::size_t i = whole.first + 1; i < whole.last; ++i) {
                const bool under_beam =
                    context.groups[i] >= 0 && context.groups[i] == context.groups[i - 1];
                const bool may = !under_beam && !context.event(i - 1).grace;
                piece.last = i;
                if (may && (cut == whole.first || wide(piece) <= room)) {
                    cut = i;
                }
                if (wide(piece) > room && cut > whole.first) {
                    break;
                }
            }
            if (cut == whole.first) {
                break;
            }
            piece.last = cut;
            chunks.push_back(piece);
            whole.first = cut;
            whole.begins_bar = false;
        }
        chunks.push_back(whole);
    }
    return chunks;
}

std::vector<Line> lines_of(const Context& context, const std::vector<Chunk>& chunks) {
    const std::vector<Widths> widths = widths_of(context, chunks);
    const std::size_t count = chunks.size();
    constexpr double kNever = std::numeric_limits<double>::infinity();
    std::vector<double> best(count + 1, kNever);
    std::vector<std::size_t> from(count + 1, 0);
    best[0] = 0.0;
    for (std::size_t begin = 0; begin < count; ++begin) {
        if (best[begin] == kNever) {
            continue;
        }
        const float head = head_width(context, chunks[begin]);
        float natural = 0.0F;
        float least = 0.0F;
        for (std::size_t end = begin + 1; end <= count; ++end) {
            natural += widths[end - 1].natural;
            least += widths[end - 1].least;
            const float room = context.style.width - head - tail_width(context, end, chunks);
            const bool fits = least <= room;
            if (!fits && end > begin + 1) {
                break;
            }
            const double ratio = std::log(static_cast<double>(room / std::max(1.0F, natural)));
            double bad = (fits ? 0.0 : 1000.0) + 100.0 * ratio * ratio * (ratio > 0 ? 1.0 : 2.0);
            if (end == count && ratio > 0.0) {
                bad *= 0.05; // the last line may be short
            }
            bad += 1.0; // fewer lines
            if (best[begin] + bad < best[end]) {
                best[end] = best[begin] + bad;
                from[end] = begin;
            }
        }
    }
    std::vector<Line> lines;
    for (std::size_t end = count; end > 0; end = from[end]) {
        lines.push_back({from[end], end});
    }
    std::reverse(lines.begin(), lines.end());
    return lines;
}

std::vector<Column>
columns_of(const Context& context, const std::vector<Chunk>& chunks, const Line& line) {
    std::vector<Column> columns = unplaced(context, chunks, line);
    const float head = head_width(context, chunks[line.first]);
    float room = context.style.width - head - tail_width(context, line.last, chunks);
    const float natural = width_of(columns, 1.0F);
    const bool last = line.last == chunks.size();
    float low = 0.0F;
    float high = 12.0F;
    if (last && !context.style.stretch_last && natural < kFullLastLine * room) {
        room = std::min(room, natural * 1.15F);
        high = kMostStretch;
    }
    constexpr int kHalvings = 40;
    for (int i = 0; i < kHalvings; ++i) {
        const float middle = 0.5F * (low + high);
        (width_of(columns, middle) < room ? low : high) = middle;
    }
    float x = head;
    // Too much for a line: everything moves together.
    const float squeeze = std::min(1.0F, room / std::max(1.0F, width_of(columns, low)));
    for (std::size_t i = 0; i < columns.size(); ++i) {
        columns[i].x = x;
        if (i + 1 < columns.size()) {
            x += squeeze * distance(columns[i], columns[i + 1], low);
        }
    }
    return columns;
}

} // namespace bellhand::engraving

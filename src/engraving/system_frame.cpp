#include "engraving/accidentals.h"
#include "engraving/metrics.h"
#include "engraving/system.h"

#include <algorithm>
#include <cstdlib>

namespace bellhand::engraving {

namespace {

constexpr float kTop = 4.0F;
constexpr float kMiddle = 2.0F;

void draw_clef(Making& making, const StaffClef& clef, float left, float size) {
    const bool treble = clef.clef == Clef::treble;
    const Sign sign = treble ? Sign::treble_clef : Sign::bass_clef;
    const float x = left - size * outline_of(sign).low.x;
    making.sign(sign, {x, treble ? 1.0F : 3.0F}, What::clef, kNoEvent, size);
    if (clef.octaves != 0) {
        const float y = clef.octaves > 0 ? (treble ? 5.9F : 4.8F) : (treble ? -2.3F : -0.9F);
        making.sign(Sign::figure_8, {x - 0.3F, y}, What::clef, kNoEvent, 0.55F);
    }
}

/// Returns where it ends.
float draw_key(Making& making, int fifths, int before, Clef clef, float x) {
    const int printed = printed_key(fifths, before);
    const Sign sign = fifths > 0 ? Sign::sharp : fifths < 0 ? Sign::flat : Sign::natural;
    for (const int step : key_steps(printed, clef)) {
        making.sign(sign, {x, 0.5F * static_cast<float>(step)}, What::key);
        x += 1.0F;
    }
    return x + (printed != 0 ? 0.7F : 0.0F);
}

void draw_figures(Making& making, const std::string& digits, float middle, float y) {
    float wide = 0.0F;
    for (const char digit : digits) {
        wide += outline_of(figure(digit)).high.x;
    }
    float x = middle - 0.5F * wide;
    for (const char digit : digits) {
        making.sign(figure(digit), {x, y}, What::metre);
        x += outline_of(figure(digit)).high.x;
    }
}

float draw_metre(Making& making, const Metre& metre, float x) {
    const float wide = metre_width(metre);
    if (metre.symbol) {
        making.sign(
            metre.beat_type == 2 ? Sign::cut_time : Sign::common_time, {x, kMiddle}, What::metre);
        return x + wide;
    }
    const float middle = x + 0.5F * (wide - 0.8F);
    draw_figures(making, metre.figures, middle, 3.0F);
    draw_figures(making, std::to_string(metre.beat_type), middle, 1.0F);
    return x + wide;
}

void upright(Making& making, float x, float thick) {
    making.line({x, 0.0F}, {x, kTop}, thick, What::bar_line);
}

void dots_at(Making& making, float x) {
    making.sign(Sign::dot, {x, 1.5F}, What::bar_line);
    making.sign(Sign::dot, {x, 2.5F}, What::bar_line);
}

/// `x` is its left edge; returns where it ends.
float draw_repeat_begin(Making& making, float x) {
    using namespace metrics;
    upright(making, x + 0.5F * kThickBarLine, kThickBarLine);
    x += kThickBarLine + kBetweenBarLines;
    upright(making, x + 0.5F * kThinBarLine, kThinBarLine);
    x += kThinBarLine + kRepeatDots + 0.2F;
    dots_at(making, x);
    return x + 0.2F;
}

/// A bar line whose right edge is `x`.
void draw_bar_line(Making& making, const Bar& bar, bool replaced, float x) {
    using namespace metrics;
    if (bar.open || (replaced && !bar.repeat_ends)) {
        return;
    }
    if (bar.last || bar.repeat_ends) {
        upright(making, x - 0.5F * kThickBarLine, kThickBarLine);
        x -= kThickBarLine + kBetweenBarLines;
    }
    upright(making, x - 0.5F * kThinBarLine, kThinBarLine);
    if (bar.repeat_ends) {
        dots_at(making, x - kThinBarLine - kRepeatDots - 0.2F);
    }
}

float draw_changes(
    Making& making, const Bar& bar, int before, Clef clef, float x, bool with_repeat) {
    if (bar.key) {
        x = draw_key(making, *bar.key, before, clef, x);
    }
    if (bar.metre) {
        x = draw_metre(making, *bar.metre, x);
    }
    return with_repeat && bar.repeat_begins ? draw_repeat_begin(making, x) : x;
}

void draw_head(Making& making) {
    const Context& context = making.context;
    const Chunk& first = making.chunks[making.row.first];
    const auto index = static_cast<std::size_t>(first.bar);
    const Bar& bar = context.score.bars[index];
    StaffClef clef = context.score.clef;
    if (first.first < context.clefs.size()) {
        clef = context.clefs[first.first];
    } else if (!context.clefs.empty()) {
        clef = context.clefs.back();
    }
    draw_clef(making, clef, 0.5F, 1.0F);
    float x = draw_key(making, context.keys[index], 0, clef.clef, 3.6F);
    if (first.begins_bar) {
        Bar rest = bar;
        rest.key.reset();
        x = draw_changes(making, rest, 0, clef.clef, x, true);
    }
    making.notes_from = x;
    if (context.style.bar_numbers && making.number > 0 && first.begins_bar && !bar.number.empty()) {
        const float wide = context.text_width(TextFace::plain, metrics::kNumberCap, bar.number);
        const float y = std::max(5.4F, making.sky.above(0.1F, 0.1F + wide) + 0.4F);
        making.text(bar.number, {0.1F, y}, metrics::kNumberCap, TextFace::plain, What::bar_number);
    }
}

void draw_several_rests(Making& making, const Column& column, float left, float right) {
    const int bars = making.context.score.bars[static_cast<std::size_t>(column.bar)].rests;
    const float from = left + 0.9F;
    const float to = right - 0.9F;
    making.line({from, kMiddle}, {to, kMiddle}, 0.8F * metrics::kRestBar, What::several_rests);
    for (const float x : {from, to}) {
        making.line({x, kMiddle - 1.0F}, {x, kMiddle + 1.0F}, 0.16F, What::several_rests);
    }
    draw_figures(making, std::to_string(bars), 0.5F * (from + to), 5.7F);
}

} // namespace

Making::Making(const Context& context_of,
               const std::vector<Chunk>& chunks_of_all,
               const Line& line_of,
               std::size_t number_of)
    : context(context_of),
      chunks(chunks_of_all),
      row(line_of),
      number(number_of),
      columns(columns_of(context_of, chunks_of_all, line_of)),
      first_event(chunks_of_all[line_of.first].first),
      last_event(chunks_of_all[line_of.last - 1].last) {
    system.width = columns.back().x;
}

void Making::sign(Sign sign, Point at, What what, int event, float size) {
    system.signs.push_back({sign, at, size, what, event});
    sky.add(box_of(system.signs.back()));
}

void Making::line(Point from, Point to, float thick, What what, int event) {
    system.lines.push_back({from, to, thick, what, event});
    sky.add(box_of(system.lines.back()));
}

void Making::curve(const PlacedCurve& placed) {
    system.curves.push_back(placed);
    // In pieces, so that what stands beside it need not keep clear of all of it.
    constexpr int kPieces = 8;
    const auto at = [&placed](float t) {
        const float u = 1.0F - t;
        const auto mix = [&](float a, float b, float c, float d) {
            return u * u * u * a + 3.0F * u * u * t * b + 3.0F * u * t * t * c + t * t * t * d;
        };
        return Point{mix(placed.from.x, placed.lead.x, placed.trail.x, placed.to.x),
                     mix(placed.from.y, placed.lead.y, placed.trail.y, placed.to.y)};
    };
    for (int i = 0; i < kPieces; ++i) {
        const Point a = at(static_cast<float>(i) / kPieces);
        const Point b = at(static_cast<float>(i + 1) / kPieces);
        sky.add({a.x, std::min(a.y, b.y) - 0.11F, b.x, std::max(a.y, b.y) + 0.11F});
    }
}

float Making::text(
    const std::string& words, Point at, float cap, TextFace face, What what, int event) {
    const float wide = context.text_width(face, cap, words);
    system.texts.push_back({words, at, cap, face, wide, what, event});
    sky.add(box_of(system.texts.back()));
    return wide;
}

const PlacedEvent* Making::placed(std::size_t event) const {
    return event >= first_event && event < last_event ? &events[event - first_event] : nullptr;
}

std::optional<float> Making::x_of(int bar, int tick) const {
    std::optional<float> found;
    for (const Column& column : columns) {
        if (column.bar != bar || column.kind == ColumnKind::start) {
            continue;
        }
        if (column.kind == ColumnKind::several_rests) {
            return column.x - column.before + 0.9F;
        }
        if (column.kind == ColumnKind::bar_line) {
            return found ? found : column.x;
        }
        const Event& event = context.event(column.event);
        found = column.x;
        if (event.tick >= tick && (!event.grace || tick == event.tick)) {
            return column.x;
        }
    }
    return found;
}

float Making::x_at(int bar, int tick) const {
    float before_x = notes_from;
    int before = 0;
    for (const Column& column : columns) {
        if (column.bar != bar || column.kind == ColumnKind::start) {
            continue;
        }
        const bool is_event = column.kind == ColumnKind::event;
        const int now = is_event ? context.event(column.event).tick
                                 : context.score.bars[static_cast<std::size_t>(bar)].ticks;
        const float x = column.x - (is_event ? 0.0F : 0.6F);
        if (now >= tick && now > before) {
            const float share =
                static_cast<float>(tick - before) / static_cast<float>(now - before);
            return before_x + share * (x - before_x);
        }
        before = now;
        before_x = x;
    }
    return before_x;
}

void draw_frame(Making& making) {
    const Context& context = making.context;
    draw_head(making);
    float left = making.notes_from;
    for (std::size_t i = 0; i < making.columns.size(); ++i) {
        const Column& column = making.columns[i];
        if (column.kind == ColumnKind::several_rests) {
            const float right = making.columns[i + 1].x - making.columns[i + 1].before;
            draw_several_rests(making, column, left, right);
        }
        if (column.kind != ColumnKind::bar_line) {
            continue;
        }
        const auto index = static_cast<std::size_t>(column.bar);
        const Bar& bar = context.score.bars[index];
        const bool last = i + 1 == making.columns.size();
        const bool repeat_follows = !last && index + 1 < context.score.bars.size() &&
                                    context.score.bars[index + 1].repeat_begins &&
                                    !context.score.bars[index + 1].metre &&
                                    !context.score.bars[index + 1].key;
        draw_bar_line(making, bar, repeat_follows, column.x);
        making.system.bars.push_back({column.bar, left, column.x});
        left = column.x;
        if (index + 1 < context.score.bars.size()) {
            const std::size_t next = context.first_of_bar[index + 1];
            const Clef clef = next < context.clefs.size() ? context.clefs[next].clef
                              : context.clefs.empty()     ? context.score.clef.clef
                                                          : context.clefs.back().clef;
            const Bar& following = context.score.bars[index + 1];
            // At the end of a line a reminder of what the next one begins with.
            const float ends = draw_changes(making,
                                            following,
                                            context.keys[index],
                                            clef,
                                            column.x + (repeat_follows ? 0.0F : 0.6F),
                                            !last);
            if (last && ends > column.x + 0.7F) {
                making.system.width = ends - 0.2F;
            } else if (!last) {
                left = ends > column.x + 0.7F ? ends : column.x;
            }
        }
    }
    const Column& end = making.columns.back();
    if (end.kind != ColumnKind::bar_line) { // a line that ends inside a bar
        making.system.width = context.style.width;
        making.system.bars.push_back({end.bar, left, making.system.width});
    }
    std::vector<PlacedLine> staff; // under everything else
    for (int i = 0; i < 5; ++i) {
        const auto y = static_cast<float>(i);
        staff.push_back(
            {{0.0F, y}, {making.system.width, y}, metrics::kStaffLine, What::staff, kNoEvent});
    }
    making.system.lines.insert(making.system.lines.begin(), staff.begin(), staff.end());
    for (const Column& column : making.columns) {
        if (column.kind != ColumnKind::event) {
            continue;
        }
        const Event& event = context.event(column.event);
        const bool at_start = column.event == making.first_event;
        if (!event.clef || at_start) {
            continue;
        }
        const bool begins_bar =
            column.event == context.first_of_bar[static_cast<std::size_t>(event.bar)];
        float x = column.x - column.before + 0.2F;
        if (begins_bar) { // it stands before the bar line
            const auto line = std::find_if(
                making.columns.begin(), making.columns.end(), [&event](const Column& other) {
                    return other.kind == ColumnKind::bar_line && other.bar == event.bar - 1;
                });
            x = line->x - line->before + 0.5F;
        }
        draw_clef(making, *event.clef, x, 0.75F);
    }
    // The clef that the next line begins with is told at the end of this one.
    if (making.row.last < making.chunks.size() && end.kind == ColumnKind::bar_line) {
        const Chunk& next = making.chunks[making.row.last];
        if (next.first < next.last && context.event(next.first).clef) {
            draw_clef(making, *context.event(next.first).clef, end.x - end.before + 0.5F, 0.75F);
        }
    }
}

} // namespace bellhand::engraving

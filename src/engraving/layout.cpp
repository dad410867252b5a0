#include "engraving/layout.h"

#include "engraving/columns.h"
#include "engraving/metrics.h"
#include "engraving/system.h"

#include <algorithm>
#include <string>

namespace bellhand::engraving {

namespace {

constexpr float kTitleCap = 2.3F;
constexpr float kNameCap = 1.4F;
constexpr float kBetweenSystems = 1.6F; // of their ink, at the least
constexpr float kMostBetween = 5.0F;
constexpr float kRunningHead = 3.2F; // title and page number on the pages after the first

void measure(System& system) {
    const auto take = [&system](const auto& placed) {
        for (const auto& one : placed) {
            const Box box = box_of(one);
            system.low = std::min(system.low, box.low);
            system.high = std::max(system.high, box.high);
        }
    };
    take(system.signs);
    take(system.lines);
    take(system.curves);
    take(system.texts);
}

System make_system(const Context& context,
                   const std::vector<Chunk>& chunks,
                   const Line& line,
                   std::size_t number) {
    Making making(context, chunks, line, number);
    draw_frame(making);
    draw_notes(making);
    draw_curves(making);
    draw_above(making);
    draw_below(making);
    measure(making.system);
    making.system.low -= context.style.room_below;
    return std::move(making.system);
}

/// How good the end of a system is for turning the page: quarters of rest there and at the beginning of the next one.
float rest_around(const Score& score, const System& before, const System& after) {
    const auto rest_of = [&score](const Slot& slot) {
        const Event& event = score.events[slot.event];
        return event.head ? -1.0F : static_cast<float>(event.ticks) / kQuarter;
    };
    const auto bar_rests = [&score](const BarRoom& room) {
        return 4.0F * static_cast<float>(score.bars[static_cast<std::size_t>(room.bar)].rests);
    };
    float rest = bar_rests(before.bars.back()) + bar_rests(after.bars.front());
    for (auto slot = before.slots.rbegin(); bar_rests(before.bars.back()) == 0.0F &&
                                            slot != before.slots.rend() && rest_of(*slot) >= 0.0F;
         ++slot) {
        rest += rest_of(*slot);
    }
    for (auto slot = after.slots.begin(); bar_rests(after.bars.front()) == 0.0F &&
                                          slot != after.slots.end() && rest_of(*slot) >= 0.0F;
         ++slot) {
        rest += rest_of(*slot);
    }
    return rest;
}

class Paging {
public:
    Paging(const Context& context, Layout& layout) : context_(context), layout_(layout) {}

    void fill() {
        std::size_t first = 0;
        while (first < layout_.systems.size()) {
            Page page;
            const float top = heading(page);
            const std::size_t last = end_of_page(first, top);
            spread(page, first, last, top);
            layout_.pages.push_back(std::move(page));
            first = last;
        }
    }

private:
    float put(Page& page,
              const std::string& words,
              float cap,
              TextFace face,
              float x,
              float baseline,
              float side) {
        const float wide = context_.text_width(face, cap, words);
        page.texts.push_back(
            {words, {x - side * wide, baseline}, cap, face, wide, What::heading, kNoEvent});
        return wide;
    }

    /// Returns where the first system may begin.
    float heading(Page& page) {
        const Score& score = context_.score;
        const std::size_t number = layout_.pages.size() + 1;
        const float width = context_.style.width;
        if (number > 1) {
            put(page,
                std::to_string(number),
                1.2F,
                TextFace::plain,
                number % 2 == 0 ? 0.0F : width,
                1.2F,
                number % 2 == 0 ? 0.0F : 1.0F);
            const std::string running =
                score.title + (score.title.empty() || score.name.empty() ? "" : ", ") + score.name;
            put(page,
                fitted(running, 1.0F, TextFace::plain, 0.8F * width),
                1.0F,
                TextFace::plain,
                0.5F * width,
                1.2F,
                0.5F);
            return kRunningHead;
        }
        float y = 0.0F;
        if (!score.title.empty()) {
            y += kTitleCap;
            const float wide = context_.text_width(TextFace::strong, kTitleCap, score.title);
            const float cap = kTitleCap * std::min(1.0F, 0.98F * width / std::max(1.0F, wide));
            put(page, score.title, cap, TextFace::strong, 0.5F * width, y, 0.5F);
            y += 1.8F;
        }
        y += kNameCap;
        const float room = 0.48F * width;
        put(page,
            fitted(score.crook, kNameCap, TextFace::strong, room),
            kNameCap,
            TextFace::strong,
            0.0F,
            y,
            0.0F);
        put(page,
            fitted(score.name, kNameCap, TextFace::plain, room),
            kNameCap,
            TextFace::plain,
            width,
            y,
            1.0F);
        return y + 1.4F;
    }

    [[nodiscard]] std::string
    fitted(const std::string& words, float cap, TextFace face, float room) const {
        std::string cut = words;
        while (!cut.empty() && context_.text_width(face, cap, cut + "…") > room &&
               context_.text_width(face, cap, words) > room) {
            do {
                cut.pop_back();
            } while (!cut.empty() && (static_cast<unsigned char>(cut.back()) & 0xC0U) == 0x80U);
            if (!cut.empty() && (static_cast<unsigned char>(cut.back()) & 0x80U) != 0U) {
                cut.pop_back();
            }
        }
        return cut.size() == words.size() ? words : cut + "…";
    }

    [[nodiscard]] float height_of(std::size_t first, std::size_t last) const {
        float height = 0.0F;
        for (std::size_t i = first; i < last; ++i) {
            height += layout_.systems[i].high - layout_.systems[i].low;
            height += i > first ? kBetweenSystems : 0.0F;
        }
        return height;
    }

    [[nodiscard]] std::size_t end_of_page(std::size_t first, float top) const {
        const float room = context_.style.page_height - top;
        std::size_t last = first + 1;
        while (last < layout_.systems.size() && height_of(first, last + 1) <= room) {
            ++last;
        }
        const bool turned =
            layout_.pages.size() % 2 == 0; // a right-hand page; the hand needs a rest after it
        if (last >= layout_.systems.size() || !turned || last - first < 5) {
            return last;
        }
        std::size_t best = last;
        float best_rest = 0.0F;
        for (std::size_t end = last; end + 2 >= last; --end) {
            const float rest =
                rest_around(context_.score, layout_.systems[end - 1], layout_.systems[end]) -
                1.0F * static_cast<float>(last - end);
            if (rest > best_rest + 0.01F) {
                best = end;
                best_rest = rest;
            }
        }
        return best;
    }

    void spread(Page& page, std::size_t first, std::size_t last, float top) const {
        const float room = context_.style.page_height - top;
        const float spare = std::max(0.0F, room - height_of(first, last));
        const auto gaps = static_cast<float>(last - first > 1 ? last - first - 1 : 1);
        const float between =
            kBetweenSystems + std::min(spare / gaps, kMostBetween - kBetweenSystems);
        float y = top;
        for (std::size_t i = first; i < last; ++i) {
            y += layout_.systems[i].high;
            page.systems.push_back({i, y});
            y += between - layout_.systems[i].low;
        }
    }

    const Context& context_;
    Layout& layout_;
};

} // namespace

Box box_of(const PlacedSign& placed) {
    const Outline& outline = outline_of(placed.sign);
    return {placed.at.x + placed.size * outline.low.x,
            placed.at.y + placed.size * outline.low.y,
            placed.at.x + placed.size * outline.high.x,
            placed.at.y + placed.size * outline.high.y};
}

Box box_of(const PlacedLine& placed) noexcept {
    const float half = 0.5F * placed.thick;
    const bool upright = placed.from.x == placed.to.x;
    return {std::min(placed.from.x, placed.to.x) - (upright ? half : 0.0F),
            std::min(placed.from.y, placed.to.y) - (upright ? 0.0F : half),
            std::max(placed.from.x, placed.to.x) + (upright ? half : 0.0F),
            std::max(placed.from.y, placed.to.y) + (upright ? 0.0F : half)};
}

Box box_of(const PlacedCurve& placed) noexcept {
    // The curve reaches three quarters of the way to its control points.
    const auto reach = [](float end, float other, float lead, float trail) {
        return 0.125F * (end + other) + 0.375F * (lead + trail);
    };
    const float middle = reach(placed.from.y, placed.to.y, placed.lead.y, placed.trail.y);
    const float half = 0.5F * placed.thick;
    return {placed.from.x,
            std::min({placed.from.y, placed.to.y, middle}) - half,
            placed.to.x,
            std::max({placed.from.y, placed.to.y, middle}) + half};
}

Box box_of(const PlacedText& placed) noexcept {
    const bool hand = placed.face == TextFace::hand;
    const float under = hand ? 0.0F : 0.28F * placed.cap;
    return {placed.at.x, placed.at.y - under, placed.at.x + placed.width, placed.at.y + placed.cap};
}

Layout lay_out(const Score& score, const PageStyle& style) {
    Layout layout;
    if (score.bars.empty()) {
        return layout;
    }
    const Context context(score, style);
    const std::vector<Chunk> chunks = chunks_of(context);
    for (const Line& line : lines_of(context, chunks)) {
        layout.systems.push_back(make_system(context, chunks, line, layout.systems.size()));
    }
    if (style.page_height > 0.0F) {
        Paging(context, layout).fill();
    }
    return layout;
}

} // namespace bellhand::engraving

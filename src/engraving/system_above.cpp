#include "engraving/metrics.h"
#include "engraving/system.h"

#include <algorithm>

namespace bellhand::engraving {

namespace {

class Above {
public:
    explicit Above(Making& making) : making_(making), context_(making.context) {}

    void draw() {
        for (const PlacedEvent& placed : making_.events) {
            articulations(placed);
        }
        for (const PlacedEvent& placed : making_.events) {
            over_staff(placed);
        }
        hand_row();
        endings();
        for (const Text& text : context_.score.texts) {
            if (text.kind != TextKind::dynamic && text.kind != TextKind::expression) {
                draw_text(text);
            }
        }
    }

private:
    void articulations(const PlacedEvent& placed) {
        const Event& event = context_.event(placed.event);
        if (!event.head) {
            return;
        }
        const bool up = !placed.stem_up; // on the side of the head
        float y = placed.y();
        const auto beyond = [&] {
            return up ? making_.sky.above(placed.x - 0.5F, placed.x + 0.5F)
                      : making_.sky.below(placed.x - 0.5F, placed.x + 0.5F);
        };
        if (event.staccato) {
            // In the next space; beyond the staff or a tie outside it.
            int step = placed.step + (up ? 2 : -2);
            step += step % 2 == 0 && step > -1 && step < 9 ? (up ? 1 : -1) : 0;
            y = 0.5F * static_cast<float>(step);
            if (event.tie || step < 0 || step > 8) {
                y = up ? std::max(y, beyond() + 0.5F) : std::min(y, beyond() - 0.5F);
            }
            making_.sign(
                Sign::dot, {placed.x, y}, What::mark, static_cast<int>(placed.event), 0.85F);
        }
        if (event.accent) {
            const float at = up ? beyond() + 0.35F : beyond() - 1.35F;
            making_.sign(Sign::accent, {placed.x, at}, What::mark, static_cast<int>(placed.event));
        }
    }

    void over_staff(const PlacedEvent& placed) {
        const Event& event = context_.event(placed.event);
        const int index = static_cast<int>(placed.event);
        if (event.trill && event.head) {
            const float y = making_.sky.above(placed.x - 0.8F, placed.x + 1.6F) + 0.5F;
            making_.sign(Sign::letter_t, {placed.x - 0.9F, y}, What::mark, index);
            making_.sign(Sign::letter_r, {placed.x - 0.1F, y}, What::mark, index);
        }
        if (event.fermata) {
            const float y = making_.sky.above(placed.x - 1.2F, placed.x + 1.2F) + 0.4F;
            making_.sign(Sign::fermata, {placed.x, y}, What::mark, index);
        }
    }

    void hand_row() {
        float y = 5.2F;
        bool any = false;
        for (const PlacedEvent& placed : making_.events) {
            const Event& event = context_.event(placed.event);
            if (event.signs.empty()) {
                continue;
            }
            any = true;
            const float half =
                0.5F * context_.text_width(TextFace::hand, metrics::kHandCap, event.signs) + 0.1F;
            y = std::max(y, making_.sky.above(placed.x - half, placed.x + half) + 0.6F);
        }
        if (!any) {
            y = 4.4F;
        }
        row(y, metrics::kHandCap, TextFace::hand, What::hand, &Event::signs);
        const float over = y + (any ? metrics::kHandCap + 0.45F : 0.8F);
        const bool partials =
            row(over, metrics::kPartialCap, TextFace::plain, What::partial, &Event::partial);
        row(partials ? over + 1.3F : over,
            metrics::kPartialCap,
            TextFace::italic,
            What::remark,
            &Event::remark);
    }

    bool row(float y, float cap, TextFace face, What what, std::string Event::*words) {
        bool any = false;
        for (const PlacedEvent& placed : making_.events) {
            const std::string& text = context_.event(placed.event).*words;
            if (!text.empty()) {
                const float wide = context_.text_width(face, cap, text);
                making_.text(text,
                             {placed.x - 0.5F * wide, y},
                             cap,
                             face,
                             what,
                             static_cast<int>(placed.event));
                any = true;
            }
        }
        return any;
    }

    /// The bracket in force at the beginning of this line, told by its number.
    [[nodiscard]] std::string ending_before(int bar) const {
        for (int i = bar - 1; i >= 0; --i) {
            const Bar& before = context_.score.bars[static_cast<std::size_t>(i)];
            if (before.ending_ends || before.repeat_ends) {
                return {};
            }
            if (!before.ending.empty()) {
                return before.ending;
            }
        }
        return {};
    }

    void endings() {
        std::size_t i = 0;
        bool goes_on =
            !making_.system.bars.empty() && !ending_before(making_.system.bars.front().bar).empty();
        while (i < making_.system.bars.size()) {
            const auto bar_at = [&](std::size_t k) -> const Bar& {
                return context_.score.bars[static_cast<std::size_t>(making_.system.bars[k].bar)];
            };
            const std::string number = bar_at(i).ending;
            if (number.empty() && !goes_on) {
                ++i;
                continue;
            }
            std::size_t end = i;
            while (end + 1 < making_.system.bars.size() && !bar_at(end).ending_ends &&
                   !bar_at(end).repeat_ends && bar_at(end + 1).ending.empty()) {
                ++end;
            }
            bracket(making_.system.bars[i].left,
                    making_.system.bars[end].right,
                    number,
                    bar_at(end).ending_ends || bar_at(end).repeat_ends);
            goes_on = false;
            i = end + 1;
        }
    }

    void bracket(float left, float right, const std::string& number, bool closed) {
        left += 0.15F;
        right -= 0.25F;
        const float low = making_.sky.above(left, right) + 0.5F;
        const float y = low + 1.9F;
        if (!number.empty()) {
            making_.text(number,
                         {left + 0.5F, low + 0.35F},
                         metrics::kNumberCap,
                         TextFace::plain,
                         What::ending);
            making_.line({left, low}, {left, y}, metrics::kEnding, What::ending);
        }
        making_.line({left, y}, {right, y}, metrics::kEnding, What::ending);
        if (closed) {
            making_.line({right, low}, {right, y}, metrics::kEnding, What::ending);
        }
    }

    void draw_text(const Text& text) {
        const auto x = making_.x_of(text.bar, text.tick);
        if (!x) {
            return;
        }
        switch (text.kind) {
        case TextKind::segno:
        case TextKind::coda: {
            const float y = making_.sky.above(*x - 1.3F, *x + 1.3F) + 0.6F;
            making_.sign(
                text.kind == TextKind::segno ? Sign::segno : Sign::coda, {*x, y}, What::mark);
            break;
        }
        case TextKind::rehearsal:
            boxed(text.words, *x - 0.6F, 1.5F, TextFace::strong);
            break;
        case TextKind::crook:
            boxed(text.words, *x - 0.6F, metrics::kTextCap, TextFace::strong);
            break;
        case TextKind::tempo:
            tempo(text, begins_line(text, *x));
            break;
        case TextKind::navigation:
            plain(text.words, end_of(text.bar), metrics::kTextCap, TextFace::italic, true);
            break;
        default:
            plain(text.words, *x - 0.6F, metrics::kTextCap, TextFace::italic, false);
            break;
        }
    }

    /// Tempo words at the beginning of a bar stand over its metre.
    [[nodiscard]] float begins_line(const Text& text, float x) const {
        for (const BarRoom& bar : making_.system.bars) {
            if (bar.bar == text.bar && text.tick == 0 && bar.left < making_.notes_from + 0.1F) {
                return std::min(x - 0.6F, making_.notes_from - 2.2F);
            }
        }
        return x - 0.6F;
    }

    [[nodiscard]] float end_of(int bar) const {
        for (const BarRoom& room : making_.system.bars) {
            if (room.bar == bar) {
                return room.right;
            }
        }
        return making_.system.width;
    }

    /// Moved to the left where it would leave the page.
    [[nodiscard]] float kept(float x, float wide) const {
        return std::max(0.0F, std::min(x, context_.style.width - wide));
    }

    void plain(const std::string& words, float x, float cap, TextFace face, bool from_right) {
        const float wide = context_.text_width(face, cap, words);
        x = kept(from_right ? x - wide : x, wide);
        const float y = making_.sky.above(x - 0.4F, x + wide + 0.4F) + 0.75F;
        making_.text(words, {x, y}, cap, face, What::text);
    }

    void tempo(const Text& text, float x) {
        constexpr float kTempoCap = 1.35F;
        const float words = context_.text_width(TextFace::strong, kTempoCap, text.words);
        if (!text.beat) {
            plain(text.words, x, kTempoCap, TextFace::strong, false);
            return;
        }
        // The note stands on the line of the words, its head as high as a small letter.
        constexpr float kSize = 0.75F;
        constexpr float kStemUp = 2.2F;
        constexpr float kGap = 0.8F;
        const Sign head = text.beat->halvings <= 0   ? Sign::whole_head
                          : text.beat->halvings == 1 ? Sign::half_head
                                                     : Sign::notehead;
        const float half = kSize * outline_of(head).high.x;
        const std::string figure = "= " + text.per_minute;
        const float from_words = text.words.empty() ? 0.0F : words + kGap;
        const bool flag = text.beat->halvings >= 3;
        const float behind =
            from_words + 2.0F * half + (flag || text.beat->dots > 0 ? 0.9F : 0.0F) + 0.45F;
        const float wide = behind + context_.text_width(TextFace::plain, metrics::kTextCap, figure);
        x = kept(x, wide);
        const float y = making_.sky.above(x - 0.4F, x + wide + 0.4F) + 0.75F;
        if (!text.words.empty()) {
            making_.text(text.words, {x, y}, kTempoCap, TextFace::strong, What::text);
        }
        const Point middle{x + from_words + half, y + kSize * 0.5F};
        making_.sign(head, middle, What::text_box, kNoEvent, kSize);
        if (text.beat->halvings >= 1) {
            const float stem = middle.x + half - 0.5F * metrics::kStem;
            making_.line(
                {stem, middle.y}, {stem, middle.y + kStemUp}, metrics::kStem, What::text_box);
            if (flag) {
                making_.sign(Sign::flag_up,
                             {stem - 0.5F * metrics::kStem, middle.y + kStemUp},
                             What::text_box,
                             kNoEvent,
                             kSize);
            }
        }
        if (text.beat->dots > 0) {
            making_.sign(
                Sign::dot, {middle.x + half + 0.5F, middle.y}, What::text_box, kNoEvent, kSize);
        }
        making_.text(figure, {x + behind, y}, metrics::kTextCap, TextFace::plain, What::text);
    }

    void boxed(const std::string& words, float x, float cap, TextFace face) {
        constexpr float kPad = 0.45F;
        const float wide = context_.text_width(face, cap, words) + 2.0F * kPad;
        x = kept(x, wide);
        const float low = making_.sky.above(x - 0.4F, x + wide + 0.4F) + 0.55F;
        const float high = low + cap + 2.0F * kPad;
        making_.text(words, {x + kPad, low + kPad}, cap, face, What::text);
        const auto edge = [&](Point from, Point to) {
            making_.line(from, to, metrics::kTextBox, What::text_box);
        };
        edge({x, low}, {x + wide, low});
        edge({x, high}, {x + wide, high});
        edge({x, low}, {x, high});
        edge({x + wide, low}, {x + wide, high});
    }

    Making& making_;
    const Context& context_;
};

} // namespace

void draw_above(Making& making) {
    Above(making).draw();
}

} // namespace bellhand::engraving

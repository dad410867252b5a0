#include "engraving/metrics.h"
#include "engraving/system.h"

#include <algorithm>
#include <string_view>

namespace bellhand::engraving {

namespace {

constexpr std::string_view kLetters = "pfmszr";

Sign letter(char c) noexcept {
    static constexpr Sign kSigns[] = {Sign::letter_p,
                                      Sign::letter_f,
                                      Sign::letter_m,
                                      Sign::letter_s,
                                      Sign::letter_z,
                                      Sign::letter_r};
    return kSigns[kLetters.find(c)];
}

/// How far the pen moves on after a letter of dynamics.
float advance(char c) noexcept {
    static constexpr float kAdvances[] = {1.24F, 1.02F, 1.72F, 0.92F, 0.98F, 0.96F};
    return kAdvances[kLetters.find(c)];
}

struct DynamicPlace {
    const Text* text = nullptr;
    float x = 0.0F; ///< left end
    float width = 0.0F;
};

class Below {
public:
    explicit Below(Making& making) : making_(making), context_(making.context) {}

    void draw() {
        find_dynamics();
        choose_row();
        for (const DynamicPlace& place : dynamics_) {
            draw_dynamic(place);
        }
        for (const Hairpin& hairpin : context_.score.hairpins) {
            draw_hairpin(hairpin);
        }
        for (const Text& text : context_.score.texts) {
            if (text.kind == TextKind::expression) {
                draw_expression(text);
            }
        }
    }

private:
    void find_dynamics() {
        for (const Text& text : context_.score.texts) {
            const auto x =
                text.kind == TextKind::dynamic ? making_.x_of(text.bar, text.tick) : std::nullopt;
            if (!x || text.words.empty()) {
                continue;
            }
            float wide = 0.0F;
            if (in_letters(text.words)) {
                for (const char c : text.words) {
                    wide += advance(c);
                }
            } else {
                wide = context_.text_width(TextFace::italic, metrics::kTextCap, text.words);
            }
            // Its first letter under the note.
            dynamics_.push_back({&text, *x - std::min(0.5F * wide, 0.8F), wide});
        }
        constexpr float kBetween = 0.5F;
        // Two that stand close keep their order, and none reaches over the end of the page.
        for (std::size_t i = 1; i < dynamics_.size(); ++i) {
            const DynamicPlace& before = dynamics_[i - 1];
            dynamics_[i].x = std::max(dynamics_[i].x, before.x + before.width + kBetween);
        }
        float end = context_.style.width - kBetween;
        for (auto place = dynamics_.rbegin(); place != dynamics_.rend(); ++place) {
            place->x = std::min(place->x, end - place->width);
            end = place->x - kBetween;
        }
    }

    [[nodiscard]] static bool in_letters(const std::string& words) {
        return words.find_first_not_of(kLetters) == std::string::npos;
    }

    struct Wedge {
        float left = 0.0F;
        float right = 0.0F;
        bool opens = false;  ///< begins in this line
        bool closes = false; ///< ends in it
    };

    /// A note or rest begins there; one that is tied to the note before does not.
    [[nodiscard]] bool begins_at(int bar, int tick) const {
        const std::vector<Event>& events = context_.score.events;
        for (std::size_t i = 0; i < events.size(); ++i) {
            if (events[i].bar == bar && events[i].tick == tick) {
                return i == 0 || !events[i - 1].tie;
            }
        }
        return false;
    }

    /// Where a held note turns from growing to fading. Nothing is written there, so that the two are equally long on paper
    /// however wide the bars are that the note goes through.
    [[nodiscard]] std::optional<float> turn_between(const Hairpin& one, const Hairpin& next) const {
        const std::vector<BarRoom>& bars = making_.system.bars;
        const bool meet =
            one.growing && !next.growing && one.to_bar == next.bar && one.to_tick == next.tick;
        const bool inside = one.bar >= bars.front().bar && next.to_bar <= bars.back().bar;
        if (!meet || !inside || begins_at(next.bar, next.tick)) {
            return std::nullopt;
        }
        return 0.5F * (past_letters(making_.x_at(one.bar, one.tick) - 0.3F) +
                       making_.x_at(next.to_bar, next.to_tick) - 0.7F);
    }

    /// A wedge begins behind the letters that stand where it would.
    [[nodiscard]] float past_letters(float left) const {
        for (const DynamicPlace& place : dynamics_) {
            if (place.x < left + 0.6F && place.x + place.width > left - 0.3F) {
                left = place.x + place.width + 0.4F;
            }
        }
        return left;
    }

    [[nodiscard]] float begin_of(const Hairpin& hairpin) const {
        for (const Hairpin& before : context_.score.hairpins) {
            if (const auto turn = turn_between(before, hairpin)) {
                return *turn + 0.2F;
            }
        }
        return making_.x_at(hairpin.bar, hairpin.tick) - 0.3F;
    }

    [[nodiscard]] float end_of(const Hairpin& hairpin) const {
        for (const Hairpin& next : context_.score.hairpins) {
            if (const auto turn = turn_between(hairpin, next)) {
                return *turn - 0.2F;
            }
        }
        return making_.x_at(hairpin.to_bar, hairpin.to_tick) - 0.7F;
    }

    [[nodiscard]] std::optional<Wedge> wedge_of(const Hairpin& hairpin) const {
        if (making_.system.bars.empty()) {
            return std::nullopt;
        }
        const int first = making_.system.bars.front().bar;
        const int last = making_.system.bars.back().bar;
        const bool ends_before =
            hairpin.to_bar < first || (hairpin.to_bar == first && hairpin.to_tick == 0);
        if (ends_before || hairpin.bar > last) {
            return std::nullopt;
        }
        Wedge wedge;
        wedge.opens = hairpin.bar >= first;
        wedge.closes =
            hairpin.to_bar <= last || (hairpin.to_bar == last + 1 && hairpin.to_tick == 0);
        wedge.left = wedge.opens ? begin_of(hairpin) : making_.notes_from;
        wedge.right = hairpin.to_bar <= last ? end_of(hairpin) : making_.columns.back().x - 0.5F;
        wedge.left = past_letters(wedge.left);
        for (const DynamicPlace& place : dynamics_) {
            const float middle = place.x + 0.5F * place.width;
            if (middle > wedge.left && place.x - 0.4F < wedge.right) {
                wedge.right = place.x - 0.4F;
            }
        }
        if (wedge.right < wedge.left + 1.0F) {
            wedge.right = wedge.left + 1.0F;
        }
        return wedge.right <= context_.style.width ? std::optional(wedge) : std::nullopt;
    }

    void choose_row() {
        row_ = -3.2F;
        for (const DynamicPlace& place : dynamics_) {
            row_ = std::min(row_,
                            making_.sky.below(place.x - 0.5F, place.x + place.width + 0.6F) - 2.3F);
        }
        for (const Hairpin& hairpin : context_.score.hairpins) {
            if (const auto wedge = wedge_of(hairpin)) {
                row_ = std::min(row_, making_.sky.below(wedge->left, wedge->right) - 1.7F);
            }
        }
    }

    void draw_dynamic(const DynamicPlace& place) {
        if (!in_letters(place.text->words)) {
            making_.text(place.text->words,
                         {place.x, row_},
                         metrics::kTextCap,
                         TextFace::italic,
                         What::dynamic);
            return;
        }
        float x = place.x;
        for (const char c : place.text->words) {
            making_.sign(letter(c), {x, row_}, What::dynamic);
            x += advance(c);
        }
    }

    void draw_hairpin(const Hairpin& hairpin) {
        const auto wedge = wedge_of(hairpin);
        if (!wedge) {
            return;
        }
        constexpr float kHalf = 0.5F;
        const float y = row_ + 0.5F;
        // A piece of a longer one is open at both ends.
        float begin = hairpin.growing ? 0.0F : kHalf;
        float end = hairpin.growing ? kHalf : 0.0F;
        if (hairpin.growing) {
            begin = wedge->opens ? begin : 0.5F * kHalf;
            end = wedge->closes ? end : 0.7F * kHalf;
        } else {
            end = wedge->closes ? end : 0.5F * kHalf;
            begin = wedge->opens ? begin : 0.7F * kHalf;
        }
        for (const float side : {-1.0F, 1.0F}) {
            making_.line({wedge->left, y + side * begin},
                         {wedge->right, y + side * end},
                         metrics::kHairpin,
                         What::hairpin);
        }
    }

    void draw_expression(const Text& text) {
        const auto at = making_.x_of(text.bar, text.tick);
        if (!at) {
            return;
        }
        const float wide = context_.text_width(TextFace::italic, metrics::kTextCap, text.words);
        float x = *at - 0.6F;
        for (const DynamicPlace& place : dynamics_) { // beside the letters at the same note
            if (place.x < x + 1.0F && place.x + place.width > x - 1.0F) {
                x = place.x + place.width + 0.5F;
            }
        }
        x = std::max(0.0F, std::min(x, context_.style.width - wide));
        const float sky = making_.sky.below(x - 0.2F, x + wide + 0.2F);
        const float y = std::min(-2.6F, sky - 0.5F - metrics::kTextCap);
        making_.text(text.words,
                     {x, std::min(y, row_free(x, wide) ? row_ : y)},
                     metrics::kTextCap,
                     TextFace::italic,
                     What::text);
    }

    /// On the row of the dynamics when nothing stands there.
    [[nodiscard]] bool row_free(float x, float wide) const {
        return making_.sky.below(x - 0.2F, x + wide + 0.2F) > row_ + metrics::kTextCap + 0.3F;
    }

    Making& making_;
    const Context& context_;
    std::vector<DynamicPlace> dynamics_;
    float row_ = -3.2F; ///< baseline of the dynamics
};

} // namespace

void draw_below(Making& making) {
    Below(making).draw();
}

} // namespace bellhand::engraving

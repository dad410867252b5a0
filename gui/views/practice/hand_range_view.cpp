#include "gui/views/views.h"
#include "words/hand.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace bellhand::gui {

namespace {

constexpr float kHalfDegree = 0.125F;
constexpr float kFaintest = 0.12F; // of a range that next to nothing speaks for

} // namespace

void draw_hand_range(const Canvas& canvas,
                     const std::optional<desk::ShownHand>& hand,
                     const Box& box,
                     float sign_cap) {
    // Half a degree of room on either side of open and full stop.
    const float step = box.width() / 5.0F;
    const auto x_of = [&](double closure) {
        return box.x0 + step * (0.5F + 4.0F * static_cast<float>(closure));
    };
    Box signs = box;
    const Box track = signs.take_top(box.height() - 1.55F * sign_cap);
    const bool asked = hand && hand->asked.partial > 0;
    const auto is_asked = [&](horn::Hand degree) {
        return asked && degree >= hand->asked.hand && degree <= hand->asked.hand_to;
    };
    if (asked) { // the same field and edges as every target
        const Box field{x_of(horn::closure_of(hand->asked.hand)) - 0.5F * step,
                        track.y0,
                        x_of(horn::closure_of(hand->asked.hand_to)) + 0.5F * step,
                        track.y1};
        const float thick = std::max(2.0F, 1.5F * canvas.hair());
        canvas.fill(field, canvas.colour.brass_soft);
        canvas.fill({field.x0, field.y0, field.x0 + thick, field.y1}, canvas.colour.brass);
        canvas.fill({field.x1 - thick, field.y0, field.x1, field.y1}, canvas.colour.brass);
    }
    canvas.level_line(
        x_of(0.0), x_of(1.0), track.middle_y(), canvas.colour.ink_soft, canvas.hair());
    for (const horn::Hand degree : horn::kHands) {
        const float x = x_of(horn::closure_of(degree));
        const float half = 0.16F * track.height();
        canvas.line(x,
                    track.middle_y() - half,
                    x,
                    track.middle_y() + half,
                    canvas.colour.ink_soft,
                    canvas.hair());
        canvas.hand_sign(horn::hand_sign(degree),
                         is_asked(degree) ? 1.15F * sign_cap : sign_cap,
                         x,
                         signs.y1 - 0.6F * sign_cap,
                         Align::middle,
                         is_asked(degree) ? canvas.colour.ink : canvas.colour.ink_soft);
    }
    if (!hand || !hand->estimate.position.known) {
        return;
    }
    // Never a point: at least half a degree to either side of the middle.
    const hand::Position& position = hand->estimate.position;
    const double middle = 0.5 * (position.low + position.high);
    const double reach =
        std::max(0.5 * (position.high - position.low), static_cast<double>(kHalfDegree));
    const float tall = 0.3F * track.height();
    const Box range{std::max(box.x0, x_of(middle - reach)),
                    track.middle_y() - tall,
                    std::min(box.x1, x_of(middle + reach)),
                    track.middle_y() + tall};
    const auto sure = static_cast<float>(std::clamp(position.confidence, 0.0, 1.0));
    const float round = 0.5F * tall;
    const Colour ink = hand->sounding ? canvas.colour.voice : canvas.colour.ink_soft;
    canvas.fill(range, faded(ink, kFaintest + (1.0F - kFaintest) * sure), round);
    canvas.outline(range, ink, std::max(1.5F, 1.2F * canvas.hair()), round);
}

void draw_heard_hand(const Canvas& canvas, const desk::Desk& desk, const Box& box) {
    const std::optional<desk::ShownHand>& hand = desk.session().view().hand();
    Box rest = box;
    const float cap = canvas.played_cap();
    const Box caption = rest.take_top(1.35F * canvas.played().em);
    const float baseline = caption.y0 + cap;
    const float left = canvas.text(Face::text,
                                   canvas.small_cap(),
                                   caption.x0,
                                   baseline,
                                   Align::left,
                                   canvas.colour.ink_soft,
                                   "hand, as heard: ");
    if (hand) {
        const std::string words = words::heard_words(hand->estimate);
        float x = caption.x0 + left;
        x += canvas.text(Face::strong,
                         cap,
                         x,
                         baseline,
                         Align::left,
                         hand->sounding ? canvas.colour.ink : canvas.colour.ink_soft,
                         words);
        const std::string remark = words::heard_remark(hand->estimate, hand->asked);
        if (!remark.empty()) {
            x += 0.8F * canvas.em;
            canvas.text_within(Face::text,
                               canvas.small_cap(),
                               x,
                               baseline,
                               caption.x1 - x,
                               canvas.colour.ink_soft,
                               remark);
        }
    }
    draw_hand_range(canvas, hand, rest, cap);
}

void draw_advice(const Canvas& canvas, const trainer::PlayedNote& note, Box box) {
    const float cap = canvas.small_cap();
    const float line = 2.05F * cap; // as paragraphs have it
    const auto part = [&](const char* which, const std::string& words) {
        if (words.empty() || box.height() < 0.9F * line) {
            return;
        }
        const float baseline = box.y0 + cap;
        float x = box.x0 + canvas.note_name_width(note.written, cap) + 0.6F * canvas.em;
        canvas.note_name(note.written, cap, box.x0, baseline, Align::left, canvas.colour.ink);
        x += canvas.text(Face::text, cap, x, baseline, Align::left, canvas.colour.ink_soft, which);
        // Broken lines run a little shorter than the sum of the words.
        const float lines = std::ceil(1.1F * canvas.width(Face::text, cap, words) / (box.x1 - x));
        if (lines > 1.0F && lines * line > box.height() + 0.5F * line) {
            canvas.text_within(Face::text, cap, x, baseline, box.x1 - x, canvas.colour.ink, words);
            box.take_top(line);
        } else {
            box.y0 = canvas.paragraph(
                         Face::text, cap, {x, box.y0, box.x1, box.y1}, canvas.colour.ink, words) -
                     cap;
        }
    };
    part("held: ", words::held_advice(note));
    part("attack: ", words::attack_advice(note));
}

} // namespace bellhand::gui

#include "gui/views/page_parts.h"

#include "desk/desk.h"
#include "gui/views/surface.h"
#include "report/text.h"
#include "words/cautions.h"

#include <algorithm>

#include <imgui.h>

namespace bellhand::gui {

void draw_foot(const Canvas& canvas,
               desk::Desk& desk,
               const Box& box,
               const std::string& sentence,
               Colour ink) {
    constexpr float kGap = 1.3F;            // between two keys, in em
    constexpr float kSentenceShare = 0.34F; // of the width, kept for the sentence
    const float baseline = box.middle_y() + 0.5F * canvas.small_cap();
    const desk::KeyTable table = desk.keys_of_page();
    const auto wide = [&](const desk::KeyLine& line) {
        return canvas.key_hint_width(line.cap, line.words) + kGap * canvas.em;
    };
    const float room = (sentence.empty() ? 1.0F : 1.0F - kSentenceShare) * box.width();
    float x = box.x1;
    for (const desk::KeyLine* line : desk::at_foot(table, wide, room)) {
        const float left = x - wide(*line) + kGap * canvas.em;
        bool hovered = false;
        const bool clicked = desk.sheet() == desk::Sheet::none &&
                             hot_spot(line->words.c_str(), {left, box.y0, x, box.y1}, &hovered);
        canvas.key_hint(left,
                        baseline,
                        line->cap,
                        line->words,
                        hovered ? canvas.colour.brass : canvas.colour.ink_soft);
        x = left - kGap * canvas.em;
        if (clicked) {
            desk.press(line->keys.front());
        }
    }
    if (!sentence.empty()) {
        canvas.text_within(
            Face::text, canvas.small_cap(), box.x0, baseline, x - box.x0, ink, sentence);
    }
}

int lines_of(const Canvas& canvas, Face face, float cap_px, float room, std::string_view words) {
    int lines = 1;
    std::string line;
    for (std::size_t at = 0; at < words.size();) {
        const std::size_t space = std::min(words.find(' ', at), words.size());
        const std::string word(words.substr(at, space - at));
        const std::string longer = line.empty() ? word : line + " " + word;
        if (!line.empty() && canvas.width(face, cap_px, longer) > room) {
            ++lines;
            line = word;
        } else {
            line = longer;
        }
        at = space + 1;
    }
    return lines;
}

void draw_cautions(const Canvas& page, Box box) {
    Canvas canvas = page;
    constexpr float kHeading = 1.6F; // in em
    constexpr float kGap = 0.3F;
    const auto height = [&] {
        float sum = 0.0F;
        for (const words::Caution& caution : words::short_cautions()) {
            const int lines =
                lines_of(canvas, Face::text, canvas.cap(), box.width(), caution.words);
            sum += (kHeading + kGap) * canvas.em + 2.05F * canvas.cap() * static_cast<float>(lines);
        }
        return sum;
    };
    // All of them are to be seen: rather smaller than one left out.
    while (height() > box.height() && canvas.em > 0.4F * page.em) {
        canvas.em *= 0.94F;
    }
    for (const words::Caution& caution : words::short_cautions()) {
        canvas.text(Face::strong,
                    canvas.cap(),
                    box.x0,
                    box.y0 + canvas.cap(),
                    Align::left,
                    canvas.colour.ink,
                    caution.about);
        box.take_top(kHeading * canvas.em);
        box.y0 = canvas.paragraph(Face::text, canvas.cap(), box, canvas.colour.ink, caution.words) +
                 kGap * canvas.em;
    }
}

void draw_small_heading(const Canvas& canvas, const Box& box, std::string_view words) {
    canvas.text(Face::remark,
                canvas.cap(),
                box.x0,
                box.y0 + canvas.cap(),
                Align::left,
                canvas.colour.ink_soft,
                words);
}

Box draw_section(const Canvas& canvas, Box box, const std::string& title) {
    const Box head = box.take_top(2.1F * canvas.em);
    canvas.text_within(Face::remark,
                       1.05F * canvas.cap(),
                       head.x0,
                       head.y0 + canvas.em,
                       head.width(),
                       canvas.colour.ink_soft,
                       title);
    canvas.hairline(head.x0, head.y1 - 0.4F * canvas.em, head.x1, head.y1 - 0.4F * canvas.em);
    return box;
}

void draw_empty(const Canvas& canvas, Box box, const std::string& title, const std::string& words) {
    box.take_top(0.16F * box.height());
    canvas.text_within(Face::remark,
                       1.5F * canvas.cap(),
                       box.x0,
                       box.y0 + 1.5F * canvas.cap(),
                       box.width(),
                       canvas.colour.ink_soft,
                       title);
    box.take_top(3.2F * canvas.em);
    box.x1 = std::min(box.x1, box.x0 + 34.0F * canvas.em);
    canvas.paragraph(Face::text, canvas.cap(), box, canvas.colour.ink, words);
}

void draw_sentence(const Canvas& canvas,
                   Box& box,
                   const std::string& problem,
                   const std::string& said) {
    if (problem.empty() && said.empty()) {
        return;
    }
    // Whole: it may end in a path that is to be read.
    const std::string& words = problem.empty() ? said : problem;
    const auto lines =
        static_cast<float>(lines_of(canvas, Face::text, canvas.cap(), box.width(), words));
    const Box place = box.take_bottom(0.6F * canvas.em + 2.05F * canvas.cap() * lines);
    canvas.paragraph(Face::text,
                     canvas.cap(),
                     {place.x0, place.y0 + 0.5F * canvas.em, place.x1, place.y1},
                     problem.empty() ? canvas.colour.ink : canvas.colour.warning,
                     words);
}

void draw_writing(const Canvas& canvas, const desk::TextEntry& words, const Box& box) {
    canvas.fill(box, canvas.colour.sheet, 0.2F * canvas.em);
    canvas.outline(box, canvas.colour.brass, 0.12F * canvas.em, 0.2F * canvas.em);
    canvas.paragraph(Face::text,
                     canvas.cap(),
                     box.shrunk(0.8F * canvas.em, 0.7F * canvas.em),
                     canvas.colour.ink,
                     words.empty() ? "|" : words.with_cursor());
}

std::string place_words(const desk::ListeningStatus& listening, double duration_s) {
    return "at " + report::clock_text(listening.at_s) + " of " + report::clock_text(duration_s) +
           (listening.speed < 1.0 ? ", half speed" : "");
}

void draw_two_ends(const Canvas& canvas,
                   const Box& row,
                   float baseline,
                   Face face,
                   Colour ink,
                   std::string_view left,
                   std::string_view right) {
    const float wide = canvas.text(Face::text,
                                   canvas.small_cap(),
                                   row.x1,
                                   baseline,
                                   Align::right,
                                   canvas.colour.ink_soft,
                                   right);
    canvas.text_within(
        face, canvas.cap(), row.x0, baseline, row.width() - wide - canvas.em, ink, left);
}

void draw_small(const Canvas& canvas, const Box& row, float baseline, std::string_view words) {
    canvas.text_within(Face::text,
                       canvas.small_cap(),
                       row.x0,
                       baseline,
                       row.width(),
                       canvas.colour.ink_soft,
                       words);
}

int draw_list(const Canvas& canvas,
              const std::string& id,
              const Box& box,
              int count,
              int chosen,
              float row_height,
              bool clickable,
              const std::function<void(int index, const Box& row, bool chosen)>& draw_row) {
    const float height = std::min(row_height, box.height());
    const int visible = std::max(1, static_cast<int>(box.height() / height));
    const int first = std::clamp(chosen - visible / 2, 0, std::max(0, count - visible));
    int clicked = -1;
    for (int index = first; index < std::min(count, first + visible); ++index) {
        const float y = box.y0 + static_cast<float>(index - first) * height;
        const Box place{box.x0, y, box.x1, y + height};
        bool hovered = false;
        const std::string name = id + " " + std::to_string(index);
        if (clickable && hot_spot(name.c_str(), place, &hovered)) {
            clicked = index;
        }
        if (index == chosen) {
            canvas.fill(place, canvas.colour.brass_soft, 0.2F * canvas.em);
            canvas.fill({place.x0, place.y0, place.x0 + 0.3F * canvas.em, place.y1},
                        canvas.colour.brass);
        } else if (hovered) {
            canvas.fill(place, faded(canvas.colour.brass_soft, 0.45F), 0.2F * canvas.em);
        }
        draw_row(index, place.shrunk(0.9F * canvas.em, 0.0F), index == chosen);
        if (index != chosen) {
            canvas.hairline(place.x0, place.y1, place.x1, place.y1);
        }
    }
    // How much there is, and where this part of it lies.
    if (count > visible) {
        const float wide = 0.22F * canvas.em;
        const float long_px = static_cast<float>(visible) * height;
        const float part = long_px / static_cast<float>(count);
        const Box track{
            box.x1 + 0.3F * canvas.em, box.y0, box.x1 + 0.3F * canvas.em + wide, box.y0 + long_px};
        canvas.fill(track, mixed(canvas.colour.paper, canvas.colour.rule, 0.6F), 0.5F * wide);
        const float top = track.y0 + part * static_cast<float>(first);
        canvas.fill({track.x0,
                     top,
                     track.x1,
                     top + std::max(part * static_cast<float>(visible), 2.0F * wide)},
                    canvas.colour.ink_soft,
                    0.5F * wide);
    }
    return clicked;
}

} // namespace bellhand::gui

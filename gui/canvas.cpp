#include "gui/canvas.h"

#include "desk/model/phrases.h"

#include <algorithm>
#include <cmath>
#include <string>

#include <imgui.h>

namespace bellhand::gui {

namespace {

constexpr const char* kEllipsis = "…";
constexpr float kAfterKey_em = 0.45F; // between a key cap and what the key does

// Hand signs in heights of the capital.
constexpr float kDrawnSign = 0.92F;
constexpr float kSignGap = 0.30F;

bool is_drawn(std::string_view sign) {
    return sign == "o" || sign == "+";
}

void for_each_sign(std::string_view signs, const auto& act) {
    for (std::size_t at = 0; at < signs.size();) {
        const std::size_t end = std::min(signs.find(' ', at), signs.size());
        act(signs.substr(at, end - at));
        at = end + 1;
    }
}

engraving::Sign sign_of(horn::Note note) {
    return note.sharps < 0 ? engraving::Sign::bold_flat : engraving::Sign::bold_sharp;
}

/// A page that scrolls shows whole lines only: no letters cut through at its edges.
bool cut_off(const ImDrawList& list, float top, float bottom) {
    const float from = list.GetClipRectMin().y;
    const float to = list.GetClipRectMax().y;
    return to - from < ImGui::GetIO().DisplaySize.y - 1.0F && (top < from || bottom > to);
}

/// Accidental beside a letter: how wide it is and how far it stands off, in heights of the capital.
float accidental_advance(horn::Note note) {
    return note.sharps == 0 ? 0.0F : note.sharps < 0 ? 0.44F : 0.52F;
}

} // namespace

void Canvas::note(
    Drawn::Kind kind, const Box& box, Colour ink, float cap_px, std::string_view words) const {
    if (drawn == nullptr) {
        return;
    }
    const ImVec2 from = list.GetClipRectMin();
    const ImVec2 to = list.GetClipRectMax();
    drawn->push_back(
        {kind, box, {from.x, from.y, to.x, to.y}, ink, cap_px, false, std::string(words)});
}

float Canvas::width(Face face, float cap_px, std::string_view words) const {
    const FontBook::Cut& cut = fonts.cut(face, cap_px, true);
    return cut.font
        ->CalcTextSizeA(cut.size_px * cap_px / cut.cap_px,
                        1e9F,
                        0.0F,
                        words.data(),
                        words.data() + words.size())
        .x;
}

float Canvas::text(Face face,
                   float cap_px,
                   float x,
                   float baseline,
                   Align align,
                   Colour ink,
                   std::string_view words) const {
    const FontBook::Cut& cut = fonts.cut(face, cap_px, true);
    const float scaling = cap_px / cut.cap_px;
    const float size = cut.size_px * scaling;
    const char* end = words.data() + words.size();
    const float wide = cut.font->CalcTextSizeA(size, 1e9F, 0.0F, words.data(), end).x;
    if (align == Align::middle) {
        x -= 0.5F * wide;
    } else if (align == Align::right) {
        x -= wide;
    }
    if (cut_off(list, baseline - cap_px, baseline)) {
        return wide;
    }
    // Whole pixels keep small print sharp.
    const ImVec2 at(std::round(x), std::round(baseline - cut.baseline_px * scaling));
    list.AddText(cut.font, size, at, ink, words.data(), end);
    note(Drawn::Kind::text, {x, baseline - cap_px, x + wide, baseline}, ink, cap_px, words);
    return wide;
}

float Canvas::text_within(Face face,
                          float cap_px,
                          float x,
                          float baseline,
                          float room,
                          Colour ink,
                          std::string_view words) const {
    if (words.find('\n') != std::string_view::npos) { // paragraphs where there is one line for them
        std::string line(words);
        std::replace(line.begin(), line.end(), '\n', ' ');
        return text_within(face, cap_px, x, baseline, room, ink, line);
    }
    if (width(face, cap_px, words) <= room) {
        return text(face, cap_px, x, baseline, Align::left, ink, words);
    }
    std::string shorter(words);
    while (!shorter.empty() && width(face, cap_px, shorter + kEllipsis) > room) {
        do {
            shorter.pop_back();
        } while (!shorter.empty() && (static_cast<unsigned char>(shorter.back()) & 0xC0U) == 0x80U);
        if (!shorter.empty() && static_cast<unsigned char>(shorter.back()) >= 0xC0U) {
            shorter.pop_back(); // the first byte of the letter just cut
        }
    }
    const float wide = text(face, cap_px, x, baseline, Align::left, ink, shorter + kEllipsis);
    if (drawn != nullptr) {
        drawn->back().cut = true;
    }
    return wide;
}

float Canvas::paragraph(
    Face face, float cap_px, const Box& box, Colour ink, std::string_view words) const {
    const float line_height = cap_px * 2.05F;
    float baseline = box.y0 + cap_px;
    std::string line;
    std::size_t at = 0;
    while (at < words.size()) {
        const std::size_t space = std::min(words.find_first_of(" \n", at), words.size());
        const std::string word(words.substr(at, space - at));
        const std::string longer = line.empty() ? word : line + " " + word;
        if (!line.empty() && width(face, cap_px, longer) > box.width()) {
            text(face, cap_px, box.x0, baseline, Align::left, ink, line);
            baseline += line_height;
            line = word;
        } else {
            line = longer;
        }
        at = space + 1;
        if (space < words.size() && words[space] == '\n') {
            text(face, cap_px, box.x0, baseline, Align::left, ink, line);
            baseline += line_height;
            line.clear();
        }
    }
    text(face, cap_px, box.x0, baseline, Align::left, ink, line);
    return baseline + line_height;
}

float Canvas::note_name_width(horn::Note note, float cap_px) const {
    const FontBook::Cut& cut = fonts.cut(Face::music, cap_px, false);
    const std::string letter = desk::note_letter(note);
    const float wide =
        cut.font->CalcTextSizeA(cut.size_px * cap_px / cut.cap_px, 1e9F, 0.0F, letter.c_str()).x;
    return wide + accidental_advance(note) * cap_px;
}

float Canvas::note_name(
    horn::Note note, float cap_px, float x, float baseline, Align align, Colour ink) const {
    const FontBook::Cut& cut = fonts.cut(Face::music, cap_px, false);
    const float scaling = cap_px / cut.cap_px;
    const float size = cut.size_px * scaling;
    const std::string letter = desk::note_letter(note);
    const float wide = note_name_width(note, cap_px);
    if (align == Align::middle) {
        x -= 0.5F * wide;
    } else if (align == Align::right) {
        x -= wide;
    }
    list.AddText(cut.font,
                 size,
                 ImVec2(std::round(x), std::round(baseline - cut.baseline_px * scaling)),
                 ink,
                 letter.c_str());
    if (note.sharps != 0) {
        const float letter_wide = cut.font->CalcTextSizeA(size, 1e9F, 0.0F, letter.c_str()).x;
        const float space = cap_px / 2.6F;
        const float middle = baseline - cap_px * (note.sharps < 0 ? 0.29F : 0.50F);
        fonts.engraving().draw(
            list, sign_of(note), space, x + letter_wide + 0.06F * cap_px, middle, ink);
    }
    this->note(Drawn::Kind::text, {x, baseline - cap_px, x + wide, baseline}, ink, cap_px, letter);
    return wide;
}

void Canvas::line(float x0, float y0, float x1, float y1, Colour ink, float thickness) const {
    list.AddLine(ImVec2(x0, y0), ImVec2(x1, y1), ink, thickness);
}

void Canvas::level_line(float x0, float x1, float y, Colour ink, float thickness) const {
    const float thick = std::max(1.0F, std::round(thickness));
    const float top = std::round(y - 0.5F * thick);
    fill({x0, top, x1, top + thick}, ink);
}

void Canvas::hairline(float x0, float y0, float x1, float y1) const {
    // Filled rectangles on whole pixels stay crisp where lines would be smeared over two.
    const float thick = std::round(hair());
    if (x0 == x1) {
        fill({std::round(x0), std::round(y0), std::round(x0) + thick, std::round(y1)}, colour.rule);
    } else {
        fill({std::round(x0), std::round(y0), std::round(x1), std::round(y0) + thick}, colour.rule);
    }
}

void Canvas::fill(const Box& box, Colour ink, float rounding) const {
    list.AddRectFilled(ImVec2(box.x0, box.y0), ImVec2(box.x1, box.y1), ink, rounding);
    note(Drawn::Kind::fill, box, ink);
}

void Canvas::outline(const Box& box, Colour ink, float thickness, float rounding) const {
    list.AddRect(ImVec2(box.x0, box.y0), ImVec2(box.x1, box.y1), ink, rounding, 0, thickness);
}

void Canvas::dot(float x, float y, float radius, Colour ink) const {
    list.AddCircleFilled(ImVec2(x, y), radius, ink);
}

void Canvas::ring(float x, float y, float radius, Colour ink, float thickness) const {
    list.AddCircle(ImVec2(x, y), radius, ink, 0, thickness);
}

float Canvas::hand_sign_width(std::string_view signs, float cap_px) const {
    float wide = 0.0F;
    for_each_sign(signs, [&](std::string_view sign) {
        wide += (wide > 0.0F ? kSignGap * cap_px : 0.0F) +
                (is_drawn(sign) ? kDrawnSign * cap_px : width(Face::music, cap_px, sign));
    });
    return wide;
}

void Canvas::hand_sign(
    std::string_view signs, float cap_px, float x, float y, Align align, Colour ink) const {
    const float wide = hand_sign_width(signs, cap_px);
    float left = align == Align::left ? x : align == Align::middle ? x - 0.5F * wide : x - wide;
    const float stroke = std::max(hair(), cap_px * 0.15F);
    for_each_sign(signs, [&](std::string_view sign) {
        const float half = 0.5F * kDrawnSign * cap_px;
        const float middle = left + half;
        if (is_drawn(sign)) {
            note(Drawn::Kind::sign,
                 {left, y - half, left + 2.0F * half, y + half},
                 ink,
                 cap_px,
                 sign);
        }
        if (sign == "o") {
            ring(middle, y, half - 0.5F * stroke, ink, stroke);
        } else if (sign == "+") {
            fill({left, y - 0.5F * stroke, left + 2.0F * half, y + 0.5F * stroke}, ink);
            fill({middle - 0.5F * stroke, y - half, middle + 0.5F * stroke, y + half}, ink);
        } else {
            left += text(Face::music, cap_px, left, y + 0.5F * cap_px, Align::left, ink, sign) +
                    kSignGap * cap_px;
            return;
        }
        left += (kDrawnSign + kSignGap) * cap_px;
    });
}

float Canvas::key_cap_width(std::string_view name) const {
    return std::max(width(Face::strong, small_cap(), name) + 0.7F * em, 1.45F * em);
}

float Canvas::key_cap(float x, float baseline, std::string_view name) const {
    const float wide = key_cap_width(name);
    const Box cap_box{std::round(x),
                      std::round(baseline - small_cap() - 0.42F * em),
                      std::round(x + wide),
                      std::round(baseline + 0.42F * em)};
    outline(cap_box, colour.rule, hair(), 0.25F * em);
    text(Face::strong,
         small_cap(),
         cap_box.middle_x(),
         baseline,
         Align::middle,
         colour.ink_soft,
         name);
    return wide;
}

float Canvas::key_hint_width(std::string_view key, std::string_view words) const {
    return key_cap_width(key) + kAfterKey_em * em + width(Face::text, small_cap(), words);
}

float Canvas::key_hint(
    float x, float baseline, std::string_view key, std::string_view words, Colour ink) const {
    const float before = key_cap(x, baseline, key) + kAfterKey_em * em;
    return before + text(Face::text, small_cap(), x + before, baseline, Align::left, ink, words);
}

} // namespace bellhand::gui

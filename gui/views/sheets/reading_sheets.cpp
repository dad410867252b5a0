#include "core/version.h"
#include "gui/views/page_parts.h"
#include "gui/views/views.h"
#include "words/cautions.h"
#include "words/hand.h"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>

#include <imgui.h>

namespace bellhand::gui {

namespace {

struct Library {
    const char* name;
    const char* licence;
};

constexpr std::array kLibraries{
    Library{"Dear ImGui", "MIT"},
    Library{"GLFW", "zlib"},
    Library{"stb", "MIT or public domain"},
    Library{"PortAudio", "MIT"},
    Library{"libsndfile", "LGPL 2.1 or later"},
    Library{"KissFFT", "BSD 3-clause"},
    Library{"SoundTouch", "LGPL 2.1 or later"},
    Library{"libpulse", "LGPL 2.1 or later"},
    Library{"cairo", "LGPL 2.1 or MPL 1.1"},
    Library{"libzip", "BSD 3-clause"},
    Library{"SQLite", "public domain"},
    Library{"CLI11", "BSD 3-clause"},
    Library{"{fmt}, JSON for Modern C++", "MIT"},
    Library{"tl::expected", "CC0"},
    Library{"TeX Gyre Schola (type)", "GUST Font License"},
    Library{"Inter (type)", "SIL Open Font License 1.1"},
    Library{"DejaVu (accidentals)", "Bitstream Vera, public domain"},
};

/// A page that is read by moving it up step by step; what leaves its box is not drawn.
class Scrolled {
public:
    Scrolled(const Canvas& canvas, const Box& box, int step) : list_(canvas.list), box_(box) {
        const float up = 3.0F * canvas.em * static_cast<float>(step);
        list_.PushClipRect(ImVec2(box.x0 - canvas.em, box.y0 - 0.5F * canvas.em),
                           ImVec2(box.x1 + canvas.em, box.y1),
                           true);
        box_.y0 -= up;
        box_.y1 -= up;
    }
    ~Scrolled() { list_.PopClipRect(); }
    Scrolled(const Scrolled&) = delete;
    Scrolled& operator=(const Scrolled&) = delete;

    [[nodiscard]] const Box& box() const noexcept { return box_; }

private:
    ImDrawList& list_;
    Box box_;
};

void draw_key_lines(
    const Canvas& canvas, Box& box, const char* title, const desk::KeyTable& table, bool of_page) {
    const float indent = 5.2F * canvas.em;
    const auto wanted = [of_page](const desk::KeyLine& line) {
        return (line.where == desk::Where::page) == of_page;
    };
    if (std::none_of(table.begin(), table.end(), wanted)) {
        return;
    }
    draw_small_heading(canvas, box, title);
    box.take_top(1.9F * canvas.em);
    for (const desk::KeyLine& line : table) {
        if (!wanted(line)) {
            continue;
        }
        const float baseline = box.y0 + canvas.em;
        const float cap = canvas.key_cap_width(line.cap) + 0.6F * canvas.em;
        canvas.key_cap(box.x0, baseline, line.cap);
        const Box words{
            box.x0 + std::max(indent, cap), baseline - 0.92F * canvas.cap(), box.x1, box.y1};
        const float next = canvas.paragraph(
            Face::text, 0.92F * canvas.cap(), words, canvas.colour.ink, line.words);
        box.y0 = next - 0.92F * canvas.cap() + 0.35F * canvas.em;
    }
    box.take_top(0.5F * canvas.em);
}

void draw_keys(const Canvas& canvas, Box& box, const desk::KeyTable& table) {
    draw_key_lines(canvas, box, "on this page", table, true);
    draw_key_lines(canvas, box, "everywhere", table, false);
    box.y0 = canvas.paragraph(
        Face::text,
        canvas.small_cap(),
        box,
        canvas.colour.ink_soft,
        "Foot pedals that send Space and Page Down work too; a sound file, homework, "
        "exercises or a horn profile can be dropped on the window. Everything can be done by keys "
        "or with the pointer.");
}

void draw_explained(const Canvas& canvas,
                    Box& box,
                    std::string_view about,
                    std::string_view words) {
    canvas.text(Face::strong,
                0.92F * canvas.cap(),
                box.x0,
                box.y0 + canvas.em,
                Align::left,
                canvas.colour.ink,
                about);
    box.take_top(1.9F * canvas.em);
    box.y0 = canvas.paragraph(Face::text, 0.92F * canvas.cap(), box, canvas.colour.ink, words);
}

void draw_all_cautions(const Canvas& canvas, Box& box) {
    for (const words::Caution& caution : words::all_cautions()) {
        draw_explained(canvas, box, caution.about, caution.words);
    }
}

void draw_what_is_pale(const Canvas& canvas, Box& box) {
    draw_explained(canvas,
                   box,
                   "Pale",
                   "What no longer sounds, or is heard too unsurely to be judged. ±18 beside a "
                   "short note: its pitch is known to within about 18 cents.");
}

} // namespace

float draw_help(const Canvas& canvas, const desk::KeyTable& table, const Box& box, int step) {
    constexpr float kTwoColumns_em = 42.0F;
    const bool columns = box.width() > kTwoColumns_em * canvas.em;
    const Scrolled page(canvas, box, step);
    Box left = page.box();
    Box right = left;
    if (columns) {
        left.x1 = left.x0 + 0.53F * box.width();
        right.x0 = left.x1 + 2.0F * canvas.em;
    }
    draw_keys(canvas, left, table);
    if (!columns) {
        right.y0 = left.y0 + 1.5F * canvas.em;
    }
    draw_all_cautions(canvas, right);
    draw_what_is_pale(canvas, right);
    return std::max(left.y0, right.y0) - box.y1;
}

float draw_figure_help(const Canvas& canvas, const Box& box, int step) {
    const Scrolled page(canvas, box, step);
    Box rest = page.box();
    std::string_view group;
    for (const words::FigureMeaning& figure : words::figure_meanings()) {
        if (group != figure.group) {
            rest.take_top(group.empty() ? 0.0F : 0.7F * canvas.em);
            group = figure.group;
            draw_small_heading(canvas, rest, group);
            rest.take_top(2.0F * canvas.em);
        }
        const float column = std::min(7.0F * canvas.em, 0.3F * rest.width());
        canvas.text_within(Face::strong,
                           0.92F * canvas.cap(),
                           rest.x0,
                           rest.y0 + 0.92F * canvas.cap(),
                           column - 0.4F * canvas.em,
                           canvas.colour.ink,
                           figure.name);
        const Box words{rest.x0 + column, rest.y0, rest.x1, rest.y1};
        rest.y0 = canvas.paragraph(
                      Face::text, 0.92F * canvas.cap(), words, canvas.colour.ink, figure.meaning) -
                  0.92F * canvas.cap() + 0.25F * canvas.em;
    }
    return rest.y0 - box.y1;
}

float draw_about(const Canvas& canvas, const Box& box, int step) {
    const Scrolled page(canvas, box, step);
    Box rest = page.box();
    rest.y0 = canvas.paragraph(Face::text,
                               canvas.cap(),
                               rest,
                               canvas.colour.ink,
                               std::string("Version ") + version() +
                                   ". A practice tuner and partial trainer for the natural horn.") +
              0.4F * canvas.em;
    rest.y0 = canvas.paragraph(
        Face::text,
        canvas.cap(),
        rest,
        canvas.colour.ink,
        "Sound is analysed on this computer and sent nowhere. The log keeps figures of the notes; "
        "takes are made only of homework, of what is marked in a lesson and of what you keep, and "
        "a "
        "homework file carries what you choose.");
    rest.take_top(0.8F * canvas.em);
    draw_small_heading(canvas, rest, "made with");
    rest.take_top(2.2F * canvas.em);
    for (const Library& library : kLibraries) {
        const Box row = rest.take_top(1.75F * canvas.em);
        const float baseline = row.y0 + canvas.em;
        const float second = std::min(16.0F * canvas.em, 0.52F * row.width());
        canvas.text_within(Face::text,
                           0.92F * canvas.cap(),
                           row.x0,
                           baseline,
                           second - canvas.em,
                           canvas.colour.ink,
                           library.name);
        canvas.text_within(Face::text,
                           0.92F * canvas.cap(),
                           row.x0 + second,
                           baseline,
                           row.width() - second,
                           canvas.colour.ink_soft,
                           library.licence);
    }
    return rest.y0 - box.y1;
}

} // namespace bellhand::gui

#include "desk/model/phrases.h"
#include "engraving/staff_place.h"
#include "gui/views/staff_drawing.h"
#include "gui/views/surface.h"
#include "gui/views/views.h"
#include "words/verdict.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string>

namespace bellhand::gui {

namespace {

constexpr int kSystems = 3;

// Rows of a system in staff spaces from its top.
constexpr float kSignRow = 1.6F;     // middle of the hand's sign
constexpr float kPartialRow = 16.2F; // baseline of the partial's number

/// One column of the chart.
struct Place {
    int system = 0;
    float x = 0.0F; ///< middle of the note
    Box column;
};

/// Where everything stands on the page.
struct Page {
    Box box;
    int per_system;
    float system_height;
    float space; ///< of the staff
    float first_x;
    float step;

    [[nodiscard]] Place at(int index) const noexcept {
        Place place;
        place.system = index / per_system;
        const int column = index % per_system;
        place.x = first_x + (static_cast<float>(column) + 0.5F) * step;
        const float top = box.y0 + static_cast<float>(place.system) * system_height;
        place.column = {place.x - 0.5F * step, top, place.x + 0.5F * step, top + 16.9F * space};
        return place;
    }
    [[nodiscard]] Staff staff(int system) const noexcept {
        const float top = box.y0 + static_cast<float>(system) * system_height;
        return {box.x0, box.x1, std::round(top + 11.3F * space), space};
    }
};

Page page_in(const Box& box, int count) {
    Page page{};
    page.box = box;
    page.per_system = (count + kSystems - 1) / kSystems;
    page.system_height = box.height() / kSystems;
    page.space = page.system_height / 18.0F;
    page.first_x = box.x0 + 5.5F * page.space;
    page.step = (box.x1 - page.first_x) / static_cast<float>(page.per_system);
    return page;
}

void draw_column(const Canvas& canvas,
                 const Page& page,
                 int index,
                 const std::vector<horn::PlayedNote>& notes,
                 bool chosen,
                 bool sounding) {
    const horn::PlayedNote& note = notes[static_cast<std::size_t>(index)];
    const Place place = page.at(index);
    const Staff staff = page.staff(place.system);
    if (chosen || sounding) {
        canvas.fill(place.column.shrunk(0.0F, 0.15F * page.space),
                    canvas.colour.brass_soft,
                    0.4F * page.space);
    }
    const Colour ink = sounding                ? canvas.colour.voice
                       : note.in_usual_compass ? canvas.colour.ink
                                               : canvas.colour.ink_soft;
    const bool has_neighbour = index > 0 && page.at(index - 1).system == place.system;
    const bool restored =
        has_neighbour &&
        engraving::needs_natural(notes[static_cast<std::size_t>(index - 1)].written, note.written);
    draw_staff_note(
        canvas, staff, note.written, place.x + 0.25F * page.space, ink, Stem::none, restored);

    const horn::HandWay& way = note.ways.front().way;
    const float cap = std::min(canvas.small_cap(), 1.5F * page.space);
    const float sign_y = place.column.y0 + kSignRow * page.space;
    canvas.hand_sign(
        desk::hand_signs(note.written), 1.15F * cap, place.x, sign_y, Align::middle, ink);
    canvas.text(Face::music,
                cap,
                place.x,
                place.column.y0 + kPartialRow * page.space,
                Align::middle,
                ink,
                std::to_string(way.partial));
}

void draw_system(const Canvas& canvas,
                 const Page& page,
                 const std::vector<horn::PlayedNote>& notes,
                 int system) {
    const Staff staff = page.staff(system);
    draw_staff_lines(canvas, staff);
    const int first = system * page.per_system;
    const int last = std::min(first + page.per_system, static_cast<int>(notes.size())) - 1;
    engraving::Clef clef =
        engraving::staff_place(notes[static_cast<std::size_t>(first)].written).clef;
    draw_clef(canvas, staff, clef, staff.left + 2.0F * staff.space, 1.0F);
    const float top = page.at(first).column.y0;
    const float cap = canvas.small_cap();
    const auto label = [&](float row, const char* words) {
        canvas.text(Face::remark,
                    cap,
                    staff.left,
                    top + row * page.space,
                    Align::left,
                    canvas.colour.ink_soft,
                    words);
    };
    label(kSignRow + 0.5F * cap / page.space, "hand");
    label(kPartialRow, "partial");
    for (int index = first; index <= last; ++index) {
        const engraving::Clef wanted =
            engraving::staff_place(notes[static_cast<std::size_t>(index)].written).clef;
        if (wanted != clef) {
            clef = wanted;
            draw_clef(canvas, staff, clef, page.at(index).column.x0, 0.72F);
        }
    }
}

/// Five dots, as many of them filled as the tone is even, and the same in words.
void draw_evenness(const Canvas& canvas, float x, float y, int evenness) {
    constexpr int kBest = 5;
    const float radius = 0.24F * canvas.em;
    for (int i = 0; i < kBest; ++i) {
        const float at = x + static_cast<float>(i) * 0.85F * canvas.em;
        if (i < evenness) {
            canvas.dot(at, y, radius, canvas.colour.brass);
        } else {
            canvas.ring(
                at, y, radius - 0.5F * canvas.hair(), canvas.colour.ink_soft, canvas.hair());
        }
    }
    canvas.text(Face::text,
                canvas.small_cap(),
                x + static_cast<float>(kBest) * 0.85F * canvas.em + 0.2F * canvas.em,
                y + 0.5F * canvas.small_cap(),
                Align::left,
                canvas.colour.ink_soft,
                std::to_string(evenness) + " of 5");
}

/// Every way to play the chosen note, the usual one first.
void draw_ways(const Canvas& canvas,
               const horn::Tuning& tuning,
               const horn::PlayedNote& note,
               Box box) {
    canvas.hairline(box.x0, box.y0, box.x1, box.y0);
    box.take_top(1.3F * canvas.em);
    const float em = canvas.em;
    const float cap = std::min(canvas.scale.figure_cap_px(), 0.55F * box.height());
    const Box name = box.take_left(13.0F * em);
    canvas.note_name(note.written, cap, name.x0, name.y0 + cap, Align::left, canvas.colour.ink);
    char target[64];
    std::snprintf(target,
                  sizeof target,
                  "sounds %s, %.1f Hz",
                  horn::display_name(note.sounding).c_str(),
                  note.target_hz);
    canvas.text(Face::text,
                canvas.small_cap(),
                name.x0,
                name.y0 + cap + 1.6F * em,
                Align::left,
                canvas.colour.ink_soft,
                target);
    canvas.paragraph(Face::text,
                     canvas.small_cap(),
                     {name.x0, name.y0 + cap + 2.2F * em, name.x1 - em, name.y1},
                     canvas.colour.ink_soft,
                     horn::target_words(note.written, tuning));

    const float columns[] = {0.0F, 5.5F, 18.5F, 23.5F, 30.5F, 35.5F};
    const char* heads[] = {"partial", "hand", "to bend", "by hand", "by lips", "evenness of tone"};
    const auto x_of = [&](int column) { return box.x0 + columns[column] * em; };
    for (int column = 0; column < 6; ++column) {
        canvas.text(Face::text,
                    canvas.small_cap(),
                    x_of(column),
                    box.y0 + canvas.small_cap(),
                    Align::left,
                    canvas.colour.ink_soft,
                    heads[column]);
    }
    box.take_top(1.9F * em);
    for (const horn::PlayedWay& played : note.ways) {
        if (box.height() < 1.2F * em) {
            break;
        }
        const Box row = box.take_top(1.75F * em);
        const float baseline = row.y0 + canvas.cap();
        const auto cents = [&](int column, double value) {
            canvas.text(Face::text,
                        canvas.cap(),
                        x_of(column),
                        baseline,
                        Align::left,
                        canvas.colour.ink,
                        desk::signed_cents(value));
        };
        canvas.text(Face::music,
                    canvas.cap(),
                    x_of(0),
                    baseline,
                    Align::left,
                    canvas.colour.ink,
                    words::ordinal(played.way.partial));
        canvas.text_within(Face::text,
                           canvas.cap(),
                           x_of(1),
                           baseline,
                           12.4F * em,
                           canvas.colour.ink,
                           desk::way_words(played.way));
        cents(2, played.needed_cents);
        canvas.text(Face::text,
                    canvas.cap(),
                    x_of(3),
                    baseline,
                    Align::left,
                    canvas.colour.ink,
                    desk::signed_cents(played.hand_cents) + " ± " +
                        std::to_string(std::lround(played.doubt_cents)));
        cents(4, played.lips_cents);
        draw_evenness(canvas, x_of(5) + 0.3F * em, baseline - 0.5F * canvas.cap(), played.evenness);
    }
    std::string remark = note.remark;
    for (const horn::PlayedWay& played : note.ways) {
        const std::string doubted = horn::sign_remark(played);
        remark += (remark.empty() || doubted.empty() ? "" : " ") + doubted;
    }
    for (const std::string& line :
         {remark, std::string("Two signs side by side: the hand anywhere between them.")}) {
        if (!line.empty() && box.height() > 1.4F * em) {
            canvas.text(Face::remark,
                        canvas.cap(),
                        box.x0,
                        box.take_top(1.4F * em).y0 + 1.1F * em,
                        Align::left,
                        canvas.colour.ink_soft,
                        line);
        }
    }
}

} // namespace

void draw_chart_screen(const Canvas& page_canvas, desk::Desk& desk, const Box& window) {
    const Canvas canvas = page_canvas.fitted(window, 62.0F, 38.0F); // a page full of small print
    const float em = canvas.em;
    Box rest = window.shrunk(1.8F * em, 0.0F);
    draw_frame_of_page(canvas, desk, rest, window);
    const std::vector<horn::PlayedNote>& notes = desk.pages().chart.notes();
    rest.take_top(0.6F * em);
    const Box ways = rest.take_bottom(std::min(8.6F * em, 0.32F * rest.height()));
    const Page page = page_in(rest, static_cast<int>(notes.size()));

    const int chosen = desk.pages().chart.chosen();
    const std::optional<desk::ShownNote>& heard = desk.session().view().note();
    for (int index = 0; index < static_cast<int>(notes.size()); ++index) {
        const horn::PlayedNote& note = notes[static_cast<std::size_t>(index)];
        const bool sounding =
            heard && !heard->pale() && heard->note.written.number == note.written.number;
        draw_column(canvas, page, index, notes, index == chosen, sounding);
        if (desk.sheet() == desk::Sheet::none) {
            const std::string id = "note " + std::to_string(index);
            if (hot_spot(id.c_str(), page.at(index).column)) {
                desk.pages().chart.choose(index);
            }
        }
    }
    for (int system = 0; system < kSystems; ++system) {
        draw_system(canvas, page, notes, system);
    }
    if (chosen >= 0 && chosen < static_cast<int>(notes.size())) {
        draw_ways(canvas, desk.session().tuning(), notes[static_cast<std::size_t>(chosen)], ways);
    }
}

} // namespace bellhand::gui

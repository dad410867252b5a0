#include "chart/page.h"

#include "chart/hand_marks.h"
#include "chart/signs.h"
#include "chart/text.h"
#include "engraving/staff_place.h"
#include "horn/compass.h"

#include <algorithm>
#include <array>
#include <span>
#include <vector>

#include <fmt/format.h>

namespace bellhand::chart {

namespace {

constexpr double kMargin_mm = 13.0;
constexpr double kSpace_mm = 1.9;
constexpr double kLabels_mm = 14.0; // column of row names
constexpr double kClef_mm = 9.0;
constexpr double kSystems_mm = 36.0; // below the header
constexpr double kFooter_mm = 271.5;
constexpr double kQuietGrey = 0.42;
constexpr double kBeyondGrey = 0.58; // notes that parts for this crook do not usually ask for

using Notes = std::span<const horn::PlayedNote>;

// One line of music of the page.
struct System {
    Notes notes;
    bool bass_clef = false;
    double top_mm = 0.0;
};

// Where things stand in one system, from the heights of its notes.
struct Rows {
    double sign_mm;
    double manner_mm;
    Staff staff;
    double name_mm;
    double partial_mm;
    double lips_mm;
    double other_mm;
    double sounding_mm;
    double hz_mm;
};

horn::Note on_staff(const Sheet& sheet, const System& system, const horn::PlayedNote& note) {
    return system.bass_clef ? horn::in_bass_clef(note.written, sheet.bass_clef) : note.written;
}

engraving::Clef clef_of(const System& system) {
    return system.bass_clef ? engraving::Clef::bass : engraving::Clef::treble;
}

Rows rows_of(const Sheet& sheet, const System& system) {
    int highest = 8; // steps of the top line
    int lowest = 0;
    for (const horn::PlayedNote& note : system.notes) {
        const int steps =
            engraving::staff_place(on_staff(sheet, system, note), clef_of(system)).step;
        highest = std::max(highest, steps);
        lowest = std::min(lowest, steps);
    }
    const double half = 0.5 * kSpace_mm;
    Rows rows{};
    rows.sign_mm = system.top_mm + 4.0;
    rows.manner_mm = rows.sign_mm + 4.0;
    rows.staff = {kMargin_mm + kLabels_mm, rows.manner_mm + 2.4 + (highest + 1) * half, kSpace_mm};
    rows.name_mm = rows.staff.bottom_line_mm + (1 - lowest) * half + 5.2;
    rows.partial_mm = rows.name_mm + 4.5;
    rows.lips_mm = rows.partial_mm + 4.3;
    rows.other_mm = rows.lips_mm + 4.2;
    rows.sounding_mm = rows.other_mm + 4.2;
    rows.hz_mm = rows.sounding_mm + 3.7;
    return rows;
}

void draw_note(cairo_t* page,
               const Staff& staff,
               horn::Note note,
               engraving::Clef clef,
               double x_mm,
               bool poor,
               double grey) {
    const engraving::StaffPlace place = engraving::staff_place(note, clef);
    const double y_mm = staff.bottom_line_mm - 0.5 * place.step * staff.space_mm;
    set_grey(page, grey);
    const auto ledger = [&](int line) { // counted from the bottom line
        const double at = staff.bottom_line_mm - line * staff.space_mm;
        draw_line(page,
                  x_mm - 1.5 * staff.space_mm,
                  at,
                  x_mm + 1.5 * staff.space_mm,
                  at,
                  0.13 * staff.space_mm);
    };
    for (int i = 1; i <= place.ledgers_above; ++i) {
        ledger(4 + i);
    }
    for (int i = 1; i <= place.ledgers_below; ++i) {
        ledger(-i);
    }
    draw_whole_note(page, x_mm, y_mm, staff.space_mm);
    const int sharps = horn::staff_name(note).sharps;
    double left_mm = 1.15 * staff.space_mm;
    if (sharps != 0) {
        const auto shape = sharps > 0 ? draw_sharp : draw_flat;
        shape(page, x_mm - 1.55 * staff.space_mm, y_mm, staff.space_mm);
        left_mm = 2.25 * staff.space_mm;
    }
    if (poor) {
        const double middle = x_mm - 0.5 * (left_mm - 1.15 * staff.space_mm);
        draw_parentheses(
            page, middle, y_mm, 0.5 * (left_mm + 1.15 * staff.space_mm), staff.space_mm);
    }
}

std::string manner_words(const horn::HandWay& way) {
    std::string words = way.hand_out ? "hand out" : "";
    if (way.lip) {
        words += words.empty() ? "lip" : ", lip";
    }
    return words;
}

void draw_column(cairo_t* page,
                 const Sheet& sheet,
                 const System& system,
                 const Rows& rows,
                 const horn::PlayedNote& note,
                 double x_mm) {
    const double ink = note.in_usual_compass ? 0.0 : kBeyondGrey;
    const double quiet = std::max(ink, kQuietGrey);
    const auto text =
        [&](double y_mm, const std::string& words, double size_mm, double grey, bool bold) {
            draw_text(page, x_mm, y_mm, words, {size_mm, bold, grey, Align::centre});
        };
    const horn::PlayedWay& usual = note.ways.front();
    draw_hand_centred(page, x_mm, rows.sign_mm, usual.way, ink);
    text(rows.manner_mm, manner_words(usual.way), 2.1, quiet, false);
    draw_note(page,
              rows.staff,
              on_staff(sheet, system, note),
              clef_of(system),
              x_mm,
              usual.way.poor,
              ink);
    text(rows.name_mm, horn::display_name(note.written), 3.5, ink, true);
    if (sheet.key && horn::contains(*sheet.key, note.written.number)) {
        set_grey(page, ink);
        draw_line(page, x_mm - 3.2, rows.name_mm + 1.1, x_mm + 3.2, rows.name_mm + 1.1, 0.35);
    }
    text(rows.partial_mm, std::to_string(usual.way.partial), 3.3, ink, false);
    text(rows.lips_mm,
         signed_cents(usual.lips_cents) + (usual.sign_doubted ? "?" : ""),
         3.0,
         ink,
         false);
    if (note.ways.size() > 1) {
        draw_other_way(page, x_mm, rows.other_mm, note.ways[1].way, quiet);
    }
    text(rows.sounding_mm, horn::display_name(note.sounding), 2.9, quiet, false);
    text(rows.hz_mm, fmt::format("{:.1f}", note.target_hz), 2.6, quiet, false);
}

void draw_row_names(cairo_t* page, const Rows& rows) {
    const auto name = [page](double y_mm, const char* words) {
        draw_text(page, kMargin_mm, y_mm, words, {2.3, false, kQuietGrey, Align::left});
    };
    name(rows.sign_mm + 0.9, "hand");
    name(rows.name_mm, "written");
    name(rows.partial_mm, "partial");
    name(rows.lips_mm, "lips, cents");
    name(rows.other_mm, "or");
    name(rows.sounding_mm, "sounds");
    name(rows.hz_mm, "Hz");
}

void draw_system(cairo_t* page, const Sheet& sheet, const System& system) {
    const Rows rows = rows_of(sheet, system);
    const double width = kPageWidth_mm - 2.0 * kMargin_mm - kLabels_mm;
    draw_row_names(page, rows);
    set_grey(page, 0.0);
    draw_staff_lines(page, rows.staff, width);
    const double top_line = rows.staff.bottom_line_mm - 4.0 * kSpace_mm;
    for (const double x_mm : {rows.staff.x_mm, rows.staff.x_mm + width}) {
        draw_line(page, x_mm, top_line, x_mm, rows.staff.bottom_line_mm, 0.15 * kSpace_mm);
    }
    if (system.bass_clef) {
        draw_bass_clef(page, rows.staff.x_mm + 3.6, top_line + kSpace_mm, kSpace_mm);
    } else {
        draw_treble_clef(
            page, rows.staff.x_mm + 4.0, rows.staff.bottom_line_mm - kSpace_mm, kSpace_mm);
    }
    const double first = rows.staff.x_mm + kClef_mm;
    const double step = (width - kClef_mm) / static_cast<double>(system.notes.size());
    for (std::size_t i = 0; i < system.notes.size(); ++i) {
        draw_column(page,
                    sheet,
                    system,
                    rows,
                    system.notes[i],
                    first + (static_cast<double>(i) + 0.5) * step);
    }
}

void draw_header(cairo_t* page, const Sheet& sheet) {
    const double right = kPageWidth_mm - kMargin_mm;
    draw_text(page,
              kMargin_mm,
              20.5,
              fmt::format("Horn in {}", sheet.tuning.crook.label),
              {9.0, true, 0.0, Align::left});
    draw_text(page, right, 20.5, "Hand chart", {5.0, false, kQuietGrey, Align::right});
    const horn::Note c4 = horn::usual_spelling(60);
    const horn::Note sounding = horn::sounding_note(c4, sheet.tuning.crook);
    draw_text(page,
              kMargin_mm,
              28.5,
              fmt::format("A4 = {:g} Hz, {}", sheet.tuning.a4_hz, temperament_words(sheet.tuning)),
              {4.2, false, 0.0, Align::left});
    draw_text(page,
              right,
              28.5,
              fmt::format("written C4 sounds {}, {:.1f} Hz",
                          horn::display_name(sounding),
                          horn::target_hz(c4, sheet.tuning)),
              {3.4, false, kQuietGrey, Align::right});
    set_grey(page, 0.0);
    draw_line(page, kMargin_mm, 32.0, right, 32.0, 0.35);
}

std::string key_line(const Sheet& sheet) {
    std::string line = "Underlined: written " + horn::scale_label(*sheet.key) +
                       ". Open, covered, stopped, lipped notes";
    const char* joint = ": ";
    for (const horn::ScaleCount& octave : sheet.octaves) {
        line += fmt::format("{}{}–{} {}, {}, {}, {}",
                            joint,
                            horn::display_name(octave.notes.front()),
                            horn::display_name(octave.notes.back()),
                            octave.open,
                            octave.covered,
                            octave.stopped,
                            octave.lipped);
        joint = "; ";
    }
    return line + ".";
}

void draw_footer(cairo_t* page, const Sheet& sheet) {
    const double right = kPageWidth_mm - kMargin_mm;
    set_grey(page, 0.0);
    draw_line(page, kMargin_mm, kFooter_mm - 4.5, right, kFooter_mm - 4.5, 0.2);
    const TextStyle style{2.6, false, 0.2, Align::left};
    double y_mm = kFooter_mm;
    const auto line = [&](const std::string& words) {
        draw_text(page, kMargin_mm, y_mm, words, style);
        y_mm += 3.9;
    };
    // The signs stand as drawn above, so the first line is put together from shapes and words.
    double x_mm = kMargin_mm;
    const auto sign = [&](horn::Hand hand, const char* words) {
        horn::HandWay way;
        way.hand = hand;
        way.hand_to = hand;
        x_mm += 1.2 + draw_hand(page, x_mm, y_mm - 0.9, way, style);
        x_mm += 5.0 + draw_text(page, x_mm, y_mm, words, style);
    };
    sign(horn::Hand::open, "open");
    sign(horn::Hand::quarter, "a quarter covered");
    sign(horn::Hand::half, "half covered");
    sign(horn::Hand::three_quarters, "three-quarters covered");
    sign(horn::Hand::full, "full stop");
    draw_text(page, x_mm, y_mm, "( ) poor", style);
    y_mm += 3.9;
    const horn::Compass compass = horn::usual_compass(sheet.tuning.crook);
    line(fmt::format("Grey: beyond partials {} to {}, usual on this crook. Bass clef in the {}.",
                     compass.lowest_partial,
                     compass.highest_partial,
                     sheet.bass_clef == horn::BassClef::octave_lower
                         ? "old notation, an octave below the names under the staff"
                         : "new notation, as the names under the staff"));
    line("Lips: cents left to lift (+) or lower (−); ?: sign and hand differ by over 50. Hand: " +
         sheet.hand_source + ".");
    line("Signs as taught in the early nineteenth century, from memory, compared with Widor, "
         "Initiation musicale. Hands differ: trust your ear.");
    if (const std::string words = key_words(sheet.tuning); !words.empty()) {
        line(words);
    }
    if (sheet.key) {
        line(key_line(sheet));
    }
}

// Four lines of music: the bass clef, then an octave each from G3, G4 and G5; what height they leave over is shared.
std::vector<System> laid_out(const Sheet& sheet) {
    constexpr std::array kStarts{0, 55, 67, 79, 200};
    const auto lies_below = [](const horn::PlayedNote& note, int number) {
        return note.written.number < number;
    };
    std::vector<System> systems;
    double height_mm = 0.0;
    for (std::size_t i = 0; i + 1 < kStarts.size(); ++i) {
        const auto first =
            std::lower_bound(sheet.notes.begin(), sheet.notes.end(), kStarts[i], lies_below);
        const auto last = std::lower_bound(first, sheet.notes.end(), kStarts[i + 1], lies_below);
        System system{Notes(first, last), i == 0};
        system.top_mm = kSystems_mm + height_mm;
        height_mm = rows_of(sheet, system).hz_mm - kSystems_mm;
        systems.push_back(system);
    }
    const double spare_mm = kFooter_mm - 7.5 - kSystems_mm - height_mm;
    for (std::size_t i = 1; i < systems.size(); ++i) {
        systems[i].top_mm +=
            spare_mm * static_cast<double>(i) / static_cast<double>(systems.size() - 1);
    }
    return systems;
}

} // namespace

Result<std::string> sheet_page(const Sheet& sheet, PageFormat format) {
    const std::vector<System> systems = laid_out(sheet);
    return render_page(format, sheet_title(sheet) + ": hand chart", [&](cairo_t* page) {
        draw_header(page, sheet);
        for (const System& system : systems) {
            draw_system(page, sheet, system);
        }
        draw_footer(page, sheet);
    });
}

} // namespace bellhand::chart

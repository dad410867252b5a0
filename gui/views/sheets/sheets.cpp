#include "core/cents.h"
#include "desk/model/phrases.h"
#include "gui/views/page_parts.h"
#include "gui/views/sheets/sheet_rows.h"
#include "gui/views/surface.h"
#include "gui/views/views.h"
#include "horn/crook.h"
#include "horn/temperament.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace bellhand::gui {

namespace {

void draw_crooks(const Canvas& canvas, desk::Desk& desk, const Box& box) {
    const auto crooks = horn::all_crooks();
    const float height =
        std::min(2.1F * canvas.em, box.height() / static_cast<float>(crooks.size()));
    draw_rows(canvas,
              desk,
              box,
              static_cast<int>(crooks.size()),
              std::max(1.7F * canvas.em, height),
              [&](int index) {
                  const horn::Crook& crook = crooks[static_cast<std::size_t>(index)];
                  horn::Tuning tuning = desk.session().tuning();
                  tuning.crook = crook;
                  char remark[64];
                  const horn::Note sounding =
                      horn::parse_note(crook.sounding_c4)
                          .value_or(horn::usual_spelling(60 + crook.transposition));
                  std::snprintf(remark,
                                sizeof remark,
                                "written C sounds %s, %.1f Hz",
                                horn::display_name(sounding).c_str(),
                                4.0 * horn::fundamental_hz(tuning));
                  return SheetRow{std::string("Horn in ") + crook.label, remark};
              });
}

void draw_temperaments(const Canvas& canvas, desk::Desk& desk, Box box) {
    const auto all = horn::all_temperaments();
    const desk::TemperamentSheet& sheet = desk.sheets().temperament;
    Box words = box.take_bottom(6.0F * canvas.em);
    draw_rows(canvas, desk, box, sheet.rows(), 2.2F * canvas.em, [&](int index) {
        if (const auto row = desk::TemperamentSheet::footing_row(index)) {
            constexpr const char* kNames[] = {"Root", "What stays", "Black key of a meantone"};
            return SheetRow{kNames[static_cast<std::size_t>(*row)], sheet.value_of(*row)};
        }
        const horn::Temperament& temperament = all[static_cast<std::size_t>(index)];
        constexpr int kSoundingE4 = 64;
        horn::Tuning tuning = desk.session().tuning();
        tuning.temperament = temperament;
        const double e = horn::offset_from_equal_cents(tuning, kSoundingE4);
        char remark[64] = "";
        if (std::abs(e) > 0.05) {
            std::snprintf(
                remark, sizeof remark, "sounding E %s%.1f cents", e < 0 ? "−" : "+", std::abs(e));
        }
        return SheetRow{temperament.label, remark};
    });
    words.take_top(1.6F * canvas.em);
    canvas.paragraph(
        Face::text, canvas.small_cap(), words, canvas.colour.ink_soft, sheet.targets_in_words());
}

void draw_exercises(const Canvas& canvas, desk::Desk& desk, Box box) {
    const auto& rows = desk.sheets().exercises.listed();
    const auto at = static_cast<std::size_t>(desk.sheets().exercises.selected());
    const Box words = box.take_bottom(5.6F * canvas.em);
    draw_rows(canvas, desk, box, static_cast<int>(rows.size()), 2.1F * canvas.em, [&](int index) {
        const desk::ExerciseRow& row = rows[static_cast<std::size_t>(index)];
        return SheetRow{row.exercise.title,
                        row.why_not.empty() ? row.exercise.family : "not on this crook"};
    });
    const std::string& problem = desk.sheets().exercises.problem();
    if (!problem.empty()) {
        canvas.paragraph(Face::text, canvas.small_cap(), words, canvas.colour.warning, problem);
    } else if (at < rows.size()) {
        Box place = words;
        place.take_top(1.4F * canvas.em);
        canvas.paragraph(Face::text,
                         canvas.small_cap(),
                         place,
                         canvas.colour.ink_soft,
                         rows[at].why_not.empty() ? rows[at].exercise.purpose : rows[at].why_not);
    }
}

void draw_pitch(const Canvas& canvas, desk::Desk& desk, Box box) {
    desk::PitchSheet& sheet = desk.sheets().pitch;
    const std::string words = sheet.typed().empty()
                                  ? desk::hertz_text(desk.session().tuning().a4_hz)
                                  : sheet.typed() + "_";
    const float cap = std::min(1.4F * canvas.scale.figure_cap_px(), 4.0F * canvas.em);
    const Box top = box.take_top(cap + 3.2F * canvas.em);
    canvas.text(Face::music,
                cap,
                top.x0,
                top.y0 + canvas.em + cap,
                Align::left,
                canvas.colour.ink,
                "A = " + words);
    double cents = cents_between(desk.session().tuning().a4_hz, 440.0);
    cents = std::abs(cents) < 0.05 ? 0.0 : cents;
    char against[64];
    if (cents == 0.0) {
        std::snprintf(against, sizeof against, "today's concert pitch");
    } else {
        std::snprintf(against,
                      sizeof against,
                      "%.1f cents %s A = 440",
                      std::abs(cents),
                      cents < 0 ? "below" : "above");
    }
    canvas.text(Face::text,
                canvas.cap(),
                box.x0,
                box.y0 + canvas.cap(),
                Align::left,
                canvas.colour.ink_soft,
                against);
    box.take_top(3.0F * canvas.em);
    const auto line = [&](const std::string& key, const std::string& meaning) {
        const Box row = box.take_top(2.4F * canvas.em);
        const float baseline = row.y0 + canvas.em;
        canvas.key_cap(row.x0, baseline, key);
        canvas.text(Face::text,
                    canvas.cap(),
                    row.x0 + 6.2F * canvas.em,
                    baseline,
                    Align::left,
                    canvas.colour.ink,
                    meaning);
    };
    for (const desk::KeyLine& each : sheet.keys()) {
        if (each.foot != desk::Foot::always) {
            line(each.cap, each.words);
        }
    }
    if (!desk.session().problem().empty()) {
        canvas.paragraph(
            Face::text, canvas.cap(), box, canvas.colour.warning, desk.session().problem());
    }
}

std::string input_words(const desk::Desk& desk) {
    if (!desk.session().device_problem().empty()) {
        return desk.session().device_problem();
    }
    if (desk.session().looking_for_devices()) {
        return "Looking for microphones ...";
    }
    const auto& rows = desk.sheets().input.listed();
    const bool any = std::any_of(rows.begin(), rows.end(), [](const desk::InputRow& row) {
        return row.kind == desk::InputRow::Kind::device;
    });
    if (!any) {
        return "No microphone was found: connect one, then press R to look again.";
    }
    if (!desk.session().call_problem().empty()) {
        return desk.session().call_problem();
    }
    if (desk.session().call()) {
        return "Heard too, as the call: " + desk.session().call_name() +
               ". Tab on its row lets it go.";
    }
    return "Left and Right choose the channel, R looks again. In a remote lesson everybody listens "
           "to the microphone; the teacher takes the input that hears what this computer plays as "
           "a second one, by Tab, and sees both sides.";
}

void draw_inputs(const Canvas& canvas, desk::Desk& desk, Box box) {
    const auto& rows = desk.sheets().input.listed();
    Box notes = box.take_bottom(9.5F * canvas.em);
    draw_rows(canvas, desk, box, static_cast<int>(rows.size()), 2.3F * canvas.em, [&](int index) {
        const desk::InputRow& row = rows[static_cast<std::size_t>(index)];
        switch (row.kind) {
        case desk::InputRow::Kind::demo:
            return SheetRow{"Demo player", "an invented player, with mistakes"};
        case desk::InputRow::Kind::file:
            return SheetRow{"A sound file", "or drop it on the window"};
        default:
            break;
        }
        std::string remark = row.device.monitor ? "what this computer plays" : row.device.host_api;
        if (index == desk.sheets().input.selected() && row.device.inputs > 1) {
            const int channel = desk.session().input().device.channel;
            remark = channel == 0 ? "all channels mixed"
                                  : "channel " + std::to_string(channel) + " of " +
                                        std::to_string(row.device.inputs);
        } else if (row.device.default_input) {
            remark = "the default";
        }
        if (desk.session().call() && desk.session().call()->device.name == row.device.name) {
            remark = "heard too, as the call";
        }
        return SheetRow{row.device.name, remark};
    });
    const std::string words = input_words(desk);
    notes.take_top(1.5F * canvas.em);
    canvas.paragraph(Face::text,
                     canvas.small_cap(),
                     notes,
                     desk.session().device_problem().empty() ? canvas.colour.ink_soft
                                                             : canvas.colour.warning,
                     words);
}

/// A path loses its beginning when it is too long: its end is what is read and typed.
void draw_path(const Canvas& canvas, const Box& line, Colour ink, const std::string& path) {
    std::string shown = path;
    while (!shown.empty() && canvas.width(Face::text, canvas.cap(), shown) > line.width()) {
        const std::size_t stroke = shown.find('/', 2);
        shown = "…" + (stroke != std::string::npos ? shown.substr(stroke) : shown.substr(8));
    }
    canvas.text(Face::text, canvas.cap(), line.x0, line.y0 + canvas.em, Align::left, ink, shown);
}

void draw_preview(const Canvas& canvas, const desk::FilePreview& preview, Box box) {
    const float em = canvas.em;
    if (preview.title.empty() || box.height() < 6.0F * em) {
        return;
    }
    box.take_top(1.2F * em);
    canvas.hairline(box.x0, box.y0, box.x1, box.y0);
    box.take_top(1.0F * em);
    canvas.text_within(Face::music,
                       1.2F * canvas.cap(),
                       box.x0,
                       box.y0 + 1.2F * canvas.cap(),
                       box.width(),
                       canvas.colour.ink,
                       preview.title);
    box.take_top(2.0F * em);
    const float line = 2.05F * canvas.small_cap();
    for (const std::string& words : preview.lines) {
        const int lines = lines_of(canvas, Face::text, canvas.small_cap(), box.width(), words);
        if (box.height() < static_cast<float>(lines) * line) {
            return;
        }
        canvas.paragraph(Face::text, canvas.small_cap(), box, canvas.colour.ink_soft, words);
        box.take_top(static_cast<float>(lines) * line);
    }
}

void draw_files(const Canvas& canvas, desk::Desk& desk, Box box) {
    const desk::FileBrowser& browser = desk.sheets().files.browser();
    draw_path(
        canvas, box.take_top(2.0F * canvas.em), canvas.colour.ink_soft, browser.folder().string());
    const Box typed = box.take_top(2.4F * canvas.em);
    canvas.outline({typed.x0, typed.y0 - 0.2F * canvas.em, typed.x1, typed.y1 - 0.6F * canvas.em},
                   canvas.colour.ink_soft,
                   canvas.hair(),
                   0.2F * canvas.em);
    draw_path(canvas,
              {typed.x0 + 0.6F * canvas.em, typed.y0, typed.x1 - 0.6F * canvas.em, typed.y1},
              browser.typed().empty() ? canvas.colour.ink_soft : canvas.colour.ink,
              browser.typed().empty() ? "type to narrow the list, or a path"
                                      : browser.typed() + "|");
    const Box words = box.take_bottom(4.4F * canvas.em);
    const auto& rows = browser.rows();
    // What the chosen file is stands under a short list, and at the foot of a long one.
    constexpr float kRow = 2.1F;
    constexpr float kPreview = 11.0F;
    constexpr float kLeastRows = 4.0F * kRow;
    if (box.height() > (kPreview + kLeastRows) * canvas.em) {
        Box preview = box;
        preview.y0 = std::min(box.y0 + static_cast<float>(rows.size()) * kRow * canvas.em,
                              box.y1 - kPreview * canvas.em);
        box.y1 = preview.y0;
        draw_preview(canvas, desk.sheets().files.preview(), preview);
    }
    draw_rows(canvas, desk, box, static_cast<int>(rows.size()), 2.1F * canvas.em, [&](int index) {
        const desk::FileRow& row = rows[static_cast<std::size_t>(index)];
        return SheetRow{row.words,
                        row.kind == desk::FileRow::Kind::recent ? "lately, " + row.remark
                                                                : row.remark};
    });
    Box place = words;
    place.take_top(1.0F * canvas.em);
    const std::string& problem = browser.problem();
    canvas.paragraph(Face::text,
                     canvas.small_cap(),
                     place,
                     problem.empty() ? canvas.colour.ink_soft : canvas.colour.warning,
                     !problem.empty() ? problem
                     : rows.empty()
                         ? "Nothing here begins like that. Enter opens the name as it is typed."
                         : "Sound, homework, exercises, horns and music. Backspace goes to the "
                           "folder above.");
}

void draw_more(const Canvas& canvas, const Box& box, float hidden_px) {
    if (hidden_px > 0.0F) {
        const float baseline = box.y1 + canvas.em;
        const float x = box.x1 - canvas.width(Face::text, canvas.small_cap(), "more") -
                        0.5F * canvas.em - canvas.key_cap_width("Down");
        const float after = x + canvas.key_cap(x, baseline, "Down") + 0.5F * canvas.em;
        canvas.text(Face::text,
                    canvas.small_cap(),
                    after,
                    baseline,
                    Align::left,
                    canvas.colour.ink_soft,
                    "more");
    }
}

const char* title_of(desk::Sheet sheet) {
    switch (sheet) {
    case desk::Sheet::input:
        return "Listen to";
    case desk::Sheet::crook:
        return "Crook";
    case desk::Sheet::pitch:
        return "Pitch of the day";
    case desk::Sheet::temperament:
        return "Temperament and root";
    case desk::Sheet::exercises:
        return "Exercises";
    case desk::Sheet::files:
        return "Open a file";
    case desk::Sheet::start:
        return "Before the first note";
    case desk::Sheet::sound:
        return "Sound";
    case desk::Sheet::help:
        return "Keys and cautions";
    case desk::Sheet::about:
        return "About Bellhand";
    case desk::Sheet::figures:
        return "What the figures mean";
    default:
        return "";
    }
}

} // namespace

void draw_sheet(const Canvas& page, desk::Desk& desk, const Box& window) {
    // Rows stay whole: large type grows only as far as a sheet fits into the window.
    const Canvas canvas = page.fitted(window, 36.0F, 27.0F);
    const float em = canvas.em;
    const bool wide = desk.sheet() == desk::Sheet::help || desk.sheet() == desk::Sheet::about ||
                      desk.sheet() == desk::Sheet::figures;
    const float width = std::min(window.width() - 2.0F * em, (wide ? 52.0F : 34.0F) * em);
    Box sheet{window.x1 - width, window.y0, window.x1, window.y1};

    canvas.fill({window.x0, window.y0, sheet.x0, window.y1}, faded(canvas.colour.paper, 0.72F));
    if (hot_spot("beside the sheet", {window.x0, window.y0, sheet.x0, window.y1})) {
        desk.close_sheet();
        return;
    }
    canvas.fill(sheet, canvas.colour.sheet);
    canvas.fill({sheet.x0, sheet.y0, sheet.x0 + 0.25F * em, sheet.y1}, canvas.colour.brass);

    Box inside = sheet.shrunk(2.2F * em, 1.8F * em);
    const Box head = inside.take_top(3.6F * em);
    canvas.text(Face::music,
                1.5F * canvas.cap(),
                head.x0,
                head.y0 + 1.5F * canvas.cap(),
                Align::left,
                canvas.colour.ink,
                title_of(desk.sheet()));
    const float key_x = head.x1 - canvas.key_cap_width("Esc");
    canvas.key_cap(key_x, head.y0 + 1.4F * canvas.cap(), "Esc");
    if (hot_spot("close", {key_x, head.y0, head.x1, head.y0 + 2.0F * em})) {
        desk.close_sheet();
        return;
    }
    const int step = desk.sheets().reading.selected();
    switch (desk.sheet()) {
    case desk::Sheet::input:
        draw_inputs(canvas, desk, inside);
        break;
    case desk::Sheet::crook:
        draw_crooks(canvas, desk, inside);
        break;
    case desk::Sheet::pitch:
        draw_pitch(canvas, desk, inside);
        break;
    case desk::Sheet::temperament:
        draw_temperaments(canvas, desk, inside);
        break;
    case desk::Sheet::exercises:
        draw_exercises(canvas, desk, inside);
        break;
    case desk::Sheet::files:
        draw_files(canvas, desk, inside);
        break;
    case desk::Sheet::start:
        draw_start(canvas, desk, inside);
        break;
    case desk::Sheet::sound:
        draw_sound_sheet(canvas, desk, inside);
        break;
    case desk::Sheet::help:
        draw_more(canvas, inside, draw_help(canvas, desk.keys_of_page(), inside, step));
        break;
    case desk::Sheet::about:
        draw_more(canvas, inside, draw_about(canvas, inside, step));
        break;
    case desk::Sheet::figures:
        draw_more(canvas, inside, draw_figure_help(canvas, inside, step));
        break;
    default:
        break;
    }
}

} // namespace bellhand::gui

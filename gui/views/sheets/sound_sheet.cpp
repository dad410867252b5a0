#include "gui/views/sheets/sheet_rows.h"
#include "gui/views/views.h"

#include <string>

namespace bellhand::gui {

namespace {

constexpr const char* kCaution =
    "These sounds can be loud in headphones: turn the amplifier down before you put them on. Sound "
    "over 80 dB(A) for a working day can harm hearing (Directive 2003/10/EC); for limits and "
    "protection follow the rules where you are, and for trouble with your hearing see a doctor. "
    "Enter begins.";

/// "Left Right: change it. B: tap the beat. ..."
std::string words_of(const desk::KeyTable& table) {
    std::string words;
    for (const desk::KeyLine& line : table) {
        if (line.foot == desk::Foot::usual) {
            words += line.cap + ": " + line.words + ".  ";
        }
    }
    return words;
}

std::string state_of(const desk::Desk& desk) {
    const practice::OwnSoundWords own = desk.session().view().own_sound();
    if (!desk.session().listening()) {
        return "The session is stopped: nothing sounds until it begins.";
    }
    return own.words + (own.figures.empty() ? "" : " (" + own.figures + ")");
}

} // namespace

void draw_sound_sheet(const Canvas& canvas, desk::Desk& desk, Box box) {
    Box notes = box.take_bottom(9.0F * canvas.em);
    draw_rows(canvas, desk, box, desk::SoundDesk::kRows, 2.1F * canvas.em, [&](int index) {
        const desk::SoundDesk::Words words = desk.session().sound().words(
            static_cast<desk::SoundDesk::Row>(index), desk.session().tuning());
        return SheetRow{words.what, words.how};
    });
    notes.take_top(1.2F * canvas.em);
    if (desk.session().sound().cautions()) {
        canvas.paragraph(Face::text, canvas.cap(), notes, canvas.colour.warning, kCaution);
        return;
    }
    const std::string state = state_of(desk);
    const bool warning = desk.session().view().own_sound().warning;
    const float y = canvas.paragraph(Face::text,
                                     canvas.small_cap(),
                                     notes,
                                     warning ? canvas.colour.warning : canvas.colour.ink,
                                     state);
    Box rest = notes;
    rest.y0 = state.empty() ? notes.y0 : y;
    canvas.paragraph(Face::text,
                     canvas.small_cap(),
                     rest,
                     canvas.colour.ink_soft,
                     words_of(desk.sheets().sound.keys()) +
                         "Turn headphones down before you put them on.");
}

} // namespace bellhand::gui

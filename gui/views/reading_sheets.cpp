#include "core/version.h"
#include "gui/views/views.h"

#include <array>
#include <string>

namespace bellhand::gui {

namespace {

struct KeyLine {
    const char* key;
    const char* meaning;
};

constexpr std::array kKeys{
    KeyLine{"Space", "end the session, begin the next"},
    KeyLine{"L", "large view and back"},
    KeyLine{"PgDn", "next screen (PgUp: the one before)"},
    KeyLine{"C", "crook"},
    KeyLine{"A", "pitch of the day; + and − change it by 1 Hz"},
    KeyLine{"T", "temperament"},
    KeyLine{"I", "input: microphone, file, demo player"},
    KeyLine{"D", "dark or light paper"},
    KeyLine{"Ctrl +", "larger type (Ctrl −: smaller, Ctrl 0: as it was)"},
    KeyLine{"F11", "whole screen"},
    KeyLine{"H", "this page"},
    KeyLine{"V", "version and licences"},
    KeyLine{"Ctrl Q", "leave"},
};

struct Caution {
    const char* about;
    const char* words;
};

constexpr std::array kCautions{
    Caution{"Lips",
            "Rest as long as you play, in blocks of half an hour at most. Stop when it hurts."},
    Caution{"Arm and hand",
            "An arm that carries and a hand in the bell tire unnoticed. Put the horn down often; "
            "stop at pain or "
            "numbness."},
    Caution{"Hearing",
            "A horn in a small room is loud enough to do harm. Take breaks, wear protection; rules "
            "for sound at work "
            "are local. The level shown is that of the microphone, not of the room."},
    Caution{"Headphones", "Begin at the lowest level."},
    Caution{"Advice",
            "Bellhand gives none on health. With complaints that stay, see a doctor or therapist "
            "licensed where you "
            "live, best one who knows musicians."},
};

constexpr std::array kLibraries{
    KeyLine{"Dear ImGui", "MIT"},
    KeyLine{"GLFW", "zlib"},
    KeyLine{"stb", "MIT or public domain"},
    KeyLine{"PortAudio", "MIT"},
    KeyLine{"libsndfile", "LGPL 2.1 or later"},
    KeyLine{"libsamplerate", "BSD 2-clause"},
    KeyLine{"KissFFT", "BSD 3-clause"},
    KeyLine{"SQLite", "public domain"},
    KeyLine{"CLI11", "BSD 3-clause"},
    KeyLine{"{fmt}, JSON for Modern C++", "MIT"},
    KeyLine{"tl::expected", "CC0"},
    KeyLine{"TeX Gyre Schola (type)", "GUST Font License"},
    KeyLine{"Inter (type)", "SIL Open Font License 1.1"},
    KeyLine{"DejaVu (accidentals)", "Bitstream Vera, public domain"},
};

} // namespace

void draw_help(const Canvas& canvas, const Box& box) {
    Box right = box;
    Box left = right.take_left(0.52F * box.width());
    right.take_left(2.0F * canvas.em);
    for (const KeyLine& line : kKeys) {
        const Box row = left.take_top(2.3F * canvas.em);
        const float baseline = row.y0 + canvas.em;
        canvas.key_cap(row.x0, baseline, line.key);
        canvas.text_within(Face::text,
                           0.92F * canvas.cap(),
                           row.x0 + 4.6F * canvas.em,
                           baseline,
                           row.width() - 4.6F * canvas.em,
                           canvas.colour.ink,
                           line.meaning);
    }
    left.take_top(0.6F * canvas.em);
    canvas.paragraph(Face::text,
                     canvas.small_cap(),
                     left,
                     canvas.colour.ink_soft,
                     "Foot pedals that send Space and Page Down work as they are. Everything can "
                     "be done by keys; the "
                     "pointer does the same on what it points at.");
    for (const Caution& caution : kCautions) {
        canvas.text(Face::strong,
                    0.92F * canvas.cap(),
                    right.x0,
                    right.y0 + canvas.em,
                    Align::left,
                    canvas.colour.ink,
                    caution.about);
        right.take_top(1.9F * canvas.em);
        right.y0 = canvas.paragraph(
                       Face::text, 0.92F * canvas.cap(), right, canvas.colour.ink, caution.words) +
                   0.3F * canvas.em;
    }
}

void draw_about(const Canvas& canvas, const Box& box) {
    Box rest = box;
    canvas.text(Face::text,
                canvas.cap(),
                rest.x0,
                rest.y0 + canvas.cap(),
                Align::left,
                canvas.colour.ink,
                std::string("Version ") + version() +
                    ". A practice tuner and partial trainer for the natural horn.");
    rest.take_top(2.4F * canvas.em);
    rest.y0 = canvas.paragraph(
        Face::text,
        canvas.cap(),
        rest,
        canvas.colour.ink,
        "Sound never leaves this computer: it is analysed here, and only figures of the notes "
        "are written to the log.");
    rest.take_top(0.8F * canvas.em);
    canvas.text(Face::remark,
                canvas.cap(),
                rest.x0,
                rest.y0 + canvas.cap(),
                Align::left,
                canvas.colour.ink_soft,
                "made with");
    rest.take_top(2.2F * canvas.em);
    for (const KeyLine& line : kLibraries) {
        const Box row = rest.take_top(1.75F * canvas.em);
        const float baseline = row.y0 + canvas.em;
        canvas.text(Face::text,
                    0.92F * canvas.cap(),
                    row.x0,
                    baseline,
                    Align::left,
                    canvas.colour.ink,
                    line.key);
        canvas.text(Face::text,
                    0.92F * canvas.cap(),
                    row.x0 + 16.0F * canvas.em,
                    baseline,
                    Align::left,
                    canvas.colour.ink_soft,
                    line.meaning);
    }
}

} // namespace bellhand::gui

#include "desk/sheets/sound_sheet.h"

namespace bellhand::desk {

void SoundSheet::enter() {
    select(0);
    session_.look_for_devices();
}

void SoundSheet::accept() {
    session_.sound().accept(row());
}

void SoundSheet::after_key() {
    if (session_.sound().take_output_change() && session_.listening()) {
        session_.begin(); // another output belongs to another session
    }
    session_.sound_now();
}

KeyTable SoundSheet::keys() {
    SoundDesk& sound = session_.sound();
    const auto level = [&sound](int step) {
        return [&sound, step] { sound.change(SoundDesk::Row::level, step); };
    };
    KeyTable table{
        on(Key::enter, "switch on or off", [this] { accept(); }).or_key(' '),
        rows_line(),
        on_steps(Key::left,
                 Key::right,
                 "change it",
                 [this, &sound](int step) { sound.change(row(), step); }),
        on('p', "play the reference note", [&sound] { sound.accept(SoundDesk::Row::reference); }),
        on('b', "tap the beat", [this, &sound] { sound.tap(session_.wall_s()); }),
        on('g', "take the root of the crook", [&sound] { sound.take_root(); }),
        on('+', "louder", level(1)).or_key('='),
        on('-', "softer", level(-1)),
        close_line()};
    for (KeyLine& line : table) {
        line.held = line.held || line.cap == "+" || line.cap == "-";
    }
    return table;
}

} // namespace bellhand::desk

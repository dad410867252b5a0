#include "engraving/staff_place.h"

namespace bellhand::engraving {

namespace {

/// White notes from C0 up: C4 is 28.
int diatonic(horn::Note note) noexcept {
    static constexpr int kStepOfClass[12] = {0, -1, 1, -1, 2, 3, -1, 4, -1, 5, -1, 6};
    const int natural = note.number - note.sharps;
    const int octave = (natural + 1200) / 12 - 101; // C4 = 60 -> 4, also for small numbers
    const int step = kStepOfClass[(natural + 1200) % 12];
    return octave * 7 + (step < 0 ? 0 : step);
}

constexpr int kE4 = 4 * 7 + 2;      // bottom line of the treble staff
constexpr int kG2 = 2 * 7 + 4;      // bottom line of the bass staff
constexpr int kLowestInTreble = 55; // G3
constexpr int kTopLine = 8;         // in steps from the bottom line

} // namespace

StaffPlace staff_place(horn::Note note) noexcept {
    return staff_place(note, note.number >= kLowestInTreble ? Clef::treble : Clef::bass);
}

StaffPlace staff_place(horn::Note note, Clef clef) noexcept {
    StaffPlace place;
    place.clef = clef;
    place.step = diatonic(note) - (place.clef == Clef::treble ? kE4 : kG2);
    if (place.step > kTopLine) {
        place.ledgers_above = (place.step - kTopLine) / 2;
    }
    if (place.step < 0) {
        place.ledgers_below = -place.step / 2;
    }
    return place;
}

int head_step(const horn::StaffName& head, Clef clef, int clef_octaves) noexcept {
    static constexpr int kStepOfLetter[] = {5, 6, 0, 1, 2, 3, 4}; // A to G
    const int step = (head.octave - clef_octaves) * 7 + kStepOfLetter[head.letter - 'A'];
    return step - (clef == Clef::treble ? kE4 : kG2);
}

bool needs_natural(horn::Note before, horn::Note note) noexcept {
    const StaffPlace one = staff_place(before);
    const StaffPlace other = staff_place(note);
    return note.sharps == 0 && before.sharps != 0 && one.clef == other.clef &&
           one.step == other.step;
}

} // namespace bellhand::engraving

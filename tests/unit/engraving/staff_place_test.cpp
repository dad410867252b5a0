#include "engraving/staff_place.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::engraving;

namespace {

int height(const char* note, bool bass_clef) {
    return staff_place(*horn::parse_note(note), bass_clef ? Clef::bass : Clef::treble).step;
}

} // namespace

// Places of notes on a staff: common practice notation, no source needed beyond any primer.
TEST_SUITE("engraving/staff place") {
    TEST_CASE("lines and spaces of the treble staff") {
        CHECK(staff_place({64, 0}).step == 0); // E4 on the bottom line
        CHECK(staff_place({67, 0}).step == 2); // G4 on the line the clef names
        CHECK(staff_place({72, 0}).step == 5); // C5 in the third space
        CHECK(staff_place({77, 0}).step == 8); // F5 on the top line
        CHECK(staff_place({77, 0}).ledgers_above == 0);
    }

    TEST_CASE("an accidental leaves the note on its own line or space") {
        CHECK(staff_place({66, 1}).step == 1);  // F sharp 4 stands where F4 stands
        CHECK(staff_place({70, -1}).step == 4); // B flat 4 where B4 stands
        CHECK(staff_place({75, -1}).step == 7); // E flat 5 where E5 stands
    }

    TEST_CASE("ledger lines: middle C has one, A5 one, C6 two, G6 four, G3 two") {
        CHECK(staff_place({60, 0}).ledgers_below == 1);
        CHECK(staff_place({62, 0}).ledgers_below == 0); // D4 hangs under the staff
        CHECK(staff_place({81, 0}).ledgers_above == 1);
        CHECK(staff_place({79, 0}).ledgers_above == 0); // G5 sits on top of it
        CHECK(staff_place({84, 0}).ledgers_above == 2);
        CHECK(staff_place({91, 0}).ledgers_above == 4);
        CHECK(staff_place({55, 0}).ledgers_below == 2);
    }

    TEST_CASE("low notes go to the bass clef, an octave as they sound in the treble") {
        const StaffPlace c3 = staff_place({48, 0});
        CHECK(c3.clef == Clef::bass);
        CHECK(c3.step == 3);                            // second space from below
        CHECK(staff_place({43, 0}).step == 0);          // G2 on the bottom line
        CHECK(staff_place({36, 0}).ledgers_below == 2); // C2
        CHECK(staff_place({54, 1}).clef == Clef::bass);
        CHECK(staff_place({55, 0}).clef == Clef::treble);
    }

    TEST_CASE(
        "a natural takes back the accidental of the note before in the same place, and only that") {
        CHECK(needs_natural({68, -1}, {69, 0}));      // A flat 4, A4
        CHECK_FALSE(needs_natural({66, 1}, {67, 0})); // F sharp 4, G4
        CHECK_FALSE(needs_natural({67, 0}, {68, -1}));
        CHECK_FALSE(needs_natural({56, -1}, {69, 0})); // another octave
    }

    TEST_CASE("notes stand where the clefs put them") {
        // Source: common practice, no source (treble clef: G4 on the second line; bass clef: F3 on the fourth).
        CHECK(height("E4", false) == 0);
        CHECK(height("G4", false) == 2);
        CHECK(height("F5", false) == 8);
        CHECK(height("C4", false) == -2);
        CHECK(height("G2", true) == 0);
        CHECK(height("F3", true) == 6);
        CHECK(height("C4", true) == 10);
        // An accidental never moves a note; the letter does.
        CHECK(height("F#4", false) == height("F4", false));
        CHECK(height("Gb4", false) == height("G4", false));
    }

    TEST_CASE("ledger lines of the treble staff") {
        // Source: common practice, no source (C4 below the treble staff on one, A3 on two, C6 on two, G6 on four).
        const auto lines = [](const char* note) {
            const StaffPlace place = staff_place(*horn::parse_note(note), Clef::treble);
            return place.ledgers_above - place.ledgers_below;
        };
        CHECK(lines("D4") == 0);
        CHECK(lines("C4") == -1);
        CHECK(lines("B3") == -1);
        CHECK(lines("A3") == -2);
        CHECK(lines("G3") == -2);
        CHECK(lines("G5") == 0);
        CHECK(lines("A5") == 1);
        CHECK(lines("B5") == 1);
        CHECK(lines("C6") == 2);
        CHECK(lines("G6") == 4);
    }
}

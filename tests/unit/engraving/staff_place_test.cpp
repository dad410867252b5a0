#include "engraving/staff_place.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::engraving;

// Places of notes on a staff: common practice notation, no source needed beyond any primer.
TEST_SUITE("gui/staff_place") {
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
}

#include "app/own_notes.h"

#include "hand/hand_ear.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

hand::Colour open_note(double hz) {
    hand::Colour colour;
    colour.known = colour.slope_known = true;
    colour.f0_hz = hz;
    colour.level_dba = -24.0;
    colour.group_db = {-4.0, -9.0, -20.0, 0.0};
    colour.group_known = {true, true, true, false};
    colour.centroid_harmonic = 2.0;
    colour.slope_db_per_octave = -9.0;
    return colour;
}

} // namespace

TEST_SUITE("app/own_notes") {
    TEST_CASE("an open note comes back from the profile as it was") {
        const auto again = app::colour_of_note(app::note_of_colour(open_note(220.0)));
        CHECK(again.known);
        CHECK(again.f0_hz == 220.0);
        CHECK(again.group_known == open_note(220.0).group_known);
        CHECK(again.group_db[1] == -9.0);
        CHECK(again.slope_known);
        CHECK_FALSE(again.bands_known);
    }

    TEST_CASE("open notes of earlier days are the reference from the first note on") {
        hand::HandEar ear;
        std::vector<hand::Colour> notes;
        for (int i = 0; i < 12; ++i) {
            notes.push_back(open_note(130.8 * std::exp2(0.15 * i)));
        }
        ear.learn_own_notes(notes);
        CHECK(ear.reference().notes == 12);
        const auto own = ear.reference().own_colour(open_note(200.0), *hand::load_timbre_model());
        CHECK(own.any());
        CHECK_FALSE(own.known[3]);
        CHECK(std::fabs(own.off[0]) < 1.5);
        CHECK(ear.reference().offset_cents == 0.0); // the pitch of another day says nothing
    }
}

// Notes in rooms: what tells a new note from what the room leaves of the old one.
#include "support/tracked_player.h"

#include <algorithm>
#include <cmath>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::test;

namespace {

constexpr double kStroke_s = 0.6;

/// A note, struck again after `kStroke_s`: the level dips by `dip_db` for some 50 ms, new sound of `rise_db` comes in.
Score struck_again(double dip_db, double rise_db) {
    return [=](double t) {
        const double off_s = std::abs(t - kStroke_s);
        Sound sound{0.0, -20.0 - std::max(0.0, dip_db * (1.0 - off_s / 0.045))};
        sound.rise_db = t > kStroke_s + kLag_s && t < kStroke_s + kLag_s + 0.03 ? rise_db : 0.0;
        return sound;
    };
}

std::string rows(const Score& score, double length_s) {
    Player player;
    player.play(length_s, score);
    player.end();
    return player.names();
}

} // namespace

TEST_SUITE("trainer/note_in_room") {
    TEST_CASE("a stroke in a room is a shallow dip with new sound in it") {
        CHECK(rows(struck_again(5.0, 4.0), 1.2) == "C5 C5");
        CHECK(rows(struck_again(5.0, 1.0), 1.2) == "C5"); // the level trembles
        CHECK(rows(struck_again(0.0, 8.0), 1.2) == "C5"); // somebody coughs
        Player player;
        player.play(1.2, struck_again(5.0, 4.0));
        player.end();
        REQUIRE(player.notes.size() == 2);
        CHECK(player.notes[1].start_s == doctest::Approx(kStroke_s).epsilon(0.05));
    }

    TEST_CASE("the beats of a decay are no strokes") {
        // 0.6 s of note, then it falls by 60 dB a second and swells by 6 dB once, as lines that beat do.
        const auto decay = [](double t) {
            if (t < 0.6) {
                return Sound{0.0, -20.0};
            }
            Sound sound{0.0, -20.0 - 60.0 * (t - 0.6)};
            sound.level_dbfs += t > 0.78 && t < 0.84 ? 8.0 : 0.0;
            sound.rise_db = t > 0.80 && t < 0.83 ? 5.0 : 0.0;
            return sound;
        };
        CHECK(rows(decay, 1.1) == "C5");
    }

    TEST_CASE("a slur that is heard late began where the new sound came in") {
        Player player;
        player.play(0.8, steady(0.0));
        player.play(0.8, [](double t) { // the old note is still read, doubtfully, for 150 ms
            Sound sound{t < 0.15 ? 30.0 : -200.0};
            sound.doubtful = t > 0.05 && t < 0.15;
            sound.rise_db = t > 0.02 && t < 0.05 ? 4.0 : 0.0;
            return sound;
        });
        player.end();
        REQUIRE(player.notes.size() == 2);
        CHECK(player.notes[1].start_s > 0.78);
        CHECK(player.notes[1].start_s < 0.86);
    }

    TEST_CASE("a pitch lost for a tenth of a second under a level that stays is one note") {
        const auto lost = [](double t) {
            Sound sound{0.0, -20.0};
            if (t > 0.6 && t < 0.7) {
                sound.cents.reset();
                sound.quiet_dbfs = -21.0;
            }
            return sound;
        };
        CHECK(rows(lost, 1.4) == "C5");
    }

    TEST_CASE("a multiple of the pitch that is asked for, read at first, is no row of its own") {
        const auto octave_first = [](double t) { return Sound{t < 0.2 ? 1200.0 : 0.0}; };
        Player asked;
        trainer::ExpectedPitches pitches;
        pitches.add(Player::hz(0.0));
        asked.tracker.expect(pitches);
        asked.play(1.0, octave_first);
        asked.end();
        CHECK(asked.names() == "C5");
        REQUIRE(asked.notes.size() == 1);
        CHECK(asked.notes[0].start_s < 0.05);
        CHECK(rows(octave_first, 1.0) == "C6 C5"); // nothing is asked for: it may have been played
    }
}

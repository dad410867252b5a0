// Notes in rooms: what tells a new note from what the room leaves of the old one, where an exercise says what is asked.
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

/// Plays what an exercise asks for in a room that was heard to ring: C4 died away there.
class InRoom {
public:
    explicit InRoom(std::initializer_list<double> asked_cents, double again_after_s = 0.0) {
        player.play(0.6, steady(-1200.0));
        player.play(0.25, [](double t) { return Sound{-1200.0, -20.0 - 150.0 * t}; });
        player.play(0.5, kSilence);
        trainer::ExpectedPitches pitches;
        for (const double cents : asked_cents) {
            pitches.add(Player::hz(cents));
        }
        if (again_after_s > 0.0) {
            pitches.add_again(Player::hz(*asked_cents.begin()), again_after_s);
        }
        player.tracker.expect(pitches);
        begin_s = player.now_s;
    }

    std::string rows(const Score& score, double length_s) {
        player.play(length_s, score);
        player.end();
        return player.names();
    }
    double start_s(std::size_t note) const { return player.notes.at(note).start_s - begin_s; }

    Player player;
    double begin_s = 0.0;
};

} // namespace

TEST_SUITE("trainer/note_in_room") {
    TEST_CASE("a stroke in a room is a shallow dip with new sound in it, where it is asked for") {
        CHECK(InRoom({0.0}, kStroke_s).rows(struck_again(5.0, 4.0), 1.2) == "C4 C5 C5");
        CHECK(InRoom({0.0}, kStroke_s).rows(struck_again(5.0, 1.0), 1.2) == "C4 C5"); // it trembles
        CHECK(InRoom({0.0}, kStroke_s).rows(struck_again(0.0, 8.0), 1.2) == "C4 C5"); // a cough
        CHECK(InRoom({0.0}, 2.0).rows(struck_again(5.0, 4.0), 1.2) == "C4 C5"); // not at that time
        CHECK(InRoom({0.0}).rows(struck_again(5.0, 4.0), 1.2) == "C4 C5");      // not asked for
        Player dry; // of no room anything is known
        trainer::ExpectedPitches pitches;
        pitches.add(Player::hz(0.0));
        pitches.add_again(Player::hz(0.0), kStroke_s);
        dry.tracker.expect(pitches);
        dry.play(1.2, struck_again(5.0, 4.0));
        dry.end();
        CHECK(dry.names() == "C5");
        InRoom room({0.0}, kStroke_s);
        room.rows(struck_again(5.0, 4.0), 1.2);
        CHECK(room.start_s(2) == doctest::Approx(kStroke_s).epsilon(0.05));
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
        CHECK(InRoom({0.0}, 0.8).rows(decay, 1.1) == "C4 C5");
    }

    TEST_CASE("a slur that is heard late began where the new sound came in") {
        InRoom room({0.0, -200.0});
        room.player.play(0.8, steady(0.0));
        room.rows(
            [](double t) { // the old note is still read, doubtfully, for 150 ms
                Sound sound{t < 0.15 ? 30.0 : -200.0};
                sound.doubtful = t > 0.05 && t < 0.15;
                sound.rise_db = t > 0.02 && t < 0.05 ? 4.0 : 0.0;
                return sound;
            },
            0.8);
        REQUIRE(room.player.notes.size() == 3);
        CHECK(room.start_s(2) > 0.78);
        CHECK(room.start_s(2) < 0.86);
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
        CHECK(InRoom({0.0}).rows(lost, 1.4) == "C4 C5");
    }

    TEST_CASE("a multiple of the pitch that is asked for, read at first, is no row of its own") {
        const auto octave_first = [](double t) { return Sound{t < 0.2 ? 1200.0 : 0.0}; };
        InRoom room({0.0});
        CHECK(room.rows(octave_first, 1.0) == "C4 C5");
        CHECK(room.start_s(1) < 0.05);
        Player free; // nothing is asked for: it may have been played
        free.play(1.0, octave_first);
        free.end();
        CHECK(free.names() == "C6 C5");
    }

    TEST_CASE("nor is one that nothing asks for, read inside a note that is asked for") {
        const auto flash = [](double t) { return Sound{t > 0.4 && t < 0.6 ? 1200.0 : 0.0}; };
        CHECK(InRoom({0.0}).rows(flash, 1.0) == "C4 C5");
        CHECK(InRoom({0.0, 1200.0}).rows(flash, 1.0) == "C4 C5 C6 C5"); // asked for as well
    }

    TEST_CASE("whether a room rings is told by how steeply anything falls") {
        InRoom room({0.0});
        room.rows(steady(0.0), 0.5);
        CHECK(room.player.notes.at(1).in_ringing_room);
        Player dry;
        dry.play(0.6, steady(0.0));
        dry.play(0.5, kSilence); // 50 dB at once
        dry.play(0.6, steady(200.0));
        dry.end();
        REQUIRE(dry.notes.size() == 2);
        CHECK_FALSE(dry.notes[0].in_ringing_room); // nothing had ended yet
        CHECK_FALSE(dry.notes[1].in_ringing_room);
    }

    TEST_CASE("where noise ends a fall, the place is open if the level then stands still") {
        const auto after = [](const Score& end) {
            Player player;
            player.play(0.6, steady(0.0));
            player.play(0.5, end);
            player.play(0.6, steady(200.0));
            player.end();
            REQUIRE(player.notes.size() == 2);
            return player.notes[1].in_ringing_room;
        };
        CHECK_FALSE(after([](double) { return Sound{{}, 0.0, false, false, -45.0}; }));
        CHECK(after(
            [](double t) { // it falls by 75 dB a second, as in a room of 0.8 s, to the same noise
                return Sound{{}, 0.0, false, false, std::max(-45.0, -28.0 - 75.0 * t)};
            }));
    }

    TEST_CASE("out of any room a multiple is a mistake of the ear in the first moments alone") {
        const auto rows = [](const Score& score) {
            Player dry;
            dry.play(0.6, steady(0.0));
            dry.play(0.5, kSilence);
            trainer::ExpectedPitches pitches;
            pitches.add(Player::hz(0.0));
            dry.tracker.expect(pitches);
            dry.play(1.0, score);
            dry.end();
            return dry.names();
        };
        CHECK(rows([](double t) { return Sound{t > 0.12 && t < 0.5 ? 1200.0 : 0.0}; }) == "C5 C5");
        CHECK(rows([](double t) { return Sound{t > 0.5 ? 1200.0 : 0.0}; }) == "C5 C5 C6");
    }
}

#include "support/tracked_player.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::test;

namespace {

/// A short tone as real ones go: it drifts by `drift_cents` while it sounds, so that it never holds 5 cents for 70 ms.
Score drifting(double length_s, double drift_cents) {
    return [=](double t) { return Sound{drift_cents * (t / length_s - 0.5)}; };
}

const Score kMurmur = [](double) { return Sound{std::nullopt, -30.0, false, true}; };

} // namespace

TEST_SUITE("trainer/short_note") {
    TEST_CASE("a sound of 80 ms that stands is a row, though it never held as a long note does") {
        for (const double length_s : {0.085, 0.10, 0.15}) {
            CAPTURE(length_s);
            Player player;
            player.play(0.5, kSilence);
            player.play(length_s, drifting(length_s, 20.0));
            player.play(0.8, kSilence);
            REQUIRE(player.names() == "C5");
            CHECK(std::abs(player.notes[0].deviation_cents) < 5.0);
            CHECK(player.notes[0].known_within_cents > 0.0);
            CHECK(std::abs(player.notes[0].level_dbfs + 20.0) < 1.0); // as loud as it was played
        }
    }

    TEST_CASE("how well its pitch is known follows from how much of it was seen and how it moved") {
        const auto known = [](double drift_cents, double unseen_s) {
            Player player;
            player.play(0.5, kSilence);
            player.play(unseen_s, [](double) { return Sound{std::nullopt, -20.0}; });
            player.play(0.12, drifting(0.12, drift_cents));
            player.play(0.8, kSilence);
            REQUIRE(player.notes.size() == 1);
            return player.notes[0].known_within_cents;
        };
        CHECK(known(20.0, 0.0) < known(45.0, 0.0));
    }

    TEST_CASE("the second of two short notes in the room's decay needs a stroke") {
        Player player;
        player.play(0.5, kSilence);
        player.play(0.12, drifting(0.12, 20.0));
        player.play(0.08, [](double t) {
            return Sound{std::nullopt, 0.0, false, false, -26.0 - 100.0 * t};
        });
        player.play(0.12, [](double t) {
            return Sound{20.0 * (t / 0.12 - 0.5), -36.0 - 60.0 * t};
        });
        player.play(0.8, kSilence);
        CHECK(player.names() == "C5");
    }

    TEST_CASE("a pitch that is lost in the decay and found again is still the old note") {
        const auto rows = [](double again_dbfs) {
            Player player;
            player.play(0.3, kSilence);
            player.play(0.5, steady(0.0));
            player.play(0.12, [](double t) {
                return Sound{std::nullopt, 0.0, false, false, -20.0 - 75.0 * t};
            });
            player.play(0.3, [=](double t) {
                return Sound{std::sin(40.0 * t), again_dbfs - 40.0 * t};
            });
            player.play(0.6, kSilence);
            return player.notes.size();
        };
        CHECK(rows(-29.0) == 1);
        CHECK(rows(-20.0) == 2);
    }

    TEST_CASE("what slides is a syllable, and so is what stands beside one") {
        Player slide;
        slide.play(0.5, kSilence);
        slide.play(0.15, drifting(0.15, 220.0));
        slide.play(0.8, kSilence);
        CHECK(slide.names().empty());

        Player beside;
        beside.play(0.5, kSilence);
        beside.play(0.12, drifting(0.12, 20.0));
        beside.play(0.1, kSilence);
        beside.play(0.15, drifting(0.15, 220.0));
        beside.play(0.8, kSilence);
        CHECK(beside.names().empty());
    }

    TEST_CASE("pitches that are followed but not shown, before or after, make it speech") {
        for (const bool before : {true, false}) {
            CAPTURE(before);
            Player player;
            player.play(0.5, kSilence);
            if (before) {
                player.play(0.3, kMurmur);
            }
            player.play(0.12, drifting(0.12, 20.0));
            if (!before) {
                player.play(0.3, kMurmur);
            }
            player.play(0.8, kSilence);
            CHECK(player.names().empty());
        }
    }

    TEST_CASE("a held note, or a row of short ones, is told without waiting for silence") {
        Player player;
        player.play(0.5, kSilence);
        player.play(0.12, drifting(0.12, 20.0));
        player.play(0.06, kSilence);
        CHECK(player.notes.empty());
        player.play(0.5, steady(0.0));
        player.play(0.1, kSilence);
        CHECK(player.names() == "C5 C5");

        Player row;
        row.play(0.5, kSilence);
        for (int i = 0; i < 5; ++i) {
            row.play(0.12, drifting(0.12, 20.0));
            row.play(0.12, kSilence);
        }
        CHECK(row.notes.size() >= 2);
        row.end();
        CHECK(row.notes.size() == 5);
    }

    TEST_CASE("where an exercise expects the note, less is enough, and nothing is waited for") {
        const auto heard = [](double expected_cents) {
            Player player;
            trainer::ExpectedPitches pitches;
            pitches.add(Player::hz(expected_cents));
            player.tracker.expect(pitches);
            player.play(0.5, kSilence);
            player.play(0.3, kMurmur);
            player.play(0.085, drifting(0.085, 60.0));
            player.play(0.12, kSilence);
            return player.notes.size();
        };
        CHECK(heard(0.0) == 1);
        CHECK(heard(500.0) == 0);
    }

    TEST_CASE("a short note has its own pitch, and no attack apart from it") {
        Player player;
        player.play(0.5, kSilence);
        player.play(0.15, [](double t) { return Sound{-30.0 + 20.0 * (t / 0.15 - 0.5)}; });
        player.play(0.8, kSilence);
        REQUIRE(player.notes.size() == 1);
        const trainer::PlayedNote& note = player.notes[0];
        CHECK(note.deviation_cents == doctest::Approx(-30.0).epsilon(0.15));
        CHECK(note.attack_cents == note.deviation_cents);
        CHECK(note.f0_hz == doctest::Approx(Player::hz(note.deviation_cents)).epsilon(1e-6));
    }
}

TEST_SUITE("trainer/note_tracker: what is not sure") {
    TEST_CASE("doubtful readings count for nothing, but do not end the note they lie near") {
        Player player;
        player.play(0.3, kSilence);
        player.play(0.5, steady(3.0));
        player.play(0.2, [](double) { return Sound{60.0, -20.0, true}; });
        player.play(0.5, steady(3.0));
        player.play(0.6, kSilence);
        REQUIRE(player.names() == "C5");
        CHECK(player.notes[0].deviation_cents == doctest::Approx(3.0).epsilon(0.05));
        CHECK(player.notes[0].spread_cents < 0.2);
    }

    TEST_CASE("doubtful readings alone are no note") {
        Player player;
        player.play(0.3, kSilence);
        player.play(1.0, [](double) { return Sound{0.0, -20.0, true}; });
        player.end();
        CHECK(player.notes.empty());
    }

    TEST_CASE("a flash of the octave inside a note leaves one row of the note's own pitch") {
        Player player;
        player.play(0.3, kSilence);
        player.play(0.4, steady(2.0));
        player.play(0.08, steady(1202.0));
        player.play(0.5, steady(2.0));
        player.play(0.6, kSilence);
        REQUIRE(player.names() == "C5");
        CHECK(player.notes[0].deviation_cents == doctest::Approx(2.0).epsilon(0.05));
    }

    TEST_CASE("a flash of the third harmonic at the attack is neither the note nor its attack") {
        Player player;
        player.play(0.3, kSilence);
        player.play(0.08, steady(1901.96));
        player.play(0.6, steady(-4.0));
        player.play(0.6, kSilence);
        REQUIRE(player.names() == "C5");
        CHECK(player.notes[0].deviation_cents == doctest::Approx(-4.0).epsilon(0.05));
        CHECK(std::abs(player.notes[0].attack_cents) < 10.0);
    }

    TEST_CASE("the note before, still sounding in the room, is no attack of the next") {
        Player player;
        player.play(0.3, kSilence);
        player.play(0.6, steady(500.0));
        player.play(0.03, steady(500.0, -44.0));
        player.play(0.06, steady(500.0), 0.001); // the ear still holds the old pitch
        player.play(0.6, steady(0.0));
        player.play(0.6, kSilence);
        REQUIRE(player.notes.size() == 2);
        CHECK(std::abs(player.notes[1].attack_cents) < 10.0);
    }

    TEST_CASE("a row is called after its own pitch") {
        for (const double cents : {-49.0, -30.0, 30.0, 49.0}) {
            Player player;
            player.play(0.3, kSilence);
            player.play(0.2, steady(0.0)); // the eye's reading stays on the note it knows
            player.play(
                0.8, [cents](double t) { return Sound{t < 0.1 ? cents * t / 0.1 : cents * 1.1}; });
            player.play(0.6, kSilence);
            REQUIRE_FALSE(player.notes.empty());
            CHECK(std::abs(player.notes.back().deviation_cents) <= 51.0);
        }
    }

    TEST_CASE("a stroke of the tongue comes back to within 12 dB; what stays lower is the room") {
        // The pitch lives a little: what stands still to the last digit is taken for silence.
        const auto at_level = [](double level_dbfs) {
            return [=](double t) { return Sound{std::sin(40.0 * t), level_dbfs}; };
        };
        const auto notes = [&at_level](double back_db) {
            Player player;
            player.play(0.3, kSilence);
            player.play(0.5, at_level(-20.0));
            player.play(0.04, at_level(-42.0));
            player.play(0.5, at_level(-20.0 - back_db), 0.001);
            player.end();
            return player.notes.size();
        };
        CHECK(notes(10.0) == 2);
        CHECK(notes(18.5) == 1);
    }

    TEST_CASE("of a note without a held part the first 40 % is left out") {
        // Held as only an instrument holds (5 cents for 70 ms), but over before its attack is: judged are the last 90 of
        // 150 ms, most of which stand at 4 cents. Over all of it the middle would be 0.
        Player player;
        player.play(0.3, kSilence);
        player.play(0.15, [](double t) { return Sound{t < 0.06 ? -20.0 : t < 0.08 ? 0.0 : 4.0}; });
        player.play(0.6, kSilence);
        REQUIRE(player.notes.size() == 1);
        CHECK(player.notes[0].known_within_cents == 0.0);
        CHECK(player.notes[0].deviation_cents == doctest::Approx(4.0).epsilon(0.05));
    }
}

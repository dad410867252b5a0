#include "support/tracked_player.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::test;

TEST_SUITE("trainer/note_tracker") {
    TEST_CASE("one note between silences: start, length, deviation, level") {
        Player player;
        player.play(0.5, kSilence);
        player.play(1.0, steady(-7.3));
        player.play(0.5, kSilence);
        REQUIRE(player.names() == "C5");
        const trainer::PlayedNote& note = player.notes[0];
        CHECK(note.start_s == doctest::Approx(0.5).epsilon(0.02));
        CHECK(note.duration_s == doctest::Approx(1.0).epsilon(0.03));
        CHECK(note.deviation_cents == doctest::Approx(-7.3).epsilon(0.02));
        CHECK(note.f0_hz == doctest::Approx(Player::hz(-7.3)).epsilon(1e-4));
        CHECK(note.spread_cents < 0.11);
        CHECK(note.level_dbfs == doctest::Approx(-20.0).epsilon(0.01));
        CHECK(note.partial == 8);
        CHECK(note.finished);
    }

    TEST_CASE("median and spread of a known distribution") {
        Player player;
        // A triangle wave of +-10 cents spreads evenly: 16th and 84th percentile lie at -6.8 and +6.8.
        player.play(4.0, [](double t) {
            const double phase = std::fmod(t * 5.0, 1.0);
            return Sound{3.0 + 40.0 * std::abs(phase - 0.5) - 10.0};
        });
        player.end();
        REQUIRE(player.notes.size() == 1);
        CHECK(player.notes[0].deviation_cents == doctest::Approx(3.0).epsilon(0.1));
        CHECK(player.notes[0].spread_cents == doctest::Approx(6.8).epsilon(0.04));
    }

    TEST_CASE("a slur is two notes, cut where the pitch changes") {
        Player player;
        player.play(0.6, steady(0.0));
        player.play(0.6, steady(-100.0));
        player.end();
        REQUIRE(player.names() == "C5 B4");
        CHECK(player.notes[1].start_s == doctest::Approx(0.6).epsilon(0.04));
        CHECK(player.notes[0].start_s + player.notes[0].duration_s ==
              doctest::Approx(player.notes[1].start_s));
        CHECK(player.notes[0].deviation_cents == doctest::Approx(0.0).epsilon(0.2));
        CHECK(std::abs(player.notes[1].deviation_cents) < 0.2);
        CHECK(player.notes[1].index == 1);
    }

    TEST_CASE("a slurred scale of 110 ms notes keeps every note") {
        Player player;
        const std::vector<double> scale = {
            0.0, 200.0, 400.0, 500.0, 700.0, 500.0, 400.0, 200.0, 0.0};
        player.play(0.11 * 9.0, [&scale](double t) {
            return Sound{scale[std::min<std::size_t>(8, static_cast<std::size_t>(t / 0.11))]};
        });
        player.end();
        CHECK(player.names() == "C5 D5 E5 F5 G5 F5 E5 D5 C5");
    }

    TEST_CASE("a speaking voice, which glides all the time, is no note") {
        // Syllables of 0.3 s whose pitch falls by a fourth: common practice, no source, for how speech moves.
        Player player;
        player.play(3.0, [](double t) {
            const double in_syllable_s = std::fmod(t, 0.36);
            return in_syllable_s < 0.3 ? Sound{-1000.0 + 200.0 - 500.0 * in_syllable_s / 0.3}
                                       : Sound{};
        });
        player.end();
        CHECK(player.names().empty());
        trainer::PlayedNote sounding;
        CHECK_FALSE(player.tracker.sounding(sounding));
    }

    TEST_CASE("vibrato, however wide within reason, is one note") {
        for (const double depth : {10.0, 30.0, 50.0}) {
            for (const double off : {0.0, -40.0}) {
                CAPTURE(depth);
                CAPTURE(off);
                if (depth > 40.0 && off != 0.0) {
                    continue; // a trill by another name
                }
                Player player;
                player.play(2.0, [=](double t) {
                    return Sound{off + depth * std::sin(2.0 * 3.14159265358979 * 5.5 * t)};
                });
                player.end();
                REQUIRE(player.notes.size() == 1);
                if (off == 0.0) {
                    CHECK(std::abs(player.notes[0].deviation_cents) < 0.1 * depth);
                }
            }
        }
    }

    TEST_CASE("a bend that comes back is one note, a bend that stays is two") {
        const auto bend = [](double to_cents, bool back) {
            Player player;
            player.play(0.5, steady(0.0));
            player.play(0.2, [=](double t) { return Sound{to_cents * t / 0.2}; });
            if (!back) {
                player.play(0.6, steady(to_cents));
            }
            player.play(0.2, [=](double t) { return Sound{to_cents * (1.0 - t / 0.2)}; });
            player.play(0.5, steady(0.0));
            player.end();
            return player.names();
        };
        CHECK(bend(-55.0, true) == "C5");
        CHECK(bend(-45.0, false) == "C5");
        CHECK(bend(-100.0, false) == "C5 B4 C5");
    }

    TEST_CASE("a scoop or a neighbour touched in the attack belongs to the note") {
        Player player;
        player.play(0.3, kSilence);
        // the partial below, for a moment
        player.play(0.9, [](double t) { return Sound{t < 0.07 ? -200.0 : 4.0}; });
        player.play(0.3, kSilence);
        REQUIRE(player.names() == "C5");
        CHECK(player.notes[0].start_s == doctest::Approx(0.3).epsilon(0.05));
        CHECK(player.notes[0].deviation_cents == doctest::Approx(4.0).epsilon(0.05));
        CHECK(player.notes[0].attack_cents < -150.0);
    }

    TEST_CASE(
        "a scoop that thins on its way into the note is its attack, with an onset reported too") {
        for (const double from_cents : {-90.0, -60.0, 90.0, -150.0}) {
            for (const double thinner_db : {3.0, 6.0, 10.0, 12.0}) {
                for (const double scoop_s : {0.08, 0.09, 0.095}) {
                    CAPTURE(from_cents);
                    CAPTURE(thinner_db);
                    CAPTURE(scoop_s);
                    Player player;
                    player.play(0.3, kSilence);
                    player.play(scoop_s - 0.03, steady(from_cents));
                    player.play(0.03, steady(from_cents, -20.0 - thinner_db));
                    player.play(0.8, steady(3.0), 0.001);
                    player.play(0.3, kSilence);
                    REQUIRE(player.names() == "C5");
                    CHECK(std::abs(player.notes[0].start_s - 0.3) < 0.015);
                    CHECK(player.notes[0].deviation_cents == doctest::Approx(3.0).epsilon(0.05));
                    CHECK(player.notes[0].attack_cents ==
                          doctest::Approx(from_cents).epsilon(0.01));
                }
            }
        }
    }

    TEST_CASE("a short wrong neighbour is a note of its own once the tongue ends it or it lasts") {
        const auto names = [](double neighbour_s, double gap_s) {
            Player player;
            player.play(0.3, kSilence);
            player.play(neighbour_s, steady(-200.0));
            player.play(gap_s, steady(-200.0, -45.0));
            player.play(0.6, steady(0.0), 0.001);
            player.play(0.3, kSilence);
            return player.names();
        };
        CHECK(names(0.085, 0.04) == "Bb4 C5");
        CHECK(names(0.15, 0.04) == "Bb4 C5");
        CHECK(names(0.15, 0.0) == "Bb4 C5");
    }

    TEST_CASE("the same note struck again at once, with a small dip, is two notes") {
        Player player;
        player.play(0.3, kSilence);
        player.play(0.085, steady(0.0));
        player.play(0.02, steady(0.0, -26.0));
        player.play(0.5, steady(0.0), 0.001);
        player.end();
        CHECK(player.notes.size() == 2);
    }

    TEST_CASE("the attack is judged apart") {
        Player player;
        player.play(0.3, kSilence);
        player.play(0.1, steady(-35.0));
        player.play(1.0, steady(5.0));
        player.play(0.3, kSilence);
        REQUIRE(player.names() == "C5");
        CHECK(player.notes[0].attack_cents == doctest::Approx(-35.0).epsilon(0.01));
        CHECK(player.notes[0].deviation_cents == doctest::Approx(5.0).epsilon(0.02));
    }

    TEST_CASE("a short hole in the voicing does not cut, a long one does") {
        const auto with_hole = [](double hole_s) {
            Player player;
            player.play(0.5, steady(0.0));
            player.play(hole_s, [](double) { return Sound{std::nullopt, -20.0}; });
            player.play(0.5, steady(0.0));
            player.end();
            return player.notes.size();
        };
        CHECK(with_hole(0.015) == 1);
        CHECK(with_hole(0.12) == 2);
    }

    TEST_CASE("the same note struck again: by a deep dip of the level, or a reported onset with a "
              "small one") {
        const auto strikes = [](double dip_db, bool reported) {
            Player player;
            player.play(0.5, steady(0.0));
            player.play(0.04, steady(0.0, -20.0 - dip_db));
            player.play(0.5, steady(0.0), reported ? 0.001 : -1.0);
            player.end();
            return player.notes.size();
        };
        CHECK(strikes(20.0, false) == 2);
        CHECK(strikes(4.0, false) == 1);
        CHECK(strikes(4.0, true) == 2);
        CHECK(strikes(0.0, true) == 1); // an onset that the level knows nothing of
    }

    TEST_CASE("a slow swell and fade is one note") {
        Player player;
        player.play(6.0, [](double t) {
            return Sound{0.0, -45.0 + 10.0 * (3.0 - std::abs(t - 3.0))};
        });
        player.end();
        CHECK(player.notes.size() == 1);
    }

    TEST_CASE("a blip is no note and takes no number") {
        Player player;
        player.play(0.3, kSilence);
        player.play(0.04, steady(0.0));
        player.play(0.3, kSilence);
        player.play(0.5, steady(0.0));
        player.end();
        REQUIRE(player.notes.size() == 1);
        CHECK(player.notes[0].index == 0);
    }

    TEST_CASE("a voice that never settles is no note") {
        Player player;
        // 1500 cents a second, up and down: speech, not a horn
        player.play(1.5, [](double t) {
            return Sound{1500.0 * std::abs(std::fmod(t, 1.0) - 0.5) - 200.0};
        });
        player.end();
        CHECK(player.notes.empty());
    }

    TEST_CASE("the dying tail of a note, heard at another pitch, is not a note") {
        Player player;
        player.play(0.6, steady(0.0));
        player.play(0.12, steady(500.0, -48.0));
        player.play(0.3, kSilence);
        CHECK(player.names() == "C5");
    }

    TEST_CASE("what the room still sounds after a note is not a note, a soft note later is") {
        Player player;
        player.play(0.6, steady(0.0, -15.0));
        player.play(0.2, kSilence);
        player.play(0.3, steady(-500.0, -58.0));
        player.play(0.2, kSilence);
        CHECK(player.names() == "C5");
        player.play(3.0, kSilence);
        player.play(0.3, steady(-500.0, -58.0));
        player.play(0.2, kSilence);
        CHECK(player.names() == "C5 G4");
        CHECK(player.notes[1].index == 1);
    }

    TEST_CASE("the sounding note keeps index and start while its figures grow") {
        Player player;
        player.play(0.2, kSilence);
        player.play(0.3, steady(2.0));
        trainer::PlayedNote early;
        REQUIRE(player.tracker.sounding(early));
        player.play(0.7, steady(6.0));
        trainer::PlayedNote late;
        REQUIRE(player.tracker.sounding(late));
        CHECK(early.index == late.index);
        CHECK(early.start_s == late.start_s);
        CHECK(late.duration_s > early.duration_s + 0.6);
        CHECK_FALSE(late.finished);
        CHECK(late.deviation_cents == doctest::Approx(6.0).epsilon(0.02));
        player.end();
        REQUIRE(player.notes.size() == 1);
        CHECK(player.notes[0].start_s == late.start_s);
        CHECK_FALSE(player.tracker.sounding(late));
    }

    TEST_CASE("an hour on one note costs no memory and keeps its median") {
        Player player;
        player.play(3600.0, [](double t) { return Sound{t < 1900.0 ? 10.0 : -10.0}; });
        player.end();
        REQUIRE(player.notes.size() == 1);
        CHECK(player.notes[0].deviation_cents == doctest::Approx(10.0).epsilon(0.02));
        CHECK(player.notes[0].spread_cents == doctest::Approx(10.0).epsilon(0.02));
    }
}

TEST_SUITE("trainer/deviation_histogram") {
    TEST_CASE("quantiles lie within a tenth of a cent of the sorted values") {
        trainer::DeviationHistogram histogram;
        histogram.reset(5000.0);
        std::vector<double> values;
        std::uint32_t state = 1;
        for (int i = 0; i < 5000; ++i) {
            state = state * 1664525U + 1013904223U; // Numerical Recipes' generator
            values.push_back(5000.0 + 60.0 * (state / 4294967296.0 - 0.5));
            histogram.add(values.back());
        }
        std::sort(values.begin(), values.end());
        for (const double share : {0.05, 0.16, 0.5, 0.84, 0.95}) {
            const auto place = static_cast<std::size_t>(share * 5000.0);
            CHECK(std::abs(histogram.quantile(share) - values[place]) <= 0.1);
        }
        CHECK(histogram.size() == 5000);
    }

    TEST_CASE("values taken out again leave no trace, values out of range are ignored") {
        trainer::DeviationHistogram histogram;
        histogram.reset(0.0);
        histogram.add(1.0);
        histogram.add(2.0);
        histogram.add(900.0);
        CHECK(histogram.size() == 2);
        histogram.remove(2.0);
        CHECK(histogram.quantile(0.5) == doctest::Approx(1.05).epsilon(0.05));
        histogram.remove(2.0); // not there
        CHECK(histogram.size() == 1);
        histogram.reset(7.0);
        CHECK(histogram.size() == 0);
        CHECK(histogram.quantile(0.5) == 7.0);
    }
}

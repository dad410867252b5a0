#include "app/demo.h"

#include "core/cents.h"

#include <cmath>
#include <map>
#include <set>

#include <doctest/doctest.h>

using namespace bellhand;

TEST_SUITE("app/demo") {
    TEST_CASE("the same seed plays the same, another seed differently") {
        const horn::Tuning tuning;
        const app::DemoScore a = app::demo_score(tuning, 5);
        const app::DemoScore b = app::demo_score(tuning, 5);
        const app::DemoScore c = app::demo_score(tuning, 6);
        REQUIRE(a.notes.size() == b.notes.size());
        bool differs = false;
        for (std::size_t i = 0; i < a.notes.size(); ++i) {
            CHECK(a.notes[i].f0_hz == b.notes[i].f0_hz);
            CHECK(a.sound.tones[i].level_dbfs == b.sound.tones[i].level_dbfs);
            differs = differs || a.notes[i].f0_hz != c.notes[i].f0_hz;
        }
        CHECK(differs);
    }

    TEST_CASE("tones follow the score in order, without overlap, at the frequency of the note") {
        for (const horn::Crook& crook : horn::all_crooks()) {
            horn::Tuning tuning;
            tuning.crook = crook;
            tuning.a4_hz = 415.0;
            const app::DemoScore score = app::demo_score(tuning, 1);
            double end_s = 0.0;
            for (std::size_t i = 0; i < score.notes.size(); ++i) {
                const app::DemoNote& note = score.notes[i];
                const audio::ToneSpec& tone = score.sound.tones[i];
                CHECK(note.start_s >= end_s - 1e-9);
                CHECK(tone.start_s == note.start_s);
                CHECK(tone.slurred == note.slurred);
                end_s = note.start_s + note.duration_s;
                CHECK(cents_between(tone.f0_hz, horn::target_hz(note.played, tuning)) ==
                      doctest::Approx(note.deviation_cents));
                CHECK(horn::chart_entry(note.played)->ways.front().partial == note.partial);
            }
            CHECK(score.sound.length_s >= end_s);
            CHECK(score.sound.repeat);
        }
    }

    TEST_CASE("open, half, three-quarters and stopped hands occur, and every kind of mistake") {
        std::set<horn::Hand> hands;
        std::map<app::Mistake, int> mistakes;
        int notes = 0;
        for (std::uint64_t seed = 1; seed <= 40; ++seed) {
            for (const app::DemoNote& note : app::demo_score({}, seed).notes) {
                hands.insert(note.hand);
                ++mistakes[note.mistake];
                ++notes;
                if (note.mistake == app::Mistake::neighbour) {
                    CHECK_FALSE(note.played == note.meant);
                } else {
                    CHECK(note.played == note.meant);
                }
            }
        }
        CHECK(hands.size() >= 3);
        for (const app::Mistake kind : {app::Mistake::neighbour,
                                        app::Mistake::flat_stop,
                                        app::Mistake::scoop,
                                        app::Mistake::sagging,
                                        app::Mistake::unsteady}) {
            CHECK(mistakes[kind] > 0);
        }
        const double share = 1.0 - static_cast<double>(mistakes[app::Mistake::none]) / notes;
        CHECK(share > 0.05);
        CHECK(share < 0.20);
    }
}

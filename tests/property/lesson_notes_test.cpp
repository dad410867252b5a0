// The lesson view through the whole ear: every note in the strip, and never two notes in one picture.
#include "app/demo.h"
#include "audio/synth.h"
#include "desk/model/lesson.h"
#include "practice/offline.h"

#include <algorithm>
#include <cmath>
#include <deque>

#include <doctest/doctest.h>

using namespace bellhand;

namespace {

/// What the analysis found since the last frame.
struct Found : practice::AnalysisSink {
    std::vector<trainer::Reading> readings;
    std::vector<trainer::PlayedNote> notes;

    void reading(const trainer::Reading& reading) override { readings.push_back(reading); }
    void note(const trainer::PlayedNote& note, const horn::Tuning& /*tuning*/) override {
        notes.push_back(note);
    }
};

bool same_hand(const hand::Position& a, const hand::Position& b) {
    return a.partial == b.partial && a.low == b.low && a.high == b.high && a.closure == b.closure;
}

/// One performance as the window sees it, 60 frames a second.
struct Watched {
    desk::Lesson lesson;
    std::vector<trainer::Reading> all_readings;
    std::vector<trainer::PlayedNote> all_notes;
    int frames = 0; ///< that showed a note
    int mixed = 0;
    int changes_too_soon = 0;

    void watch(const app::DemoScore& score, const horn::Tuning& tuning) {
        lesson.set_tuning(tuning);
        Found found;
        auto source = audio::make_synth(score.sound, audio::Pace::as_fast_as_possible);
        double next_frame_s = 0.0;
        const auto done = practice::analyse(
            *source, tuning, found, std::nullopt, [&](practice::Analysis& analysis) {
                if (analysis.elapsed_s() >= next_frame_s) {
                    next_frame_s += 1.0 / 60.0;
                    trainer::PlayedNote sounding;
                    const bool sounds = analysis.sounding(sounding);
                    frame(found,
                          sounds ? std::optional(sounding) : std::nullopt,
                          analysis.elapsed_s());
                }
                return true;
            });
        REQUIRE(done.has_value());
        frame(found, std::nullopt, score.sound.length_s + 0.1);
    }

    void frame(Found& found, const std::optional<trainer::PlayedNote>& sounding, double now_s) {
        for (const trainer::Reading& reading : found.readings) {
            lesson.add(desk::Side::here, reading);
            all_readings.push_back(reading);
        }
        for (const trainer::PlayedNote& note : found.notes) {
            lesson.end(desk::Side::here, note);
            all_notes.push_back(note);
        }
        found.readings.clear();
        found.notes.clear();
        lesson.stand(desk::Side::here, sounding);
        lesson.settle(now_s);
        const desk::LessonNote* const framed = lesson.framed();
        if (framed == nullptr) {
            return;
        }
        ++frames;
        if (framed->number != shown_) {
            changes_too_soon += shown_ != 0 && now_s - shown_since_s_ < 1.49 ? 1 : 0;
            shown_ = framed->number;
            shown_since_s_ = now_s;
        }
        mixed += whole(*framed) ? 0 : 1;
    }

    /// Note, cents and hand of the picture come from one played note: from what was told at its end, or, while it sounds,
    /// from the note that sounds and a reading of it.
    [[nodiscard]] bool whole(const desk::LessonNote& framed) const {
        for (const trainer::PlayedNote& note : all_notes) {
            if (framed.ended && note.index == framed.index && note.start_s == framed.start_s) {
                return note.written == framed.written && note.partial == framed.partial &&
                       note.deviation_cents == framed.cents &&
                       (note.heard.heard
                            ? same_hand(note.heard.estimate.position, framed.hand.position)
                            : !framed.hand.position.known);
            }
        }
        if (framed.ended) {
            return false;
        }
        if (!framed.hand.position.known) {
            return true;
        }
        return std::any_of(
            all_readings.rbegin(), all_readings.rend(), [&](const trainer::Reading& reading) {
                return reading.frame.time_s > framed.start_s &&
                       reading.frame.time_s < framed.end_s() + 0.1 &&
                       reading.note.written == framed.written &&
                       same_hand(reading.hand.position, framed.hand.position);
            });
    }

private:
    std::uint32_t shown_ = 0;
    double shown_since_s_ = 0.0;
};

/// How many of the notes that were played stand in the lesson, by name and time, and how many stand there besides.
struct Count {
    int there = 0;
    int named = 0;
    int besides = 0;
};

Count count(const desk::Lesson& lesson, const app::DemoScore& score) {
    Count out;
    std::vector<bool> used(lesson.notes().size(), false);
    for (const app::DemoNote& played : score.notes) {
        for (std::size_t i = 0; i < used.size(); ++i) {
            const desk::LessonNote& note = lesson.notes()[i];
            const double middle_s = played.start_s + 0.5 * played.duration_s;
            if (!used[i] && note.start_s < middle_s && note.end_s() > middle_s) {
                used[i] = true;
                ++out.there;
                out.named += note.written.number == played.played.number ? 1 : 0;
                break;
            }
        }
    }
    out.besides = static_cast<int>(std::count(used.begin(), used.end(), false));
    return out;
}

} // namespace

TEST_SUITE("desk/lesson") {
    TEST_CASE("all fifty notes of two passes of the demo player stand in the strip one after the "
              "other, no picture mixes "
              "two notes, and each stays long enough to be read") {
        const horn::Tuning tuning;
        int frames = 0;
        int mixed = 0;
        for (std::uint64_t seed = 1; seed <= 3; ++seed) {
            CAPTURE(seed);
            app::DemoScore score = app::demo_score(tuning, seed, 2);
            score.sound.repeat = false;
            REQUIRE(score.notes.size() == 50);
            Watched watched;
            watched.watch(score, tuning);
            const Count counted = count(watched.lesson, score);
            CHECK(counted.there == 50);
            CHECK(counted.named == 50);
            CHECK(counted.besides == 0);
            CHECK(watched.changes_too_soon == 0);
            frames += watched.frames;
            mixed += watched.mixed;
        }
        MESSAGE("frames that showed a note: ", frames, ", mixed: ", mixed);
        CHECK(frames > 5000);
        CHECK(1000 * mixed < frames);
    }
}

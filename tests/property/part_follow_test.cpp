// Real parts played by a modelled player whose tempo sways, who misses and leaves out: is each note heard at its place?
// The player is the one of the follower's own test (support/performance.h); the music is not.
#include "drill/part_exercise.h"
#include "drill/runner.h"
#include "support/performance.h"
#include "support/scores.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::drill;

namespace {

struct Followed {
    int notes = 0;
    int right_bar = 0;
    int right_note = 0; ///< up to neighbours of the same pitch
};

/// The tempo sways by 15 per cent to each side within forty seconds.
void sway(test::Performance& played) {
    const auto swayed = [](double t) {
        constexpr double kShare = 0.15;
        constexpr double kRate = 2.0 * std::numbers::pi / 40.0;
        return t + kShare / kRate * (1.0 - std::cos(kRate * t));
    };
    for (test::PerformedNote& note : played.notes) {
        const double end_s = swayed(note.start_s + note.duration_s);
        note.start_s = swayed(note.start_s);
        note.duration_s = end_s - note.start_s;
    }
    played.end_s = swayed(played.end_s);
}

/// Steps that sound the same with nothing else between them.
bool equal_neighbours(const Exercise& exercise, std::uint32_t a, std::uint32_t b) {
    for (std::uint32_t step = std::min(a, b); step <= std::max(a, b); ++step) {
        const auto& written = exercise.steps[step].written;
        if (written && written->number != exercise.steps[a].written->number) {
            return false;
        }
    }
    return true;
}

Followed follow(const PartExercise& made, std::uint64_t seed) {
    test::PlayerScript script;
    script.seed = seed;
    script.tuning.crook = made.crook;
    script.slips = {.neighbour = 0.03, .other_note = 0.02, .left_out = 0.02, .try_again = 0.0};
    test::Performance played = test::perform(made.exercise, script);
    sway(played);
    RunSettings settings;
    settings.tuning = script.tuning;
    settings.repeat_missed = 0;
    auto runner = Runner::make(made.exercise, settings);
    REQUIRE(runner);
    for (const trainer::PlayedNote& note : test::notes_of(played, seed)) {
        runner->advance(note.start_s);
        runner->finished(note);
    }
    runner->advance(played.end_s + 4.0);
    runner->finish();
    Followed followed;
    Judgement one;
    while (runner->next(one)) {
        if (!one.played || one.extra || !played.notes[one.note.index].right) {
            continue;
        }
        const std::uint32_t truth = *played.notes[one.note.index].step;
        ++followed.notes;
        followed.right_bar += made.exercise.steps[one.step].bar == made.exercise.steps[truth].bar;
        followed.right_note += equal_neighbours(made.exercise, truth, one.step);
    }
    return followed;
}

} // namespace

TEST_SUITE("part_follow") {
    TEST_CASE("real parts, tempo swaying by 30 per cent, 5 per cent wrong, 3 per cent left out") {
        Followed sum;
        for (const char* const name : {"high_horn_in_d.mxl", "two_horns_b_flat_alto.mxl"}) {
            const auto score = part::Score::load(test::kept_score(name));
            REQUIRE(score);
            const auto part = part::read_part(*score, 0);
            REQUIRE(part);
            const auto plan = part::plan_part(*part, {});
            const auto made =
                exercise_of_part(*part, *plan, 0, static_cast<int>(part->music.bars.size()) - 1);
            REQUIRE(made);
            for (const std::uint64_t seed : {900'001U, 900'002U}) {
                const Followed one = follow(*made, seed);
                std::printf("%s seed %llu: of %d right notes %.1f %% in their bar, %.1f %% at "
                            "their place\n",
                            name,
                            static_cast<unsigned long long>(seed),
                            one.notes,
                            100.0 * one.right_bar / one.notes,
                            100.0 * one.right_note / one.notes);
                sum.notes += one.notes;
                sum.right_bar += one.right_bar;
                sum.right_note += one.right_note;
            }
        }
        CHECK(sum.right_bar > 0.97 * sum.notes);
        CHECK(sum.right_note > 0.96 * sum.notes);
    }
}

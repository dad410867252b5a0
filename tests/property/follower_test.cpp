// A thousand performances with wrong, left out and repeated notes, restarts and silence: what the runner makes of them.
// The seeds lie apart from those that the follower was tuned on (BELLHAND_FOLLOWER_SEED=1 to 400).
#include "drill/judge.h"
#include "drill/runner.h"
#include "support/performance.h"

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::drill;

namespace {

constexpr std::uint64_t kFirstSeed = 500'000;
constexpr int kPerformances = 1000;

struct Count {
    int right_notes = 0;      ///< correctly played
    int at_its_step = 0;      ///< of those, judged right, at exactly this step
    int right_as_right = 0;   ///< of those, judged as that step and right
    int wrong_notes = 0;      ///< slips, other notes, notes too many
    int wrong_as_right = 0;   ///< of those, judged right as any step
    int in_tune_not_good = 0; ///< correctly played and in tune, but some fault was found
    int left_out = 0;         ///< steps
    int told_missed = 0;
    int lost = 0;          ///< the longest run of correct notes in order with the place wrong
    int after_the_end = 0; ///< notes, after a rest behind the last step
    int never_judged = 0;  ///< other notes
    int ended =
        0; ///< performances that ended on the last step, with nothing left out shortly before
    int waits = 0; ///< of those, the runner waits on
    int short_waits = 0;
    int stopped_short = 0; ///< left something out shortly before the last step, or ended elsewhere
    int stuck =
        0; ///< the player goes on with what is asked, to the end, and the runner is not finished
};

test::PlayerScript script_of(std::uint64_t seed) {
    test::PlayerScript script;
    script.seed = seed;
    script.tuning.crook = horn::all_crooks()[seed % 17];
    script.tuning.a4_hz = seed % 3 == 0 ? 440.0 : seed % 3 == 1 ? 430.0 : 415.0;
    script.passes = 1 + static_cast<int>(seed % 2);
    script.slips = {.neighbour = 0.04,
                    .octave = 0.015,
                    .other_note = 0.02,
                    .extra = 0.02,
                    .left_out = 0.015,
                    .again = 0.015,
                    .bar_again = 0.010,
                    .beginning = 0.004,
                    .pause = 0.02};
    return script;
}

/// The player came to the last step and had played all that comes shortly before it. Whoever leaves out steps there and
/// stops has not played what is asked: a single last note after a gap may be any slip, and it is right to wait for more.
bool came_to_the_end(const test::Performance& played) {
    constexpr std::size_t kShortlyBefore =
        8; // as many steps as the follower lets a player leave out
    std::size_t asked = played.plan.size();
    const std::size_t enough = asked > kShortlyBefore ? asked - kShortlyBefore : 0;
    if (!played.notes.back().right) {
        return false;
    }
    for (auto note = played.notes.rbegin(); note != played.notes.rend() && asked > enough; ++note) {
        if (note->step && note->asked + 1U < asked) {
            return false;
        }
        if (note->step && note->asked + 1U == asked) {
            --asked; // tried, well or badly
        }
    }
    return true;
}

/// A runner that has heard all this.
Runner replayed(const Exercise& exercise,
                const RunSettings& settings,
                const std::vector<trainer::PlayedNote>& notes,
                double until_s) {
    auto runner = Runner::make(exercise, settings);
    REQUIRE(runner);
    for (const trainer::PlayedNote& note : notes) {
        runner->advance(note.start_s);
        runner->finished(note);
    }
    runner->advance(until_s);
    return std::move(*runner);
}

/// The player takes up what is asked and plays it to the end; true when the runner is then finished.
bool finishes_when_played_on(Runner& runner, double now_s) {
    const std::size_t most = 3 * runner.asked().size() + 3;
    for (std::size_t i = 0; i < most && runner.where().phase != Phase::finished; ++i) {
        const auto asked =
            std::find_if(runner.asked().begin(), runner.asked().end(), [&](const Asked& one) {
                return one.step == runner.where().next;
            });
        trainer::PlayedNote note;
        note.written = asked->written;
        note.f0_hz = note.target_hz = asked->target_hz;
        note.start_s = now_s;
        note.duration_s = 0.5 * std::max(asked->quarters, 0.5);
        note.finished = true;
        runner.finished(note);
        now_s += note.duration_s + 0.05;
        const bool last = asked + 1 == runner.asked().end();
        runner.advance(now_s + (last ? 4.0 : 0.0));
        now_s += last ? 4.0 : 0.0;
    }
    return runner.where().phase == Phase::finished;
}

void follow(std::uint64_t seed, Count& count) {
    const test::PlayerScript script = script_of(seed);
    Exercise exercise =
        test::random_melody(script.tuning.crook, 12 + static_cast<int>(seed * 7 % 37), seed + 77);
    exercise.repetitions = script.passes;
    if (seed % 5 == 0) {
        exercise.quarters_per_minute = 0.0;
    }
    const test::Performance played = test::perform(exercise, script);
    const std::vector<trainer::PlayedNote> notes = test::notes_of(played, seed);
    RunSettings settings;
    settings.tuning = script.tuning;
    settings.repeat_missed = 0;
    auto runner = Runner::make(exercise, settings);
    REQUIRE(runner);

    std::map<std::uint32_t, Judgement> judged;
    int missed = 0;
    const auto collect = [&] {
        Judgement one;
        while (runner->next(one)) {
            if (!one.played) {
                ++missed;
            } else {
                CHECK(judged.emplace(one.note.index, one).second); // no note twice
            }
        }
    };
    int in_order = 0;
    int lost = 0;
    std::uint32_t heard_until = 0;
    for (const trainer::PlayedNote& note : notes) {
        const test::PerformedNote& truth = played.notes[note.index];
        runner->advance(note.start_s);
        if (runner->where().phase == Phase::finished) {
            break; // a rest after the last step, before the player starts once more
        }
        heard_until = note.index;
        trainer::PlayedNote so_far = note;
        so_far.duration_s *= 0.5;
        so_far.finished = false;
        runner->sounding(so_far);
        runner->finished(note);
        collect();
        const bool goes_on = truth.right && note.index > 0 && played.notes[note.index - 1].right &&
                             truth.asked == played.notes[note.index - 1].asked + 1;
        in_order = goes_on ? in_order + 1 : 0;
        lost = in_order >= 1 && runner->where().step != *truth.step ? lost + 1 : 0;
        count.lost = std::max(count.lost, lost);
    }
    runner->advance(played.end_s + 4.0);
    const bool waits = runner->where().phase != Phase::finished;
    if (came_to_the_end(played)) {
        ++count.ended;
        count.waits += waits;
    } else {
        ++count.stopped_short;
        count.short_waits += waits;
    }
    if (waits) {
        collect();
        // Judged below is what was played until now; what follows shows only that the runner can be led to the end.
        Runner led = replayed(exercise, settings, notes, played.end_s + 4.0);
        count.stuck += !finishes_when_played_on(led, played.end_s + 5.0);
    }
    runner->finish();
    collect();

    for (const trainer::PlayedNote& note : notes) {
        const test::PerformedNote& truth = played.notes[note.index];
        const auto found = judged.find(note.index);
        if (found == judged.end()) {
            ++(note.index > heard_until ? count.after_the_end : count.never_judged);
            continue;
        }
        const Judgement& judgement = found->second;
        const bool as_right = !judgement.extra && !is_wrong(judgement);
        if (truth.right) {
            ++count.right_notes;
            count.at_its_step += as_right && judgement.step == *truth.step;
            count.right_as_right += as_right && exercise.steps[judgement.step].written->number ==
                                                    exercise.steps[*truth.step].written->number;
            count.in_tune_not_good +=
                std::any_of(judgement.faults.begin(), judgement.faults.end(), [](Fault fault) {
                    return fault == Fault::flat || fault == Fault::sharp;
                });
        } else {
            ++count.wrong_notes;
            count.wrong_as_right += as_right;
        }
    }
    count.left_out += static_cast<int>(played.left_out.size());
    count.told_missed += missed;
}

double percent(int part, int whole) {
    return whole > 0 ? 100.0 * part / whole : 0.0;
}

} // namespace

TEST_CASE("a thousand performances full of slips are followed") {
    const char* const chosen = std::getenv("BELLHAND_FOLLOWER_SEED");
    const std::uint64_t first = chosen != nullptr ? std::strtoull(chosen, nullptr, 10) : kFirstSeed;
    const int performances = chosen != nullptr ? 400 : kPerformances;
    Count count;
    for (int i = 0; i < performances; ++i) {
        follow(first + static_cast<std::uint64_t>(i), count);
    }
    std::printf(
        "%d performances: %d correct notes, %.2f %% judged right (%.2f %% at the very step); %d "
        "wrong notes, %.2f %% judged "
        "right;\n"
        "%.2f %% of correct notes called flat or sharp; %d steps left out, %d told as missed;\n"
        "lost for at most %d correct notes in order; %d notes never judged (%d after the end);\n"
        "%d performances came to the end, after %d of them the runner waits on; %d stopped short "
        "of it or left something out there, after %d of them it waits; %d cannot be finished by "
        "playing what is asked\n",
        performances,
        count.right_notes,
        percent(count.right_as_right, count.right_notes),
        percent(count.at_its_step, count.right_notes),
        count.wrong_notes,
        percent(count.wrong_as_right, count.wrong_notes),
        percent(count.in_tune_not_good, count.right_notes),
        count.left_out,
        count.told_missed,
        count.lost,
        count.never_judged,
        count.after_the_end,
        count.ended,
        count.waits,
        count.stopped_short,
        count.short_waits,
        count.stuck);
    CHECK(count.right_notes > 20 * performances);
    CHECK(count.wrong_notes > 2 * performances);
    CHECK(percent(count.right_as_right, count.right_notes) >= 99.0);
    CHECK(percent(count.at_its_step, count.right_notes) >= 99.0);
    CHECK(percent(count.wrong_as_right, count.wrong_notes) <= 1.0);
    CHECK(percent(count.in_tune_not_good, count.right_notes) <= 1.0);
    CHECK(count.never_judged == 0);
    CHECK(count.ended > performances / 2);
    CHECK(percent(count.waits, count.ended) <= 0.3); // one repetition taken for the one before it
    CHECK(count.stuck == 0);
    CHECK(count.lost <= 12); // never stuck
}

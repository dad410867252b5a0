#include "drill/judge.h"

#include "core/cents.h"
#include "drill/runner.h"
#include "hands.h"
#include "support/performance.h"

#include <algorithm>
#include <cmath>
#include <string>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::drill;
using test::on_f;

namespace {

Asked asked_for(const char* note) {
    Exercise exercise;
    Step step;
    step.written = *horn::parse_note(note);
    exercise.steps = {step};
    PlanSettings settings;
    settings.tuning = on_f();
    return plan_of(exercise, settings)[0];
}

trainer::PlayedNote played(const Asked& asked, double cents, double duration_s) {
    trainer::PlayedNote note;
    note.written = asked.written;
    note.target_hz = asked.target_hz;
    note.f0_hz = asked.target_hz * std::exp2(cents / 1200.0);
    note.deviation_cents = note.attack_cents = cents;
    note.duration_s = duration_s;
    note.finished = true;
    return note;
}

std::vector<Fault> faults_of(const Asked& asked, const trainer::PlayedNote& note) {
    return judged(asked, note, {}).faults;
}

/// What is told of these notes when this is asked: R right, w wrong, x too many, m missed; t: another tune.
std::string story(const Exercise& exercise, const std::vector<trainer::PlayedNote>& notes) {
    RunSettings settings;
    settings.tuning = on_f();
    settings.repeat_missed = 0;
    auto runner = Runner::make(exercise, settings);
    REQUIRE(runner);
    std::string text;
    const auto collect = [&] {
        for (Judgement judgement; runner->next(judgement);) {
            text += judgement.extra       ? 'x'
                    : !judgement.played   ? 'm'
                    : is_wrong(judgement) ? 'w'
                                          : 'R';
        }
        for (Remark remark; runner->next(remark);) {
            text += remark.kind == Remark::Kind::another_tune ? "t" : "";
        }
    };
    for (const trainer::PlayedNote& note : notes) {
        runner->finished(note);
        collect();
    }
    runner->finish();
    collect();
    return text;
}

test::PlayerScript script_of(std::uint64_t seed) {
    test::PlayerScript script;
    script.tuning = on_f();
    script.seed = seed;
    return script;
}

} // namespace

TEST_SUITE("drill/judge") {
    TEST_CASE("the pitch of a note shorter than 160 ms is judged only when it is known") {
        const Asked asked = asked_for("G4");
        CHECK(faults_of(asked, played(asked, 22.0, 0.20)) == std::vector{Fault::sharp});
        CHECK(faults_of(asked, played(asked, 22.0, 0.15)).empty());
        trainer::PlayedNote note = played(asked, 22.0, 0.15);
        note.known_within_cents = 6.0;
        CHECK(faults_of(asked, note) == std::vector{Fault::sharp});
        note = played(asked, 9.0, 0.15); // beyond the tolerance, not beyond what is known
        note.known_within_cents = 6.0;
        CHECK(faults_of(asked, note).empty());
        note = played(asked, 60.0, 0.09); // may be the note, badly heard
        note.known_within_cents = 40.0;
        CHECK(faults_of(asked, note).empty());
        note = played(asked, 498.0, 0.09); // cannot
        note.known_within_cents = 40.0;
        CHECK(is_wrong(judged(asked, note, {})));
    }

    TEST_CASE("an attack more than 750 cents off is the ear's mistake, nearer it is the player's") {
        const Asked asked = asked_for("G4");
        trainer::PlayedNote note = played(asked, 0.0, 1.0);
        note.attack_cents = -700.0;
        CHECK(faults_of(asked, note) == std::vector{Fault::attack_flat});
        note.attack_cents = -800.0;
        CHECK(faults_of(asked, note).empty());
        note.attack_cents = 1200.0;
        CHECK(faults_of(asked, note).empty());
    }

    TEST_CASE("between an open and a stopped note colour is not judged") {
        const Asked asked = asked_for("G4");
        trainer::PlayedNote note = played(asked, 0.0, 1.0);
        note.heard.match.known = true;
        Circumstances around;
        around.colour_as_before = true;
        for (const double octaves : {-2.5, 2.5}) {
            note.heard.match.centroid_octaves = octaves;
            note.heard.match_open_and_stopped = false;
            CHECK_FALSE(judged(asked, note, around).good());
            note.heard.match_open_and_stopped = true;
            CHECK(judged(asked, note, around).good());
        }
    }

    TEST_CASE("the hand that stood elsewhere is named, by pitch as well as by sound") {
        const Asked asked = asked_for("F4"); // stopped
        REQUIRE_FALSE(asked.other_hands.empty());
        for (std::size_t i = 0; i < asked.other_hands.size(); ++i) {
            const double cents = cents_between(asked.other_hands_hz[i], asked.target_hz);
            const Judgement judgement = judged(asked, played(asked, cents, 1.0), {});
            if (judgement.faults == std::vector{Fault::wrong_hand}) {
                CHECK(judgement.heard_hand == asked.other_hands[i]);
            }
        }
    }

    TEST_CASE("another tune is said once, and few of its notes are judged before") {
        int told = 0;
        std::size_t all = 0;
        for (std::uint64_t seed = 1; seed <= 40; ++seed) {
            const Exercise asked = test::random_melody(*horn::parse_crook("F"), 28, seed);
            const Exercise other = test::random_melody(*horn::parse_crook("F"), 28, seed + 1000);
            const std::string text =
                story(asked, test::notes_of(test::perform(other, script_of(seed)), seed));
            told += std::count(text.begin(), text.end(), 't') == 1 ? 1 : 0;
            all += static_cast<std::size_t>(std::count(text.begin(), text.end(), 'w'));
        }
        MESSAGE("another tune: told once in ", told, " of 40; ", all, " single verdicts in all");
        CHECK(told >= 37);
        CHECK(all <= 40 * 4); // where 28 and more stood before
    }

    TEST_CASE("a nervous player of the right tune is judged note by note") {
        int doubted = 0;
        for (std::uint64_t seed = 1; seed <= 40; ++seed) {
            const Exercise asked = test::random_melody(*horn::parse_crook("F"), 28, seed);
            test::PlayerScript script = script_of(seed);
            script.slips = {.neighbour = 0.08,
                            .octave = 0.02,
                            .other_note = 0.03,
                            .extra = 0.04,
                            .left_out = 0.04,
                            .again = 0.04,
                            .bar_again = 0.02,
                            .beginning = 0.01,
                            .pause = 0.02};
            const std::string text =
                story(asked, test::notes_of(test::perform(asked, script), seed));
            doubted += text.find('t') != std::string::npos ? 1 : 0;
        }
        CHECK(doubted <= 1); // of 40, and only until four right notes follow each other
    }
}

#include "desk/model/run_view.h"

#include "support/fake_shelf.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

drill::Judgement judgement(std::uint32_t step, double cents, std::vector<drill::Fault> faults) {
    drill::Judgement made;
    made.step = step;
    made.played = true;
    made.held_cents = cents;
    made.tolerance_cents = 5.0;
    made.faults = std::move(faults);
    return made;
}

} // namespace

TEST_SUITE("gui/run view") {
    TEST_CASE("a verdict says what to put right first, in a shape and in words") {
        const Verdict good = verdict_of(judgement(0, 2.0, {}));
        CHECK(good.shape == Verdict::Shape::round);
        CHECK(good.words.empty());

        const Verdict low =
            verdict_of(judgement(0, -12.0, {drill::Fault::late, drill::Fault::flat}));
        CHECK(low.shape == Verdict::Shape::round);
        CHECK(low.cents == doctest::Approx(-12.0));
        REQUIRE(low.words.size() == 2);
        CHECK(low.words[0] == "12 flat");
        CHECK(low.words[1] == "late");

        drill::Judgement neighbour = judgement(0, 130.0, {drill::Fault::wrong_partial});
        neighbour.note.partial = 9;
        const Verdict other = verdict_of(neighbour);
        CHECK(other.shape == Verdict::Shape::diamond);
        CHECK(other.words.front() == "9th partial");

        drill::Judgement missed;
        missed.faults = {drill::Fault::missed};
        CHECK(verdict_of(missed).shape == Verdict::Shape::hollow);
        CHECK(verdict_of(missed).words.front() == "not played");
    }

    TEST_CASE("a run is shown: stage, place, verdicts some notes behind, what comes next") {
        skill::PlannedBlock now;
        now.exercise = test::exercise_of("one", {"G4", "F4", "G4"});
        now.exercise.quarters_per_minute = 72.0;
        now.why = "weak: invented";
        now.rest_s = 60.0;
        skill::PlannedBlock then = now;
        then.exercise.title = "two";
        then.crook = horn::parse_crook("Eb").value();
        run::State state;
        state.now = &now;
        state.then = &then;
        state.blocks = 2;
        state.where.passes = 3;
        RunView view;
        refresh(view, state, {});
        CHECK(view.stage == RunStage::waiting);
        CHECK_FALSE(view.begun);
        CHECK(run_words(view).large == "Starts when you play");
        CHECK(run_words(view).small == "weak: invented");
        CHECK(run_conditions(view).find("72 quarters a minute") != std::string::npos);
        CHECK(run_conditions(view).find("1st of 3 times") != std::string::npos);

        state.stage = run::Stage::playing;
        state.where.phase = drill::Phase::playing;
        state.where.step = 2;
        state.where.sounding = true;
        state.where.judged = 2;
        state.where.good = 1;
        state.marks.resize(3);
        run::Feedback good;
        good.judgement = judgement(0, 1.0, {});
        run::Feedback low;
        low.judgement = judgement(1, -14.0, {drill::Fault::late, drill::Fault::flat});
        low.text = "F4: 14 cents flat; late";
        state.marks[0] = good;
        state.marks[1] = low;
        state.feedback = low;
        refresh(view, state, {});
        CHECK(view.stage == RunStage::playing);
        CHECK(view.sounding);
        REQUIRE(view.verdicts[0].has_value());
        CHECK(view.verdicts[0]->words.empty());
        CHECK(view.verdicts[1]->words.front() == "14 flat");
        CHECK_FALSE(view.verdicts[2].has_value());
        CHECK(view.last_judged == 1U);
        CHECK(run_score(view) == "1 of 2 right so far");
        CHECK(view.told == low.text);
        CHECK(run_words(view).large.empty());

        low.judgement = judgement(1, 170.0, {drill::Fault::wrong_partial});
        low.judgement.note.partial = 9;
        state.marks[1] = low;
        refresh(view, state, {});
        CHECK(view.verdicts[1]->shape == Verdict::Shape::diamond);
        CHECK(view.verdicts[1]->words.front() == "9th partial");
        low.judgement.played = false;
        low.judgement.faults = {drill::Fault::missed};
        state.marks[1] = low;
        refresh(view, state, {});
        CHECK(view.verdicts[1]->shape == Verdict::Shape::hollow);

        state.stage = run::Stage::rest;
        state.rest_left_s = 61.2;
        refresh(view, state, {});
        CHECK(run_words(view).large == "1:02");
        CHECK(view.next_title == "two");
        CHECK(view.next_crook == std::string(then.crook.label));

        state.stage = run::Stage::paused;
        refresh(view, state, {});
        CHECK(run_words(view).large == "Paused");

        state.stage = run::Stage::finished;
        state.now = nullptr;
        refresh(view, state, {});
        CHECK(view.stage == RunStage::done);
        CHECK(view.exercise.title == "one"); // what was shown last stays
    }

    TEST_CASE("each phase inside a block says what to do") {
        skill::PlannedBlock now;
        now.exercise = test::exercise_of("one", {"G4"});
        run::State state;
        state.now = &now;
        state.stage = run::Stage::playing;
        RunView view;
        state.where.phase = drill::Phase::new_crook;
        refresh(view, state, {});
        CHECK(run_words(view).large ==
              std::string("Put on the ") + view.tuning.crook.label + " crook");
        state.where.phase = drill::Phase::stopped;
        refresh(view, state, {});
        CHECK(run_words(view).large == "Go on anywhere");
        state.where.phase = drill::Phase::count_in;
        state.where.beats_to_go = 3;
        refresh(view, state, {});
        CHECK(run_words(view).large == "3");
    }
}

#include "practice/attend.h"

#include "support/fake_practice.h"

#include <doctest/doctest.h>

using namespace bellhand;
using practice::Lesson;

namespace {

skill::PlannedBlock block_on(const char* crook) {
    skill::PlannedBlock block;
    block.exercise.id = "tune";
    block.exercise.title = "Tune";
    drill::Step step;
    step.written = *horn::parse_note("C4");
    block.exercise.steps.push_back(step);
    block.crook = *horn::parse_crook(crook);
    block.play_s = 60.0;
    return block;
}

} // namespace

TEST_SUITE("practice/attend") {
    TEST_CASE("the practice listens with the first block's tuning from the first call on") {
        auto state = std::make_shared<test::FakeState>();
        test::FakePractice practice(state);
        skill::PlannedBlock low = block_on("D");
        low.a4_hz = 430.0;
        auto lesson = *Lesson::make({low}, {}, {});
        practice::Heard heard;
        practice::attend(practice, lesson, heard);
        CHECK(state->tuning == lesson.tuning());
        CHECK(state->tuning.a4_hz == 430.0);
        CHECK(state->tuning.crook == *horn::parse_crook("D"));
    }

    TEST_CASE("a key that changes the block changes what is listened with, and whose hand it is") {
        auto state = std::make_shared<test::FakeState>();
        test::FakePractice practice(state);
        auto lesson = *Lesson::make({block_on("F"), block_on("Eb")}, {}, {});
        practice::Heard heard;
        int changes = 0;
        const practice::OwnHandOn own =
            [&](const horn::Tuning& tuning) -> std::optional<practice::OwnHand> {
            ++changes;
            practice::OwnHand hand;
            hand.response = horn::nominal_hand_response(tuning);
            hand.response.source = tuning.crook.id;
            return hand;
        };
        practice::attend(practice, lesson, heard, own);
        practice::attend(practice, lesson, heard, own);
        REQUIRE(state->own);
        CHECK(state->own->response.source == "F");
        lesson.press(practice::LessonKey::next); // to the rest, or to the next block
        lesson.press(practice::LessonKey::next);
        REQUIRE(lesson.tuning().crook == *horn::parse_crook("Eb"));
        practice::attend(practice, lesson, heard, own);
        CHECK(state->tuning == lesson.tuning());
        CHECK(state->own->response.source == "Eb");
        CHECK(changes == 2); // each once: setting it again would break a note that sounds
    }
}

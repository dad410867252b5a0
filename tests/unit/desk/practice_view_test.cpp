#include "desk/model/practice_view.h"

#include "desk/model/status_line.h"
#include "support/fake_practice.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

namespace {

struct Bench {
    std::shared_ptr<test::FakeState> state = std::make_shared<test::FakeState>();
    test::FakePractice practice{state};
    PracticeView view;

    Bench() { state->source.state = audio::SourceState::running; }
    void hear(const trainer::Reading& reading) {
        state->readings.push_back(reading);
        view.update(practice, reading.frame.time_s);
    }
};

trainer::PlayedNote played(std::uint32_t index, bool finished) {
    trainer::PlayedNote note;
    note.index = index;
    note.written = {72, 0};
    note.finished = finished;
    note.duration_s = 0.5;
    return note;
}

} // namespace

TEST_SUITE("gui/practice_view") {
    TEST_CASE("notes stand newest first; the sounding one is replaced as it grows and stays once "
              "it has ended") {
        Bench bench;
        bench.state->sounding = played(0, false);
        bench.view.update(bench.practice, 0.0);
        bench.view.update(bench.practice, 0.1);
        REQUIRE(bench.view.notes().size() == 1);
        CHECK_FALSE(bench.view.notes().front().finished);
        CHECK(bench.view.notes_ended() == 0);

        bench.state->ended.push_back(played(0, true));
        bench.state->sounding = played(1, false);
        bench.view.update(bench.practice, 0.2);
        REQUIRE(bench.view.notes().size() == 2);
        CHECK(bench.view.notes()[0].index == 1);
        CHECK(bench.view.notes()[1].finished);
        CHECK(bench.view.notes_ended() == 1);

        // A picture of the sounding note taken a moment before it ended changes nothing.
        bench.state->ended.push_back(played(1, true));
        bench.view.update(bench.practice, 0.3);
        CHECK(bench.view.notes().size() == 2);
        CHECK(bench.view.notes().front().finished);
    }

    TEST_CASE("a note that has only begun is not listed yet") {
        Bench bench;
        bench.state->sounding = played(0, false);
        bench.state->sounding->duration_s = 0.05;
        bench.view.update(bench.practice, 0.0);
        CHECK(bench.view.notes().empty());
        bench.state->sounding->duration_s = 0.2;
        bench.view.update(bench.practice, 0.1);
        CHECK(bench.view.notes().size() == 1);
    }

    TEST_CASE("when the device is lost, the last note stays but does not sound") {
        Bench bench;
        bench.state->source.state = audio::SourceState::running;
        for (int i = 0; i < 40; ++i) {
            bench.hear(test::reading_of(0.005 * i, {72, 0}, 3.0));
        }
        REQUIRE(bench.view.note().has_value());
        CHECK(bench.view.note()->sounding);
        bench.state->source.state = audio::SourceState::waiting;
        bench.view.update(bench.practice, 1.0);
        REQUIRE(bench.view.note().has_value());
        CHECK_FALSE(bench.view.note()->sounding);
        CHECK_FALSE(bench.view.newest().has_note);
    }

    TEST_CASE("the list of notes does not grow for ever") {
        Bench bench;
        for (std::uint32_t i = 0; i < 1000; ++i) {
            bench.state->ended.push_back(played(i, true));
            bench.view.update(bench.practice, 0.0);
        }
        CHECK(bench.view.notes().size() == 200);
        CHECK(bench.view.notes().front().index == 999);
        CHECK(bench.view.notes_ended() == 1000);
    }

    TEST_CASE("the level rises at once and falls slowly") {
        Bench bench;
        bench.hear(test::silence_at(0.0));
        CHECK(bench.view.level_dbfs() == doctest::Approx(-60.0));
        bench.hear(test::reading_of(0.01, {72, 0}, 0.0));
        CHECK(bench.view.level_dbfs() == doctest::Approx(-20.0));
        bench.hear(test::silence_at(0.11));
        CHECK(bench.view.level_dbfs() == doctest::Approx(-23.0));
    }

    TEST_CASE("drawing time glides between readings but never runs away") {
        Bench bench;
        bench.hear(test::reading_of(5.0, {72, 0}, 0.0)); // seen at wall time 5
        CHECK(bench.view.time_at(5.02) == doctest::Approx(5.02));
        CHECK(bench.view.time_at(9.0) == doctest::Approx(5.05));
    }

    TEST_CASE("a room that drowns the horn is said after two seconds, and forgiven when it is "
              "quiet again") {
        Bench bench;
        trainer::Reading noisy = test::reading_of(0.0, {72, 0}, 0.0);
        noisy.frame.snr_db = 8.0F;
        double time_s = 0.0;
        for (; time_s < 1.9; time_s += 0.01) {
            noisy.frame.time_s = time_s;
            bench.hear(noisy);
        }
        CHECK_FALSE(bench.view.room_too_loud());
        for (; time_s < 2.5; time_s += 0.01) {
            noisy.frame.time_s = time_s;
            bench.hear(noisy);
        }
        CHECK(bench.view.room_too_loud());
        CHECK(status_line(bench.view, true, "").warning);
        for (; time_s < 4.5; time_s += 0.01) {
            bench.hear(test::reading_of(time_s, {72, 0}, 0.0));
        }
        CHECK_FALSE(bench.view.room_too_loud());
    }
}

TEST_SUITE("gui/status_line") {
    TEST_CASE("a lost device is said in its own sentence, before everything else that runs") {
        Bench bench;
        bench.state->source.state = audio::SourceState::waiting;
        bench.state->source.message =
            "The microphone went away; listening resumes when it is back.";
        bench.state->log.message = "The log cannot be written.";
        bench.view.update(bench.practice, 0.0);
        const StatusLine line = status_line(bench.view, true, "");
        CHECK(line.words == bench.state->source.message);
        CHECK(line.warning);
    }

    TEST_CASE("a log that does not save is said while practice goes on") {
        Bench bench;
        bench.state->source.state = audio::SourceState::running;
        bench.state->log.message = "The log is on a full disk: 3 notes are waiting in memory.";
        bench.hear(test::reading_of(0.0, {72, 0}, 0.0));
        CHECK(status_line(bench.view, true, "").words == bench.state->log.message);
    }

    TEST_CASE("clipping and lost sound are named") {
        Bench bench;
        bench.state->source.state = audio::SourceState::running;
        trainer::Reading loud = test::reading_of(0.0, {72, 0}, 0.0);
        loud.frame.clipped = true;
        bench.hear(loud);
        CHECK(status_line(bench.view, true, "").words.find("Too loud for the microphone") == 0);
        trainer::Reading gap = test::reading_of(10.0, {72, 0}, 0.0);
        gap.frame.dropped_samples = 512;
        bench.hear(gap);
        CHECK(status_line(bench.view, true, "").words.find("lost some sound") != std::string::npos);
    }

    TEST_CASE("the end of a recording is said, with the source's own remark when it has one") {
        Bench bench;
        bench.state->source.state = audio::SourceState::ended;
        bench.state->source_ended = true;
        bench.hear(test::reading_of(0.0, {72, 0}, 0.0));
        CHECK(status_line(bench.view, true, "").words ==
              "The recording has ended. Space closes the session.");
        bench.state->source.message = "The file is cut short: its end is missing.";
        bench.view.update(bench.practice, 1.0);
        const StatusLine line = status_line(bench.view, true, "");
        CHECK(line.words.find(bench.state->source.message) == 0);
        CHECK(line.warning);
    }

    TEST_CASE("with nothing wrong it says where the notes go") {
        Bench bench;
        bench.state->source.state = audio::SourceState::running;
        bench.view.update(bench.practice, 0.0);
        CHECK(status_line(bench.view, true, "").words == "Waiting for sound.");
        bench.state->log.saving = true;
        bench.state->log.session = 12;
        bench.hear(test::reading_of(0.0, {72, 0}, 0.0));
        const StatusLine line = status_line(bench.view, true, "");
        CHECK(line.words == "Saved in the log, session 12.");
        CHECK_FALSE(line.warning);
        CHECK(status_line(bench.view, false, "No microphone.").words == "No microphone.");
    }
}

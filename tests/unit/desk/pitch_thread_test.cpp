#include "desk/model/pitch_thread.h"

#include "support/fake_practice.h"

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::desk;

TEST_SUITE("gui/pitch_thread") {
    TEST_CASE("it keeps the newest points in order and lets the oldest fall off") {
        PitchThread thread;
        const std::size_t more = PitchThread::kPoints + 100;
        for (std::size_t i = 0; i < more; ++i) {
            thread.add(test::reading_of(static_cast<double>(i), {72, 0}, static_cast<double>(i)));
        }
        REQUIRE(thread.size() == PitchThread::kPoints);
        CHECK(thread[0].time_s == doctest::Approx(100.0));
        CHECK(thread[PitchThread::kPoints - 1].time_s ==
              doctest::Approx(static_cast<double>(more - 1)));
    }

    TEST_CASE("it remembers what was heard too unsurely to judge by") {
        PitchThread thread;
        trainer::Reading reading = test::reading_of(0.0, {72, 0}, 1.0);
        thread.add(reading);
        reading.frame.doubtful = true;
        thread.add(reading);
        CHECK(thread[0].sure);
        CHECK(thread[1].sounding);
        CHECK_FALSE(thread[1].sure);
    }

    TEST_CASE("silence breaks it") {
        PitchThread thread;
        thread.add(test::reading_of(0.0, {72, 0}, 1.0));
        thread.add(test::silence_at(0.01));
        CHECK(thread[0].sounding);
        CHECK_FALSE(thread[1].sounding);
    }
}

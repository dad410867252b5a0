#include "gui/frame_pacer.h"

#include <string>

#include <doctest/doctest.h>

using namespace bellhand::gui;

TEST_SUITE("gui/frame_pacer") {
    TEST_CASE("sound is drawn at 60 frames a second, silence and rest more seldom") {
        CHECK(frame_period_s(Pace::lively) <= 1.0 / 60.0);
        CHECK(frame_period_s(Pace::quiet) > frame_period_s(Pace::lively));
        CHECK(frame_period_s(Pace::resting) > frame_period_s(Pace::quiet));
        CHECK(frame_period_s(Pace::hidden) >= 0.1);
    }

    TEST_CASE("statistics count lively frames only and name the late ones") {
        FrameStatistics statistics;
        double at_s = 0.0;
        for (int i = 0; i < 101; ++i) {
            statistics.add(Pace::lively, at_s, 0.004);
            at_s += i == 50 ? 0.1 : 0.016; // one long frame
        }
        statistics.add(Pace::resting, at_s + 5.0, 0.3);
        statistics.add(Pace::lively, at_s + 9.0, 0.004); // after a rest no interval is known
        const std::string words = statistics.summary();
        CHECK(words.find("frames 100,") == 0);
        CHECK(words.find("longest 100.00") != std::string::npos);
        CHECK(words.find("later than 25 ms: 1;") != std::string::npos);
    }
}

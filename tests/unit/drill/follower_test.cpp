#include "drill/follower.h"

#include <vector>

#include <doctest/doctest.h>

using namespace bellhand;
using namespace bellhand::drill;

namespace {

constexpr double kC_hz = 174.6;
constexpr double kG_hz = 261.6;

/// Quarter notes on one pitch and one on another at the end.
std::vector<Asked> same_notes(std::uint32_t count) {
    std::vector<Asked> plan(count);
    for (std::uint32_t step = 0; step < count; ++step) {
        plan[step].step = step;
        plan[step].target_hz = step + 1 == count ? kG_hz : kC_hz;
        plan[step].at_quarters = step;
        plan[step].quarters = 1.0;
    }
    return plan;
}

/// Told that a quarter takes half a second; `gaps_s`: silence before each note. Tells which steps were played.
std::vector<std::uint32_t> played(std::vector<Asked> plan,
                                  const std::vector<double>& gaps_s,
                                  double length_s = 0.45,
                                  std::uint32_t start = 0) {
    Follower follower(std::move(plan), 1, 4, 0.5, start);
    for (std::size_t i = 0; i < gaps_s.size(); ++i) {
        follower.hear({i + 1 == gaps_s.size() ? kG_hz : kC_hz, length_s, 0.0, gaps_s[i]});
    }
    follower.finish();
    std::vector<std::uint32_t> out;
    for (Aligned event; follower.next(event);) {
        if (event.kind == Aligned::Kind::played) {
            out.push_back(event.asked);
        }
    }
    return out;
}

} // namespace

TEST_SUITE("drill/follower") {
    TEST_CASE("of notes on one pitch the time tells which was left out") {
        for (std::uint32_t left_out = 4; left_out <= 8; ++left_out) {
            std::vector<double> gaps(11, 0.05);
            gaps[left_out] = 0.55; // its time passes
            std::vector<std::uint32_t> expected;
            for (std::uint32_t step = 0; step < 12; ++step) {
                if (step != left_out) {
                    expected.push_back(step);
                }
            }
            CAPTURE(left_out);
            CHECK(played(same_notes(12), gaps) == expected);
        }
    }

    TEST_CASE("and so it does at the player's own tempo, which is learnt on the way") {
        for (const double slower : {0.7, 1.4}) {
            for (const std::uint32_t left_out : {10U, 12U, 14U}) {
                std::vector<double> gaps(19, 0.05 * slower);
                gaps[left_out] = 0.55 * slower;
                CAPTURE(slower);
                CAPTURE(left_out);
                const auto steps = played(same_notes(20), gaps, 0.45 * slower);
                REQUIRE(steps.size() == 19);
                CHECK(steps[left_out - 1] == left_out - 1);
                CHECK(steps[left_out] == left_out + 1);
            }
        }
    }

    TEST_CASE("the silence before the first note is no time between notes") {
        std::vector<double> gaps(13, 0.05);
        gaps[0] = 20.0;
        gaps[2] = 0.55; // the third is left out
        const auto steps = played(same_notes(20), gaps, 0.45, 6);
        REQUIRE(steps.size() == 13);
        CHECK(steps[0] == 6);
        CHECK(steps[1] == 7);
        CHECK(steps[2] == 9);
        CHECK(steps[12] == 19);
    }
}

// Many performances of the demo player, every note compared with the truth of the score.
#include "support/demo_check.h"

using namespace bellhand;

TEST_CASE(
    "on high and low crooks, at several pitches and rates, every note is found as it was played") {
    std::uint64_t seed = 100;
    for (const char* crook : {"C-alto", "F", "D", "Bb-basso"}) {
        for (const double rate_hz : {22050.0, 48000.0}) {
            test::check_demo(crook, seed % 2 == 0 ? 440.0 : 421.6, seed, rate_hz);
            ++seed;
        }
    }
}

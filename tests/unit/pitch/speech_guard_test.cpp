#include "pitch/speech_guard.h"

#include <doctest/doctest.h>

using bellhand::pitch::SpeechGuard;

namespace {

constexpr double kHop_s = 256.0 / 48000.0;

// Follows a pitch that slides evenly; returns how many hops were shown.
int slide(SpeechGuard& guard, double seconds, double cents) {
    const int hops = static_cast<int>(seconds / kHop_s);
    int shown = 0;
    guard.begin(false);
    for (int i = 0; i < hops; ++i)
        shown += guard.follow(cents * i / hops, 0.98, cents / seconds) ? 1 : 0;
    guard.end();
    for (int i = 0; i < 10; ++i)
        guard.rest();
    return shown;
}

} // namespace

TEST_SUITE("pitch/speech_guard") {
    TEST_CASE("a steady note is shown at once where its sound so far tells that it stands, else "
              "after four hops") {
        SpeechGuard guard(kHop_s);
        const int hops = static_cast<int>(0.5 / kHop_s);
        CHECK(slide(guard, 0.5, 3.0) == hops);
        guard.begin(false);
        int waited = 0;
        while (!guard.follow(100.0, 0.98, 1e9)) { // nothing is known of how it moves
            ++waited;
        }
        CHECK(waited == 2);
    }

    TEST_CASE("sliding syllables are not shown") {
        SpeechGuard guard(kHop_s);
        for (int i = 0; i < 6; ++i)
            CHECK(slide(guard, 0.2, i % 2 == 0 ? 260.0 : -300.0) == 0);
    }

    TEST_CASE("after speech a note is shown once it has stood still, and the next at once") {
        SpeechGuard guard(kHop_s);
        for (int i = 0; i < 4; ++i)
            (void)slide(guard, 0.2, 250.0);
        const int hops = static_cast<int>(0.6 / kHop_s);
        const int first = slide(guard, 0.6, 4.0);
        CHECK(first > static_cast<int>(0.4 / kHop_s));
        CHECK(first < hops - 20);
        CHECK(slide(guard, 0.6, 4.0) >= hops - 4);
    }

    TEST_CASE("short detached notes after what seemed speech are shown from the third on") {
        SpeechGuard guard(kHop_s);
        for (int i = 0; i < 3; ++i)
            (void)slide(guard, 0.1, 200.0);
        const int hops = static_cast<int>(0.18 / kHop_s);
        for (int i = 0; i < 2; ++i)
            CHECK(slide(guard, 0.18, 2.0) < hops / 2);
        for (int i = 0; i < 4; ++i)
            CHECK(slide(guard, 0.18, 2.0) >= hops - 4);
    }

    TEST_CASE("syllables that rest for a moment stay speech") {
        SpeechGuard guard(kHop_s);
        for (int i = 0; i < 3; ++i)
            (void)slide(guard, 0.2, 250.0);
        for (int i = 0; i < 8; ++i)
            CHECK(slide(guard, 0.15, 30.0) == 0);
    }
}

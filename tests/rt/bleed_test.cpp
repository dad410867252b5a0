#include "bleed/tone_remover.h"
#include "support/alloc_guard.h"
#include "support/loudspeaker.h"

#include <doctest/doctest.h>

using namespace bellhand;

TEST_SUITE("rt/bleed") {
    TEST_CASE(
        "removing our own tones neither allocates, locks nor touches a file, whatever they do") {
        bleed::ToneRemover remover(48000.0);
        test::Loudspeaker drone;
        drone.hz = {110.0, 165.1, 220.0, 277.0, 330.0}; // every voice, many lines near each other
        const std::vector<float> sound = drone.heard(1.5);
        std::vector<float> block(128);
        std::uint64_t calls = 0;
        for (int pass = 0; pass < 3; ++pass) {
            for (std::size_t at = 0; at + 128 <= sound.size(); at += 128) {
                std::copy_n(sound.begin() + static_cast<std::ptrdiff_t>(at), 128, block.begin());
                const double from_s = static_cast<double>(at) / 48000.0;
                const bleed::Voices voices = drone.voices(from_s, from_s + 128.0 / 48000.0);
                const test::RealTimeScope scope;
                remover.remove(block, voices, false);
                calls += scope.calls().total();
            }
            const test::RealTimeScope scope;
            remover.lose_phase();
            calls += scope.calls().total();
            drone.hz[1] += 1.0; // the next pass another chord
        }
        if (!test::RealTimeScope::available()) {
            MESSAGE("a sanitizer replaces the C library's functions: calls were not counted");
            return;
        }
        CHECK(calls == 0);
    }
}

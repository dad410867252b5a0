#include "trainer/pitch_path.h"

#include <doctest/doctest.h>

using bellhand::trainer::PitchPath;

namespace {

void hear(PitchPath& path, double cents, int hops, double confidence = 0.9) {
    for (int i = 0; i < hops; ++i) {
        path.hear(cents, confidence);
    }
}

} // namespace

TEST_SUITE("trainer/pitch_path") {
    TEST_CASE("a note that stays is followed, a flash is not") {
        PitchPath path;
        path.begin();
        hear(path, 5000.0, 30);
        hear(path, 5200.0, 4);
        CHECK(path.stands_at(5000.0));
        hear(path, 5000.0, 10);
        hear(path, 5200.0, 12);
        CHECK(path.stands_at(5200.0));
        CHECK(path.longest_cents() == doctest::Approx(5000.0).epsilon(0.001));
    }

    TEST_CASE("an octave, which an ear mistakes a note for, must stand twice as long") {
        for (const double off : {1200.0, -1200.0, 1901.96}) {
            PitchPath path;
            path.begin();
            hear(path, 5000.0, 30);
            hear(path, 5000.0 + off, 9);
            CHECK(path.stands_at(5000.0));
            hear(path, 5000.0 + off, 7);
            CHECK(path.stands_at(5000.0 + off));
        }
    }

    TEST_CASE("a flash at the attack is left behind by the note") {
        PitchPath path;
        path.begin();
        hear(path, 6901.96, 14, 0.55); // 75 ms of the third harmonic, not very sure
        hear(path, 5000.0, 30);
        CHECK(path.stands_at(5000.0));
        CHECK(path.longest_cents() == doctest::Approx(5000.0).epsilon(0.001));
    }

    TEST_CASE("what is not sure moves it later than what is") {
        const auto hops_to_follow = [](double confidence) {
            PitchPath path;
            path.begin();
            hear(path, 5000.0, 30);
            int hops = 0;
            while (!path.stands_at(5300.0)) {
                path.hear(5300.0, confidence);
                ++hops;
            }
            return hops;
        };
        CHECK(hops_to_follow(1.0) <= 8);
        CHECK(hops_to_follow(0.5) >= 10);
    }

    TEST_CASE("a bend is one pitch, and more pitches than it remembers do not confuse it") {
        PitchPath path;
        path.begin();
        for (int i = 0; i < 100; ++i) {
            path.hear(5000.0 - i, 0.9);
        }
        CHECK(path.stands_at(4905.0));
        for (int i = 0; i < 20; ++i) {
            hear(path, 3000.0 + 150.0 * i, 2);
        }
        hear(path, 4000.0, 30);
        CHECK(path.stands_at(4000.0));
    }
}

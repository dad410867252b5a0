// A teacher and a student over a call, both inputs at once: who played what, with each side's sound coming back in the
// other's input. Codec: the Opus reference library (RFC 6716), made by others.
#include "practice/analysis.h"
#include "support/call_lesson.h"

#include <algorithm>
#include <chrono>
#include <cstdlib>

#include <doctest/doctest.h>

using namespace bellhand;
using desk::Side;

namespace {

struct Ear : practice::AnalysisSink {
    Side side;
    desk::Lesson& lesson;
    practice::Analysis analysis{horn::Tuning{}};
    double cost_s = 0.0;

    Ear(Side of, desk::Lesson& to) : side(of), lesson(to) {}
    void reading(const trainer::Reading& reading) override { lesson.add(side, reading); }
    void note(const trainer::PlayedNote& note, const horn::Tuning& /*tuning*/) override {
        lesson.end(side, note);
    }
    void hear(const std::vector<float>& sound, std::size_t from) {
        audio::Block block;
        block.sample_rate_hz = test::kCallRate_hz;
        block.first_sample = from;
        block.count = audio::kBlockSamples;
        std::copy_n(sound.begin() + static_cast<std::ptrdiff_t>(from),
                    audio::kBlockSamples,
                    block.samples.begin());
        const auto begin = std::chrono::steady_clock::now();
        REQUIRE(analysis.feed(block, *this).has_value());
        cost_s += std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    }
    void stand() {
        trainer::PlayedNote sounding;
        const bool sounds = analysis.sounding(sounding);
        lesson.stand(side, sounds ? std::optional(sounding) : std::nullopt);
    }
};

/// What the lesson tells of both inputs, heard block by block beside each other, and what that took.
struct Told {
    desk::Lesson lesson;
    Ear here{Side::here, lesson};
    Ear call{Side::call, lesson};

    explicit Told(const test::CallLesson& sounds) {
        lesson.hear_call();
        std::size_t frame = 0;
        for (std::size_t at = 0; at + audio::kBlockSamples <= sounds.microphone.size();
             at += audio::kBlockSamples) {
            here.hear(sounds.microphone, at);
            call.hear(sounds.call, at);
            if (at >= frame * 800) {
                ++frame;
                here.stand();
                call.stand();
                lesson.settle(static_cast<double>(at) / test::kCallRate_hz);
            }
        }
    }
};

int number_in(const char* variable, int otherwise) {
    const char* const text = std::getenv(variable);
    return text == nullptr ? otherwise : std::atoi(text);
}

} // namespace

TEST_SUITE("desk/lesson") {
    TEST_CASE("of both sides of a call each note is told of who played it, and what comes back of "
              "the other side counts as nobody's") {
        constexpr double kLength_s = 60.0;
        if (!test::has_call_codec()) {
            MESSAGE(
                "no Opus (Debian: opus-tools): the call carries the sound with gain riding alone");
        }
        const int first = number_in("BELLHAND_SIDES_FIRST", 101);
        test::CallScore all;
        double here_cost_s = 0.0;
        double call_cost_s = 0.0;
        for (int seed = first; seed < first + number_in("BELLHAND_SIDES_SEEDS", 3); ++seed) {
            const test::CallLesson sounds =
                test::make_call_lesson(static_cast<std::uint64_t>(seed), kLength_s);
            const Told told(sounds);
            const test::CallScore score = test::score_call(sounds, told.lesson.notes());
            MESSAGE("seed ",
                    seed,
                    ": ",
                    sounds.ways,
                    ": right ",
                    score.right,
                    " of ",
                    score.notes,
                    ", invented ",
                    score.invented,
                    " of ",
                    score.counted,
                    "\n",
                    score.faults);
            all.notes += score.notes;
            all.right += score.right;
            all.counted += score.counted;
            all.invented += score.invented;
            here_cost_s += told.here.cost_s;
            call_cost_s += told.call.cost_s;
        }
        MESSAGE("right ",
                all.right,
                " of ",
                all.notes,
                ", invented ",
                all.invented,
                " of ",
                all.counted,
                "; analysis of this side ",
                here_cost_s,
                " s, of the call ",
                call_cost_s,
                " s");
        CHECK(all.right >= 0.98 * all.notes);
        CHECK(all.invented <= 0.02 * all.counted);
    }
}

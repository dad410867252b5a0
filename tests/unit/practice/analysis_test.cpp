#include "support/demo_check.h"

using namespace bellhand;

TEST_SUITE("practice/analysis") {
    TEST_CASE("the demo exercise comes out as it was played: notes, starts, deviations") {
        test::check_demo("D", 430.0, 7, 48000.0);
    }

    TEST_CASE("a hole in the stream is counted and time goes on over it") {
        practice::Analysis analysis({});
        test::Collected found;
        audio::Block block;
        block.sample_rate_hz = 48000.0;
        block.count = audio::kBlockSamples;
        for (std::uint64_t i = 0; i < 100; ++i) {
            // 100 blocks, 10 of them lost in the middle
            block.first_sample = (i < 50 ? i : i + 10) * audio::kBlockSamples;
            REQUIRE(analysis.feed(block, found));
        }
        CHECK(analysis.elapsed_s() == doctest::Approx(110 * 128 / 48000.0));
        REQUIRE_FALSE(found.readings.empty());
        CHECK(found.readings.front().frame.dropped_samples == 0);
        CHECK(found.readings.back().frame.dropped_samples == 1280);
        CHECK(found.readings.back().frame.time_s ==
              doctest::Approx(110 * 128 / 48000.0).epsilon(0.04));
        for (std::size_t i = 1; i < found.readings.size(); ++i) {
            CHECK(found.readings[i].frame.time_s > found.readings[i - 1].frame.time_s);
        }
    }

    TEST_CASE("a new stream at another rate continues in time, and what came before is kept") {
        practice::Analysis analysis({});
        test::Collected found;
        audio::Block block;
        block.count = audio::kBlockSamples;
        block.sample_rate_hz = 48000.0;
        for (std::uint64_t i = 0; i < 75; ++i) {
            block.first_sample = i * audio::kBlockSamples;
            REQUIRE(analysis.feed(block, found));
        }
        CHECK(analysis.elapsed_s() == doctest::Approx(0.2));
        block.stream = 1;
        block.sample_rate_hz = 16000.0;
        for (std::uint64_t i = 0; i < 25; ++i) {
            block.first_sample = 5000 + i * audio::kBlockSamples; // no hole: another count
            REQUIRE(analysis.feed(block, found));
        }
        CHECK(analysis.elapsed_s() == doctest::Approx(0.4));
        CHECK(found.readings.back().frame.time_s == doctest::Approx(0.4).epsilon(0.04));
        CHECK(found.readings.back().frame.dropped_samples == 0);
    }

    TEST_CASE("a stream at an impossible rate is refused once and left out") {
        practice::Analysis analysis({});
        test::Collected found;
        audio::Block block;
        block.count = audio::kBlockSamples;
        block.sample_rate_hz = 4000.0;
        CHECK_FALSE(analysis.feed(block, found));
        CHECK(analysis.feed(block, found));
        CHECK(found.readings.empty());
        block.stream = 1;
        block.sample_rate_hz = 48000.0;
        for (std::uint64_t i = 0; i < 10; ++i) {
            block.first_sample = i * audio::kBlockSamples;
            CHECK(analysis.feed(block, found));
        }
        CHECK_FALSE(found.readings.empty());
    }

    TEST_CASE("a change of crook ends the note that sounds, each part under its own crook") {
        audio::SynthScore score;
        score.jitter_cents = 0.0;
        const horn::Tuning on_f = test::tuning_on("F", 440.0);
        const horn::Tuning on_g = test::tuning_on("G", 440.0);
        score.tones.push_back(
            {.start_s = 0.2, .duration_s = 1.6, .f0_hz = horn::target_hz({60, 0}, on_f)});
        const auto samples = audio::render(score, 48000.0);
        practice::Analysis analysis(on_f);
        analysis.set_tolerance_factor(0.5);
        test::Collected found;
        audio::Block block;
        block.sample_rate_hz = 48000.0;
        block.count = audio::kBlockSamples;
        for (std::size_t at = 0; at + audio::kBlockSamples <= samples.size();
             at += audio::kBlockSamples) {
            if (at == 48000) {
                analysis.set_tuning(on_g, found);
                analysis.set_tolerance_factor(2.0);
            }
            block.first_sample = at;
            std::copy_n(samples.begin() + static_cast<std::ptrdiff_t>(at),
                        block.count,
                        block.samples.begin());
            REQUIRE(analysis.feed(block, found));
        }
        analysis.finish(found);
        REQUIRE(found.notes.size() == 2);
        CHECK(horn::ascii_name(found.notes[0].written) == "C4");
        CHECK(horn::ascii_name(found.notes[1].written) == "Bb3"); // the same sound, a tone lower
        CHECK(found.notes[0].tolerance_factor == 0.5); // as the player wished when it ended
        CHECK(found.notes[1].tolerance_factor == 2.0);
        CHECK(found.notes[1].index == 1);
        CHECK(found.notes[0].start_s + found.notes[0].duration_s ==
              doctest::Approx(1.0).epsilon(0.06));
    }
}

#pragma once

#include "app/demo.h"
#include "practice/analysis.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <doctest/doctest.h>

namespace bellhand::test {

/// Keeps everything the analysis finds.
class Collected final : public practice::AnalysisSink {
public:
    std::vector<trainer::Reading> readings;
    std::vector<trainer::PlayedNote> notes;
    void reading(const trainer::Reading& reading) override { readings.push_back(reading); }
    void note(const trainer::PlayedNote& note, const horn::Tuning& /*tuning*/) override {
        notes.push_back(note);
    }
};

/// The samples in blocks, as a source would deliver them.
inline void feed_all(practice::Analysis& analysis,
                     Collected& sink,
                     const std::vector<float>& samples,
                     double sample_rate_hz) {
    audio::Block block;
    block.sample_rate_hz = sample_rate_hz;
    for (std::size_t at = 0; at < samples.size(); at += audio::kBlockSamples) {
        block.first_sample = at;
        block.count =
            static_cast<std::uint32_t>(std::min(audio::kBlockSamples, samples.size() - at));
        std::copy_n(
            samples.begin() + static_cast<std::ptrdiff_t>(at), block.count, block.samples.begin());
        REQUIRE(analysis.feed(block, sink));
    }
}

inline horn::Tuning tuning_on(const char* crook, double a4_hz) {
    horn::Tuning tuning;
    tuning.crook = *horn::parse_crook(crook);
    tuning.a4_hz = a4_hz;
    return tuning;
}

/// Renders one pass of the demo exercise, analyses it, and compares every note with the truth.
inline void check_demo(const char* crook, double a4_hz, std::uint64_t seed, double sample_rate_hz) {
    const std::string where = std::string(crook) + " seed " + std::to_string(seed);
    CAPTURE(where);
    const horn::Tuning tuning = tuning_on(crook, a4_hz);
    app::DemoScore score = app::demo_score(tuning, seed, 1);
    score.sound.repeat = false;
    score.sound.jitter_cents = 0.0; // the truth is then exact
    practice::Analysis analysis(tuning);
    Collected found;
    feed_all(analysis, found, audio::render(score.sound, sample_rate_hz), sample_rate_hz);
    analysis.finish(found);
    REQUIRE(found.notes.size() == score.notes.size());
    for (std::size_t i = 0; i < score.notes.size(); ++i) {
        const app::DemoNote& truth = score.notes[i];
        const trainer::PlayedNote& note = found.notes[i];
        CAPTURE(i);
        CHECK(note.index == i);
        CHECK(note.finished);
        CHECK(horn::ascii_name(note.written) == horn::ascii_name(truth.played));
        CHECK(note.partial == truth.partial);
        CHECK(note.hand == truth.hand);
        // The synthesiser glides for 30 ms from note to note in a slur.
        const double start_s = truth.start_s + (truth.slurred ? 0.015 : 0.0);
        CHECK(std::abs(note.start_s - start_s) <= 0.030);
        CHECK(std::abs(note.start_s + note.duration_s - truth.start_s - truth.duration_s) <= 0.070);
        const bool wobbles = truth.mistake == app::Mistake::unsteady;
        CHECK(std::abs(note.deviation_cents - truth.deviation_cents) <= (wobbles ? 2.0 : 1.0));
        CHECK(std::abs(note.level_dbfs + 21.0) < 8.0);
    }
}

} // namespace bellhand::test

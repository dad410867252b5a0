#pragma once

#include "audio/source.h"
#include "practice/analysis.h"
#include "run/run.h"

#include <cmath>
#include <cstdint>

namespace bellhand::test {

/// Hears sound for a run as a practice session does, as fast as the computer can.
class RunListener : private practice::AnalysisSink {
public:
    static constexpr double kRate_hz = 48000.0;

    explicit RunListener(run::Run& running) : running_(running), analysis_(running.tuning()) {}

    [[nodiscard]] double now_s() const { return now_s_; }

    /// The block follows what was heard before; its samples and their count are given.
    void hear(audio::Block& block) {
        block.first_sample = next_sample_;
        block.sample_rate_hz = kRate_hz;
        next_sample_ += block.count;
        (void)analysis_.feed(block, *this); // 48 kHz is a usable rate
        now_s_ = analysis_.elapsed_s();
        if (trainer::PlayedNote note; analysis_.sounding(note)) {
            running_.sounding(note);
        }
        running_.advance(now_s_);
        follow_tuning();
    }

    /// Time in which nobody listens.
    void skip(double length_s) {
        next_sample_ += static_cast<std::uint64_t>(std::llround(length_s * kRate_hz));
        advance_to(now_s_ + length_s);
        follow_tuning();
    }

    void advance_to(double now_s) {
        now_s_ = now_s;
        running_.advance(now_s_);
    }

    void follow_tuning() {
        if (!(running_.tuning() == analysis_.tuning())) {
            analysis_.set_tuning(running_.tuning(), *this);
        }
    }

private:
    void reading(const trainer::Reading& reading) override { running_.hear(reading); }
    void note(const trainer::PlayedNote& note, const horn::Tuning& /*tuning*/) override {
        running_.finished(note);
    }

    run::Run& running_;
    practice::Analysis analysis_;
    std::uint64_t next_sample_ = 0;
    double now_s_ = 0.0;
};

} // namespace bellhand::test

#pragma once

#include "practice/analysis.h"

#include <optional>
#include <span>
#include <vector>

namespace bellhand::test {

/// Readings and notes of one sound.
class HeardSound final : public practice::AnalysisSink {
public:
    std::vector<trainer::Reading> readings;
    std::vector<trainer::PlayedNote> notes;

    void reading(const trainer::Reading& reading) override { readings.push_back(reading); }
    void note(const trainer::PlayedNote& note, const horn::Tuning& /*tuning*/) override {
        notes.push_back(note);
    }
};

/// The whole path from samples to notes, as the program goes it.
[[nodiscard]] HeardSound hear_sound(std::span<const float> samples,
                                    double rate_hz,
                                    const horn::Tuning& tuning,
                                    const std::optional<practice::OwnHand>& own = {});

} // namespace bellhand::test

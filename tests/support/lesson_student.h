#pragma once

#include "run/run.h"
#include "support/performance.h"

#include <array>
#include <cstdint>
#include <vector>

namespace bellhand::test {

/// Faults that were put in against faults that were reported, note by note.
struct FaultTally {
    int put_in = 0;
    int found = 0;    ///< of those, reported on that note
    int reported = 0; ///< in all
    [[nodiscard]] double recall() const { return put_in > 0 ? 1.0 * found / put_in : 1.0; }
    [[nodiscard]] double precision() const { return reported > 0 ? 1.0 * found / reported : 1.0; }
    FaultTally& operator+=(const FaultTally& other);
};

/// What became of a session.
struct StudiedSession {
    static constexpr std::size_t kFaults = 18;
    std::array<FaultTally, kFaults> by_fault{}; ///< by drill::Fault
    FaultTally all;
    int blocks_finished = 0;
    int notes = 0;
    double sound_s = 0.0;
    bool finished = false; ///< the run came to its end by itself
};

/// How the run hears the student.
enum class Hearing {
    notes, ///< notes as the tracker would find them
    sound, ///< synthesised sound, through the whole analysis
};

/// A student who does all that a run asks, with the weaknesses of a script, untouched by anyone: begins when the run is ready,
/// plays every repetition, plays again what is asked again, waits through the rests. As fast as the computer can.
[[nodiscard]] StudiedSession
study(run::Run running, const PlayerScript& script, Hearing hearing, std::uint64_t seed);

/// What a player of some weeks has in the log on the day before `now_s`: the middle register, some of it weak, by the seed.
[[nodiscard]] skill::Skills
some_weeks(const horn::Crook& crook, std::int64_t now_s, std::uint64_t seed);

/// Two to four weaknesses on different notes of the blocks, chosen by the seed: flat, sharp, scooped, unsteady, another
/// partial, left out, and where there is a tempo late or too short.
[[nodiscard]] std::vector<Weakness>
chosen_weaknesses(const std::vector<skill::PlannedBlock>& blocks, std::uint64_t seed);

} // namespace bellhand::test

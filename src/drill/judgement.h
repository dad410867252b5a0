#pragma once

#include "drill/exercise.h"
#include "trainer/note_tracker.h"

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace bellhand::drill {

/// What can be wrong with a step. Ids (`fault_id`) are for files and the log.
enum class Fault {
    missed,        ///< not played
    wrong_partial, ///< a neighbour of the tube's series sounded instead
    wrong_note,    ///< another note sounded
    wrong_hand,    ///< the sound betrays another position, with enough confidence to say so
    flat,          ///< the held part
    sharp,
    attack_flat, ///< the first 100 ms
    attack_sharp,
    too_loud, ///< against the neighbours, where evenness is asked
    too_soft,
    uneven_colour,
    unsteady,
    early, ///< only where a tempo is set
    late,
    too_short,
    too_long,
    hairpin, ///< loudness did not follow what is written
    manner,  ///< trill or closing did not come as asked
};

/// A note as one step was judged. Times in seconds of the session.
struct Judgement {
    std::uint32_t step = 0;   ///< index into the exercise
    std::uint32_t pass = 0;   ///< repetition, from 0; of each crook anew
    std::uint32_t part = 0;   ///< which of the exercise's crooks, in order of playing
    bool played = false;      ///< false: missed, or `undecided`, and only `faults` means anything
    bool extra = false;       ///< a note that nothing asked for; `step` is what was asked next
    trainer::PlayedNote note; ///< as it sounded, read against what was asked
    double held_cents = 0.0;  ///< from the step's target
    double attack_cents = 0.0;
    double tolerance_cents = 0.0;
    std::optional<double> timing_s;       ///< positive = late; empty without a tempo
    std::optional<double> level_db;       ///< louder than its neighbours
    std::optional<double> length_share;   ///< of the length that is written; empty without a tempo
    std::optional<horn::Hand> heard_hand; ///< where the hand stood instead, with `wrong_hand`
    std::vector<Fault>
        faults; ///< as a teacher takes them: note, hand, pitch, attack, time, loudness; empty: right
    [[nodiscard]] bool good() const noexcept { return played && faults.empty(); }
    /// It could not be heard apart from what the room left of the note before: neither right nor wrong.
    [[nodiscard]] bool undecided() const noexcept { return !played && faults.empty(); }
};

/// "wrong-partial", "attack-flat", ...
[[nodiscard]] const char* fault_id(Fault fault) noexcept;
/// Empty for what no fault is called.
[[nodiscard]] std::optional<Fault> fault_from_id(std::string_view id) noexcept;
[[nodiscard]] std::span<const Fault> all_faults() noexcept;

} // namespace bellhand::drill

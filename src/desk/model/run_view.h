#pragma once

#include "desk/model/played_part.h"
#include "desk/model/verdict.h"
#include "run/run.h"

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::desk {

/// What goes on while a plan or a single exercise is worked through.
enum class RunStage {
    waiting,   ///< starts with the first note
    count_in,  ///< beats sound
    playing,   ///< a note sounds or was just played
    silent,    ///< nobody plays; goes on with the next note
    new_crook, ///< put another crook on first
    rest,      ///< between two blocks
    paused,    ///< by the player
    done,      ///< the plan is over
};

/// Everything that is shown of a run. Refreshed once a frame; verdicts stay some notes behind what is played.
struct RunView {
    RunStage stage = RunStage::waiting;
    drill::Exercise exercise;
    horn::Tuning tuning;
    std::string why;        ///< the plan's sentence
    std::string player;     ///< what is to be known of who plays, one sentence; empty: nothing
    std::uint32_t step = 0; ///< sounding or last played
    std::uint32_t next = 0; ///< asked next
    bool begun = false;     ///< anything was played yet
    bool sounding = false;
    int pass = 0; ///< repetition, from 0
    int passes = 1;
    bool repeating_missed = false;
    int beats_to_go = 0; ///< of the count-in
    int judged = 0;
    int good = 0;
    std::vector<std::optional<Verdict>> verdicts; ///< one for each step, of this time through
    std::optional<std::uint32_t>
        last_judged; ///< step of the newest verdict, which may be of the time before
    Verdict newest;
    std::string told;   ///< what is said of the newest one, a sentence with the note's name
    std::string moved;  ///< how it was held, where it was long enough for that; empty: not told
    std::string bar;    ///< of a part: number of the bar that is played or comes next
    int rest_bars = 0;  ///< of a part: whole bars of the rest that goes on; 0: none
    int rest_bar = 0;   ///< which of them it is, from 1
    std::string place;  ///< of a part: bar, rest, new crook, entry in one sentence
    std::string remark; ///< the newest sentence on the playing as a whole; empty: none
    int block = 0;      ///< of the plan, from 0
    int blocks = 1;
    double left_s = 0.0; ///< of playing in this block
    double rest_left_s = 0.0;
    double rest_s = 0.0;
    double played_s = 0.0; ///< in the whole run
    double rested_s = 0.0;
    std::string next_title;                   ///< what comes after the rest; empty: nothing
    std::string next_crook;                   ///< its crook, when it is another one
    std::vector<run::BlockSummary> summaries; ///< of the blocks that are over
    std::uint32_t kept = 0;                   ///< times "keep that" was asked for
    std::shared_ptr<const PlayedPart> part;   ///< whose bars are played; null: an exercise
};

/// The run as it is now.
void refresh(RunView& view, const run::State& state, const horn::Tuning& tuning);

/// Whether how the note was held is worth a word: a long plain note, whose pitch is to stay.
[[nodiscard]] bool tells_of_motion(const drill::Judgement& judgement, const drill::Step& asked);

/// Whether the step asked next wants the hand elsewhere than the note before it.
[[nodiscard]] bool hand_changes(const RunView& view);

/// What the page shows of a run, in what its events are known by: steps of the exercise, or notes of the part.
struct RunMarks {
    std::uint32_t place = 0; ///< sounds, or is asked next
    std::uint32_t past = 0;  ///< what stands before it was played
    std::vector<std::optional<Verdict>> verdicts;
    int bar = -1; ///< of the part's page: where the player is; of an exercise none is marked
};
[[nodiscard]] RunMarks run_marks(const RunView& view);

/// What is said of the stage: large, and one sentence below it. Either may be empty.
struct RunWords {
    std::string large;
    std::string small;
};
[[nodiscard]] RunWords run_words(const RunView& view);

/// "Horn in D", "A = 430", "60 quarters a minute" or "free tempo", "2nd of 3 times".
[[nodiscard]] std::string run_conditions(const RunView& view);

/// "17 of 20 right so far"; empty before the first.
[[nodiscard]] std::string run_score(const RunView& view);

} // namespace bellhand::desk

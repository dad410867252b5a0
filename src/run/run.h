#pragma once

#include "audio/reference_sound.h"
#include "core/result.h"
#include "drill/runner.h"
#include "horn/hand_response.h"
#include "run/record.h"
#include "skill/plan.h"

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::run {

/// Where a run stands. Inside a block `drill::Where::phase` tells more.
enum class Stage {
    ready,   ///< a block waits for its first note
    playing, ///< a block is played; silence inside it pauses it by itself
    paused,  ///< by the player's key: nothing is listened to
    rest,    ///< between two blocks
    finished,
};

/// All that a player can ask for during a run: single keys and foot pedals.
enum class Key {
    next,   ///< leaves the block, or the rest
    back,   ///< begins the block again; in its first seconds and in a rest the block before
    repeat, ///< the same block from its beginning
    pause,  ///< and goes on again
    keep,   ///< keep what was just played
    headphones, ///< an answer: that all notes come behind the click is what the click goes through, not me
};

struct Options {
    /// Pitch and temperament where a block asks for none of its own; the blocks choose crooks.
    horn::Tuning tuning;
    drill::HandOn hand; ///< this player's; empty: the modelled one
    drill::Tolerances tolerances;
    bool metronome = true;  ///< where the exercise has a tempo
    bool drone = true;      ///< where the exercise is measured above a root
    bool reference = false; ///< each block's first note sounds before it
    /// How many notes what is shown stays behind what is played, 0 to 4.
    int feedback_behind = 1;
    double click_delay_s =
        0.0; ///< the player hears clicks so much later than told, by an earlier answer
    std::int64_t started_s = 0;    ///< Unix time at second 0 of the session
    std::uint32_t first_block = 0; ///< number in the log of the first one
};

/// What is said about a step, some notes after it.
struct Feedback {
    drill::Judgement judgement;
    std::string text; ///< "F4: 14 cents flat"; "F4: good"
};

struct FaultCount {
    drill::Fault fault = drill::Fault::missed;
    int count = 0;
};

/// What a block came to.
struct BlockSummary {
    std::string title;
    std::string crook;
    int judged = 0;
    int good = 0;
    double played_s = 0.0;
    std::vector<FaultCount> faults; ///< most frequent first
    std::string text;               ///< one sentence: "41 of 48 good; most often: flat, on F4"
};

/// Everything a screen shows of a run. Pointers stay good until the run's next change.
struct State {
    Stage stage = Stage::ready;
    std::size_t block = 0;
    std::size_t blocks = 0;
    const skill::PlannedBlock* now =
        nullptr; ///< null when finished; in a rest the block that was played
    const skill::PlannedBlock* then = nullptr;        ///< the block after it, null at the last
    drill::Where where;                               ///< in the exercise
    const std::vector<drill::Asked>* asked = nullptr; ///< its notes on this crook
    double block_left_s = 0.0;                        ///< of playing
    double rest_left_s = 0.0;                         ///< valid in a rest
    double all_left_s = 0.0;                          ///< with rests
    double played_s = 0.0;                            ///< in all
    double rested_s = 0.0;                            ///< in all
    std::vector<std::optional<Feedback>> marks;       ///< newest for each step of the exercise
    std::optional<Feedback> feedback;                 ///< newest
    std::vector<Feedback> told;                       ///< all of this block, in order
    std::vector<std::string> remarks;    ///< sentences on this block's playing as a whole, in order
    std::vector<BlockSummary> summaries; ///< of the blocks that are over
    std::string prompt;                  ///< one sentence: what to do now
    bool headphones_asked = false; ///< whether all notes come behind the click for that reason
    std::uint32_t kept = 0;        ///< times "keep that" was asked for
};

/// Leads through the blocks of a plan: waits for the first note, follows, judges, repeats what missed, rests, moves on.
/// Knows no devices, threads or files: it is told what was heard and when, and tells what to show, to sound, to listen
/// with and to log. Times in seconds of the session. Belongs to one thread.
class Run {
public:
    /// Errors (usage): no blocks; an exercise that cannot be run on its crook.
    [[nodiscard]] static Result<Run>
    make(std::vector<skill::PlannedBlock> blocks, skill::Skills skills, Options options);
    ~Run();
    Run(Run&&) noexcept;
    Run& operator=(Run&&) noexcept;
    Run(const Run&) = delete;
    Run& operator=(const Run&) = delete;

    void hear(const trainer::Reading& reading);
    void finished(const trainer::PlayedNote& note);
    void sounding(const trainer::PlayedNote& note);
    /// `heard`: the click's way to the microphone was measured.
    void beat(double time_s, bool heard = false);
    void advance(double time_s); ///< also in silence; not backwards
    void press(Key key);
    /// The session ends here: what was played is judged, what was not reached is not held against anyone.
    void finish();

    [[nodiscard]] const State& state() const noexcept;
    /// What to listen with and to sound from now on.
    [[nodiscard]] const horn::Tuning& tuning() const noexcept;
    [[nodiscard]] const audio::ReferenceSound& sound() const noexcept;
    [[nodiscard]] const skill::Skills& skills() const noexcept;
    /// Takes the oldest record that the log does not have yet.
    [[nodiscard]] bool next(Record& out);
    /// Takes the oldest wish for a recording: homework is recorded while it is played, "keep that" after the fact.
    [[nodiscard]] bool next(TakeWish& out);

private:
    struct Inside;
    explicit Run(std::unique_ptr<Inside> inside);
    std::unique_ptr<Inside> inside_;
};

} // namespace bellhand::run

#pragma once

#include "core/result.h"
#include "drill/exercise.h"
#include "drill/judgement.h"
#include "drill/plan.h"
#include "drill/remark.h"
#include "drill/tolerances.h"

#include <cstdint>
#include <memory>
#include <optional>

namespace bellhand::drill {

/// How an exercise is run.
struct RunSettings {
    /// Pitch, temperament, and the crook where the exercise names none.
    horn::Tuning tuning;
    HandOn hand; ///< this player's; empty: the modelled one
    Tolerances tolerances;
    std::optional<Measure> measure; ///< in place of the exercise's
    std::optional<horn::Note> root;
    std::optional<double> quarters_per_minute; ///< in place of the exercise's; 0: free tempo
    std::optional<int> repetitions;
    std::uint32_t first_step =
        0; ///< only this stretch of the exercise, for homework on single bars
    std::optional<std::uint32_t> last_step;
    /// Where the player begins the first time; what stands before can be gone back to. Empty: at the first step.
    std::optional<std::uint32_t> start_step;
    /// By how much later than told the player hears the clicks, seconds, as the player has answered.
    double click_delay_s = 0.0;
    /// How many notes feedback stays behind, 0 to 4: a player cannot read while playing. Whoever rests for a second
    /// has it all.
    int notes_behind = 1;
    /// After the last repetition the bars with wrong or missed notes are asked again, at most this often.
    int repeat_missed = 1;
};

enum class Phase {
    waiting,   ///< for the first sound
    count_in,  ///< beats sound, nothing was played yet
    playing,   ///< a note sounds or was just played
    resting,   ///< silence where the exercise or its free tempo lets it be
    stopped,   ///< silence for longer than that: the program waits, and goes on with the next sound
    new_crook, ///< put on the next crook; goes on with the first note on it
    finished,
};

/// Where the player is now. What is shown and sounded follows from this alone.
struct Where {
    Phase phase = Phase::waiting;
    std::uint32_t step = 0; ///< sounding or last played; meaningful once anything was
    std::uint32_t next = 0; ///< the note that is asked next
    std::uint32_t pass = 0;
    std::uint32_t passes = 1;
    std::uint32_t part = 0; ///< of the exercise's crooks
    std::uint32_t parts = 1;
    horn::Tuning tuning; ///< what to listen with now: give it to the analysis when it changes
    bool sounding = false;
    double silent_s = 0.0;  ///< since the last note ended
    double quarter_s = 0.0; ///< a quarter as it is played now; 0: not known
    int beats_to_go = 0;    ///< of the count-in
    int rest_bars = 0;      ///< of a part: whole bars of the rest that goes on; 0: none
    int rest_bar = 0;       ///< which of them it is, from 1, counted by the player's pulse
    std::optional<std::uint32_t> or_step; ///< what was heard stands there just as well as at `step`
    bool repeating_missed = false;        ///< `next` is in a bar that is asked again
    std::uint32_t judged = 0;             ///< steps so far, missed ones too
    std::uint32_t good = 0;
};

/// Follows a player through an exercise and judges every note; live and on recordings alike. Fed with notes (finished
/// and sounding), readings, beats and time, all in seconds of sound; the same calls give the same answers on every
/// machine. Never stuck: whatever is played, the next note that fits is followed. Belongs to one thread.
/// Judgements hold short lists of faults, so this does not belong on the analysis path, which must not allocate.
class Runner {
public:
    /// Errors (usage): no notes; a note that no horn plays; the stretch does not exist.
    [[nodiscard]] static Result<Runner> make(const Exercise& exercise, const RunSettings& settings);
    ~Runner();
    Runner(Runner&& other) noexcept;
    Runner& operator=(Runner&& other) noexcept;
    Runner(const Runner&) = delete;
    Runner& operator=(const Runner&) = delete;

    /// A note that ended; in order.
    void finished(const trainer::PlayedNote& note);
    /// The note that sounds now, as often as one likes; moves `where`, judges nothing.
    void sounding(const trainer::PlayedNote& note);
    /// A reading: pitch and loudness inside the note, for hairpins, trills and closings. Without readings these are not
    /// judged.
    void hear(const trainer::Reading& reading);
    /// A beat of the metronome sounded at `time_s`; the first ones are the count-in (one bar). `heard`: by the microphone.
    /// With beats or without, single notes are judged against the player's own pulse; how that stands to the beats, or to
    /// the tempo that is written, is a remark.
    void beat(double time_s, bool heard = false);
    /// The player hears the clicks by so much later than told, seconds; counts from the next beat on.
    void set_click_delay(double delay_s) noexcept;
    /// Time goes on, also in silence. Not backwards.
    void advance(double time_s);
    /// Nothing more will be played: the notes still waiting are judged, what was not reached counts as missed
    /// (of the last repetition that was begun, on the crook of now).
    void finish();

    /// The oldest judgement that was not fetched; false when there is none.
    [[nodiscard]] bool next(Judgement& out);
    /// The same of remarks.
    [[nodiscard]] bool next(Remark& out);
    [[nodiscard]] const Where& where() const noexcept;
    [[nodiscard]] const Exercise& exercise() const noexcept;
    /// What is asked on the crook of now, in order.
    [[nodiscard]] const std::vector<Asked>& asked() const noexcept;

private:
    struct State;
    explicit Runner(std::unique_ptr<State> state);
    std::unique_ptr<State> state_;
};

} // namespace bellhand::drill

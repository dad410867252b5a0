#pragma once

// Shared by the two halves of the runner only.

#include "drill/click.h"
#include "drill/follower.h"
#include "drill/judge.h"
#include "drill/levels.h"
#include "drill/pulse.h"
#include "drill/runner.h"
#include "drill/trace.h"
#include "drill/withheld.h"

#include <array>
#include <deque>
#include <optional>
#include <vector>

namespace bellhand::drill {

struct Runner::State {
    Exercise exercise;
    RunSettings settings;
    std::vector<horn::Crook> crooks;
    int passes = 1;
    double quarter_s = 0.0;
    double total_quarters = 0.0;

    std::optional<Follower> follower;
    std::vector<bool> wrong; ///< per step of the plan: its last try
    int rounds_of_missed = 0;
    Where where;
    Trace trace;
    Levels levels;

    static constexpr std::size_t kNotes = 16; ///< kept for judging; more than can be unsettled
    std::array<trainer::PlayedNote, kNotes> notes;
    std::uint32_t heard = 0;  ///< notes given to the follower
    std::size_t in_a_row = 0; ///< notes that followed each other, up to the newest that is settled
    double last_end_s = 0.0;
    double last_sound_s = 0.0;
    double now_s = 0.0;
    bool any_sound = false;

    /// The step judged last, for timing and neighbours.
    struct Before {
        std::uint32_t asked = 0;
        double start_s = 0.0;
        double level_dbfs = 0.0;
        bool right = false;
        std::uint32_t also =
            0; ///< so many steps after it on its pitch, which a room did not let hear apart
    };
    std::optional<Before> before;
    /// A trill or closing that may go on.
    struct Open {
        trainer::PlayedNote note;
        Aligned aligned;
    };
    std::optional<Open> open;
    Withheld withheld;
    std::deque<Judgement> judgements;

    Click click;
    Pulse pulse;
    bool tempo_said = false;
    std::deque<Remark> remarks;

    /// A note that ended, for the follower.
    void accept(const trainer::PlayedNote& note);
    /// A trill changes too quickly for the tracker to call it a note: it is made from the readings between the last
    /// note and `until_s`, where one is asked and one was heard.
    void take_trill(double until_s);

    void begin_part();
    void begin_round(std::vector<Asked> plan, int times, std::uint32_t start = 0);
    void end_round();
    void drain();
    void take(const Aligned& aligned);
    void take_skipped(const Aligned& aligned);
    void take_extra(const Aligned& aligned, const trainer::PlayedNote& note);
    /// Neither right nor wrong.
    void take_undecided(Aligned aligned, std::uint32_t asked);
    /// In a room that rings one note may be several strokes on one pitch, and what was left out before it is then where it
    /// begins: the first step of these, or its own.
    std::uint32_t begins_at(const Aligned& played, std::uint32_t skipped) const;
    /// How many steps after `asked`, on its pitch, the note sounds through.
    std::uint32_t sounds_through(std::uint32_t asked, const trainer::PlayedNote& note) const;
    /// So many steps before this note were not heard, their time passed, and the room was never still meanwhile.
    bool drowned(const Aligned& played, std::uint32_t skipped) const;
    bool mistaken(const Asked& asked, const trainer::PlayedNote& note) const;
    void close_open();
    void judge_one(const Aligned& aligned, const trainer::PlayedNote& note);
    void put(Judgement judgement, const Aligned& aligned);
    /// Gives out what is ready to be told.
    void tell();
    std::optional<double> timing(const Aligned& aligned, const trainer::PlayedNote& note);
    /// The note after this one where it was heard and is the next one asked, in quarters and seconds.
    std::optional<Pulse::Onset> onset_after(const Aligned& aligned) const;
    double place_of(std::uint32_t asked, std::uint32_t pass) const;
    void remark_on_tempo(bool at_end);
    Circumstances around(const Aligned& aligned, const trainer::PlayedNote& note);
    double rest_asked_s() const;
    /// A quarter as it is played now; 0: not known.
    double quarter_now_s() const;
    /// Where the player is, by what was heard until now; settles, goes on to the next round or crook.
    void look();
    void look_before_first_note();
    void look_in_silence(double silent_s, double beyond_s);
    /// Counts the whole bars of rest between the note played last and the next.
    void count_rest(double silent_s);
    void listen_on(const horn::Crook& crook) { where.tuning.crook = crook; }
    bool in_turn(std::uint32_t asked) const;
};

} // namespace bellhand::drill

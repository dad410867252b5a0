#pragma once

#include "drill/plan.h"

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

namespace bellhand::drill {

/// What became of a note or of a step, in the order of time.
struct Aligned {
    enum class Kind {
        played, ///< `note` was meant as `asked`
        extra,  ///< `note` belongs to no step; `asked` is what comes next
        skipped ///< `asked` was not played
    };
    Kind kind = Kind::played;
    std::uint32_t note = 0;  ///< how many notes came before it
    std::uint32_t asked = 0; ///< index into the plan
    std::uint32_t pass = 0;
    bool follows = false; ///< played right after the step before it, without a gap in the steps
};

/// Finds out which step each note was meant as, while it is played.
///
/// A hidden Markov model over the places of the exercise: at every step the note was that step and came out, was that
/// step and came out as another note, or was a note too many before the next. From each place the next step is
/// likeliest; others are the same again (above all after a miss), leaving out up to eight, a few back, the beginning of
/// this bar or of the two before, the very beginning, and, rarely, anywhere, so that whatever is played it can never be
/// lost for good. The time from one note to the next speaks for
/// what is written, of rests loosely. The most probable path is followed (Viterbi 1967); a note is settled once `notes_behind` more were
/// heard and all paths near the best agree on it, at the latest four notes later. Where a note can be a miss or a
/// repetition, it is rather taken for a miss: nobody is praised for what was not asked.
/// The model is that of Nakamura, Nakamura and Sagayama ("Real-time audio-to-score alignment of music performances
/// containing errors and arbitrary repeats and skips", IEEE/ACM Transactions on Audio, Speech, and Language Processing
/// 24(2), 2016), on notes in place of audio frames and with jumps that favour where a player starts again.
/// The probabilities are this program's own choice. After the constructor nothing here allocates but `events`.
class Follower {
public:
    /// `plan` at least one note; `passes` times in a row. `notes_behind` 0 to 4. `quarter_s`: a quarter note, 0 in a free
    /// tempo, which is then learnt from the notes.
    /// `start`: index into the plan of the note that the player begins with.
    Follower(std::vector<Asked> plan,
             int passes,
             int notes_behind,
             double quarter_s,
             std::uint32_t start = 0);

    /// A note that ended. `silence_s`: longer than was asked for, before it; a player who stopped is more likely to
    /// start again somewhere else.
    struct Sound {
        double f0_hz = 0.0;
        double duration_s = 0.0;
        double silence_s = 0.0;
        /// All silence since the note before, which tells of written rests; empty: not known.
        std::optional<double> gap_s{};
    };
    void hear(const Sound& sound);
    /// The player rests: what was heard is settled as it looks now, unless steps were left out or jumped over to
    /// the newest note, which waits
    /// for the next note.
    void settle();
    /// No note follows: all is settled as it looks now.
    void settle_all();
    /// The same, and steps that were not reached are `skipped`.
    void finish();
    /// Settled notes and steps, oldest first; they are gone after this.
    [[nodiscard]] bool next(Aligned& out);

    /// Where a note of this pitch, now sounding, most likely stands (index into the plan); does not count it.
    [[nodiscard]] std::uint32_t place_of(double f0_hz) const;
    /// Most likely place of the newest note, empty before the first.
    [[nodiscard]] std::optional<std::uint32_t> last() const noexcept;
    /// Another passage in which the newest notes stand just as well as at `last`; empty when there is none.
    [[nodiscard]] std::optional<std::uint32_t> or_else() const noexcept;
    /// What is asked next; the size of the plan when nothing is.
    [[nodiscard]] std::uint32_t upcoming() const noexcept;
    [[nodiscard]] std::uint32_t pass() const noexcept { return pass_; }
    /// Length of a quarter as it is played, by lengths; 0: not known yet.
    [[nodiscard]] double quarter_s() const noexcept;
    /// The last step of the last pass was the newest note.
    [[nodiscard]] bool at_end() const noexcept;
    [[nodiscard]] const std::vector<Asked>& plan() const noexcept { return plan_; }

private:
    // States: 0..n-1 "the newest note was this step", n..2n-1 "it was this step, but another note came out",
    // 2n..3n "it was one too many, the next step is (state - 2n)".
    struct From {
        std::uint32_t state = 0;
        bool wrapped = false; ///< through the end into the next pass
        bool skipped = false; ///< some steps were left out
        bool jumped = false;  ///< to any other place
    };
    static constexpr std::size_t kHistory = 8; // notes that may be unsettled
    static constexpr std::uint32_t kLongestSkip = 8;
    static constexpr std::uint32_t kOtherPassage = 16; ///< so many steps away it is another one
    static constexpr int kTempoNotes = 3;              // before lengths count in a free tempo

    [[nodiscard]] bool is_extra(std::uint32_t state) const noexcept { return state >= 2 * n_; }
    [[nodiscard]] std::uint32_t step_of(std::uint32_t state) const noexcept {
        return state < n_ ? state : state - n_;
    }
    [[nodiscard]] std::uint32_t place_after(std::uint32_t state) const noexcept;
    [[nodiscard]] std::uint32_t best_state() const noexcept;
    /// The same without jumps that no second note has confirmed yet.
    [[nodiscard]] std::uint32_t best_confirmed() const noexcept;
    [[nodiscard]] bool may_wrap() const noexcept;
    [[nodiscard]] bool leapt_to(std::uint32_t state) const noexcept;
    void arrive(const Sound& sound, std::vector<From>* from) const;
    /// True when two states mean nearly the same place.
    [[nodiscard]] bool same_passage(std::uint32_t a, std::uint32_t b) const noexcept;
    [[nodiscard]] std::uint32_t state_back(std::uint32_t state, std::size_t notes) const noexcept;
    [[nodiscard]] bool agreed(std::size_t notes_back) const noexcept;
    void settle_oldest(std::uint32_t by_state);
    /// Natural logarithm; of a length in quarters, 0 when none is asked.
    [[nodiscard]] double
    length_density(double quarters, double duration_s, double free_share) const;
    void group_alike();
    void weigh(const Sound& sound);
    void take_span(const Sound& sound) const;
    void doubt_beats(bool said);
    void learn_tempo(std::uint32_t step, double duration_s);
    void tell_skipped(std::uint32_t from, std::uint32_t to);

    std::vector<Asked> plan_;
    /// Steps that ask for the same pitch, and those that ask for the same length: a long part has few of each, and what a
    /// sound says is the same for all of a kind.
    struct Kinds {
        std::vector<std::uint32_t> of;    ///< kind of every step
        std::vector<std::uint32_t> first; ///< a step of every kind
    };
    Kinds pitches_;
    Kinds lengths_;
    /// The time that is written from one step to another.
    struct Span {
        double log_quarters = 0.0;
        bool known = false;
        bool rest = false;
    };
    static constexpr std::uint32_t kTimedSkip = 3; ///< the most steps left out whose time counts
    /// By how many steps are left out, for every step: the time from the note before them to it.
    std::array<std::vector<Span>, kTimedSkip + 1> spans_;
    /// The length of a quarter from one beginning to the next, natural logarithm of seconds, as one path has it, and how many
    /// notes it rests on: what fits elsewhere only at another tempo does not spoil the tempo of this path.
    struct Beat {
        double log_s = 0.0;
        std::uint32_t notes = 0;
    };
    std::vector<Beat> beats_; ///< of every state
    std::vector<Beat> beats_before_;
    static constexpr std::uint32_t kBeatNotes = 12; ///< after so many it is known as well as ever
    struct BeatDoubt {
        std::array<double, 2> sd{}; ///< of a note after it, without and with a rest
        std::array<double, 2> log_sd{};
        std::array<double, 2> share{}; ///< of what a note tells that is taken over
    };
    std::array<BeatDoubt, kBeatNotes + 1> beat_doubts_{};
    /// Natural logarithms of how likely the newest sound is, for each kind of pitch and each kind of length.
    struct Weight {
        double right = 0.0;
        double wrong = 0.0;
        double extra = 0.0;
    };
    std::vector<Weight> pitch_weights_;
    std::vector<Weight> length_weights_; ///< when right, when wrong, when too many
    mutable std::vector<double>
        sounding_weights_; ///< for each kind of pitch, of a note that still sounds
    std::uint32_t n_;
    std::uint32_t passes_;
    std::size_t behind_;
    int bars_ = 0;
    /// For the beginning of a bar: the furthest place from which players go back to it; 0 elsewhere.
    std::vector<std::uint32_t> restart_until_;
    std::vector<double> scores_;
    mutable std::vector<double> reached_;
    /// A place with the most probable state that leads there, and with what is likeliest to come next from it.
    struct Place {
        double score = 0.0;
        std::uint32_t state = 0;
        double next_score = 0.0;
        std::uint32_t next_state = 0;
    };
    mutable std::vector<Place> places_;
    /// The best way to a step so far.
    struct Arrival {
        double score = 0.0;
        From from;
    };
    void gather_places() const;
    static void take(double score, const From& from, Arrival& best) noexcept;
    void arrive_near(std::uint32_t step, double stop, Arrival& best) const noexcept;
    /// What the time since the note before says for this step when so many before it are left out.
    [[nodiscard]] double span_weight(std::uint32_t from_state,
                                     std::uint32_t step,
                                     std::uint32_t left_out) const noexcept;
    [[nodiscard]] double span_density(const Span& span, const Beat& beat) const noexcept;
    [[nodiscard]] Beat beat_after(const Span& span, Beat beat) const noexcept;
    void carry_beats(const std::vector<From>& from);
    [[nodiscard]] Span written_span(std::uint32_t from, std::uint32_t to) const noexcept;
    void arrive_far(std::uint32_t step,
                    double stop,
                    const Place& furthest,
                    Arrival& best) const noexcept;
    std::vector<std::vector<From>> history_; ///< ring, newest at heard_ - 1
    std::vector<double> durations_s_;        ///< ring as well
    double log_quarter_ = 0.0;               ///< of the length of a quarter, seconds
    int tempo_notes_ = 0;                    ///< that it rests on
    bool tempo_said_ = false;
    /// Natural logarithm of the time from the beginning of the note before to the newest one's; empty: not known.
    mutable std::optional<double> log_span_;
    mutable double log_any_span_ = 0.0; ///< how likely it is where the player goes anywhere
    std::uint32_t heard_ = 0;
    std::uint32_t settled_ = 0;
    std::uint32_t settled_state_; ///< of the newest settled note
    std::uint32_t pass_ = 0;
    bool finished_ = false;
    std::vector<Aligned> events_;
    std::size_t next_event_ = 0;
};

} // namespace bellhand::drill

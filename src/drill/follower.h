#pragma once

#include "drill/plan.h"

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
/// A hidden Markov model over the places of the exercise: at every step the note was that step (well or badly played),
/// or an extra one before the next. From each place the next step is likeliest; others are leaving out up to eight,
/// the same again, a few back, the beginning of this bar or the one before, the very beginning, and, rarely, anywhere,
/// so that whatever is played it can never be lost for good. The most probable path is followed (Viterbi 1967); a note is settled
/// once `notes_behind` more were heard and all paths near the best agree on it, at the latest four notes later.
/// The model is that of Nakamura, Nakamura and Sagayama ("Real-time audio-to-score alignment of music performances
/// containing errors and arbitrary repeats and skips", IEEE/ACM Transactions on Audio, Speech, and Language Processing
/// 24(2), 2016), on notes in place of audio frames and with jumps that favour where a player starts again.
/// The probabilities are this program's own choice. After the constructor nothing here allocates but `events`.
class Follower {
public:
    /// `plan` at least one note; `passes` times in a row. `notes_behind` 0 to 4.
    Follower(std::vector<Asked> plan, int passes, int notes_behind);

    /// A note that ended. `silence_s`: longer than was asked for, before it; a player who stopped is more likely to
    /// start again somewhere else.
    void hear(double f0_hz, double silence_s);
    /// The player rests: what was heard is settled as it looks now.
    void settle();
    /// All is over: steps that were not reached are `skipped`.
    void finish();
    /// Settled notes and steps, oldest first; they are gone after this.
    [[nodiscard]] bool next(Aligned& out);

    /// Where a note of this pitch, now sounding, most likely stands (index into the plan); does not count it.
    [[nodiscard]] std::uint32_t place_of(double f0_hz) const;
    /// Most likely place of the newest note, empty before the first.
    [[nodiscard]] std::optional<std::uint32_t> last() const noexcept;
    /// What is asked next; the size of the plan when nothing is.
    [[nodiscard]] std::uint32_t upcoming() const noexcept;
    [[nodiscard]] std::uint32_t pass() const noexcept { return pass_; }
    /// The last step of the last pass was the newest note.
    [[nodiscard]] bool at_end() const noexcept;
    [[nodiscard]] const std::vector<Asked>& plan() const noexcept { return plan_; }

private:
    // States: 0..n-1 "the newest note was this step", n..2n "it was an extra one, the next step is (state - n)".
    struct From {
        std::uint32_t state = 0;
        bool wrapped = false; ///< through the end into the next pass
    };
    static constexpr std::size_t kHistory = 8; // notes that may be unsettled
    static constexpr std::uint32_t kLongest_skip = 8;

    [[nodiscard]] std::uint32_t place_after(std::uint32_t state) const noexcept;
    [[nodiscard]] std::uint32_t best_state() const noexcept;
    [[nodiscard]] bool may_wrap() const noexcept;
    void arrive(double silence_s, std::vector<From>* from) const;
    [[nodiscard]] std::uint32_t state_back(std::uint32_t state, std::size_t notes) const noexcept;
    [[nodiscard]] bool agreed(std::size_t notes_back) const noexcept;
    void settle_oldest();
    void tell_skipped(std::uint32_t from, std::uint32_t to);

    std::vector<Asked> plan_;
    std::uint32_t n_;
    std::uint32_t passes_;
    std::size_t behind_;
    /// For the beginning of a bar: the furthest place from which players go back to it; 0 elsewhere.
    std::vector<std::uint32_t> restart_until_;
    std::vector<double> scores_;
    mutable std::vector<double> reached_;
    mutable std::vector<double> place_score_;
    mutable std::vector<std::uint32_t> place_state_;
    std::vector<std::vector<From>> history_; ///< ring, newest at heard_ - 1
    std::uint32_t heard_ = 0;
    std::uint32_t settled_ = 0;
    std::uint32_t settled_state_; ///< of the newest settled note
    std::uint32_t pass_ = 0;
    bool finished_ = false;
    std::vector<Aligned> events_;
    std::size_t next_event_ = 0;
};

} // namespace bellhand::drill

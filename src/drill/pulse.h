#pragma once

#include <optional>

namespace bellhand::drill {

/// The pulse that a player keeps: tempo and phase, fitted to a phrase while it is played. A note is late against this
/// pulse, not against the page: another tempo, a rubato or a ritardando is no fault of any note.
///
/// A Kalman filter (Kalman 1960) of phase and length of the quarter note, whose freedom is learnt from how much the
/// player's tempo wanders; compare Large and Jones 1999, who let an oscillator adapt in the same two ways. A note that
/// is off is looked at together with the one after it: goes that on at the new tempo, the tempo has changed; comes it
/// back to the old pulse, or keeps it the old tempo from the late note on, the note was late, and only that one. Said is
/// what explains both better, by all that is known of how this player's tempo moves and how surely beginnings are heard.
class Pulse {
public:
    /// Where a note stands in the exercise, and when it began.
    struct Onset {
        double quarters = 0.0;
        double start_s = 0.0;
        bool in_ringing_room = false; ///< starts are told less surely
        bool unsure = false;          ///< this one is not told at all
    };

    /// `quarter_s`: as written, > 0. `clicked`: a metronome gives the tempo, which is then not the player's to choose.
    explicit Pulse(double quarter_s = 1.0, bool clicked = false) noexcept;

    /// A phrase begins, after a stop or a jump: the tempo goes on, this note sets the phase; or else it was `late_s`
    /// behind a pulse known otherwise (a metronome's), and the next note will show which.
    void resume(const Onset& note, double late_s = 0.0) noexcept;
    void stop() noexcept { going_ = false; }
    [[nodiscard]] bool going() const noexcept { return going_; }

    /// The next note of the phrase, and the one after it where that was heard. How late it is, seconds; empty: nothing
    /// can be said (the first note, a stop before it, or a change that may be the tempo's). `slack_s`: what passes.
    [[nodiscard]] std::optional<double>
    follow(const Onset& note, const std::optional<Onset>& next, double slack_s) noexcept;

    /// Length of a quarter note now.
    [[nodiscard]] double quarter_s() const noexcept { return quarter_s_; }
    /// Whether it is known, so that lengths can be told by it.
    [[nodiscard]] bool known() const noexcept { return !lost_; }
    /// The mean over what was played in time, and how many notes it rests on.
    [[nodiscard]] double mean_quarter_s() const noexcept;
    [[nodiscard]] int notes() const noexcept { return notes_; }

private:
    enum class Finding { in_time, tempo, off };
    /// A note that is off, and the one after it.
    struct Ahead {
        double gap_quarters = 0.0; ///< from the note before
        double gap_after = 0.0;    ///< to the next
        double onset2 = 0.0;       ///< squared, how surely a beginning is heard
        double quarter2 = 0.0;     ///< variance of the quarter after this note
        std::optional<double> next_late_s;
    };
    [[nodiscard]] Finding find(double late_s,
                               double gap_quarters,
                               const std::optional<Onset>& next,
                               const Onset& note,
                               double slack_s) const noexcept;
    [[nodiscard]] double goes_on(double late_s, const Ahead& ahead, double jump2) const noexcept;
    [[nodiscard]] double was_off(double late_s, const Ahead& ahead) const noexcept;
    [[nodiscard]] double next_variance(const Ahead& ahead) const noexcept;
    void look_for_tempo(double between_s) noexcept;
    void predict(double gap_quarters) noexcept;
    void correct(double late_s, double gap_quarters, double onset_s, bool freely) noexcept;

    bool going_ = false;
    double place_ = 0.0;   ///< quarters, of the newest note
    double expected_s_;    ///< where the pulse has it
    double quarter_s_;     ///< length
    double stray_s_ = 0.0; ///< the newest note was so late, and the pulse may have gone with it
    double phase_variance_ = 0.0;
    double both_variance_ = 0.0;
    double quarter_variance_;
    double wander2_; ///< squared share by which the tempo changes from note to note
    double played_s_ = 0.0;
    double played_quarters_ = 0.0;
    double last_start_s_ = 0.0;
    int notes_ = 0;
    int off_in_row_ = 0;
    double lost_between_s_ = 0.0; ///< quarter by the newest gap while the pulse is lost
    bool lost_ = false; ///< two notes in a row fitted nothing: until one is in time nothing is said
};

} // namespace bellhand::drill

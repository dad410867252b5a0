#pragma once

#include "desk/model/heard_hand.h"
#include "desk/model/lesson_note.h"
#include "desk/model/lesson_sides.h"
#include "trainer/reading.h"

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace bellhand::desk {

/// What a teacher asks for next: a note and how the hand lies.
struct Asked {
    horn::Note written;
    hand::Intent way;
};

/// The notes of a lesson, which of them is framed, and what is asked.
///
/// The framed note is a note that has ended or has stood for a while; it stays long enough to be read, and what is shown
/// of it comes from it alone. Notes that are too short to be framed stand in the strip like all others.
///
/// Two inputs may be heard at once. A note belongs to the side whose input carries it; what is the other side's sound
/// coming back is known and does not count. A call carries pitch, not colour: no hand is told of its notes.
class Lesson {
public:
    static constexpr std::size_t kStrip = 8;

    /// Forgets everything but how long notes are held.
    void clear();
    /// The horn from now on.
    void set_tuning(const horn::Tuning& tuning) { tuning_ = tuning; }
    /// How long a note is framed at least.
    void set_hold(double hold_s) noexcept { hold_s_ = hold_s; }

    /// What was heard since the last call, in this order: readings, notes that ended, the one that sounds.
    void add(Side side, const trainer::Reading& reading) noexcept;
    void end(Side side, const trainer::PlayedNote& note);
    void stand(Side side, const std::optional<trainer::PlayedNote>& sounding);
    /// The call is heard too, from now on.
    void hear_call() noexcept { two_sides_ = true; }
    /// What is added to the seconds of that side's input to get those of the lesson.
    void set_later(Side side, double later_s) noexcept { inputs_[place(side)].later_s = later_s; }
    /// That side's input is left: nothing of it sounds, and what it heard cannot be asked for.
    void leave(Side side);
    /// Once a frame, after these. `now_s`: any steady clock.
    void settle(double now_s) noexcept;

    /// Asks for this note, or for nothing.
    void ask(const std::optional<Asked>& asked) { asked_ = asked; }
    [[nodiscard]] const std::optional<Asked>& asked() const noexcept { return asked_; }
    /// What a note asks of the hand: what the teacher asked for it, else the chart.
    [[nodiscard]] hand::Intent way_of(horn::Note written) const noexcept;

    /// What was played, in order.
    [[nodiscard]] const std::vector<LessonNote>& notes() const noexcept { return notes_; }
    /// The note that is shown large; null before the first.
    [[nodiscard]] const LessonNote* framed() const noexcept;
    /// What was heard of both sides and is no note of its own, in order.
    [[nodiscard]] const std::vector<LessonNote>& echoes() const noexcept { return echoes_; }
    /// Notes that answer each other stand in one column.
    [[nodiscard]] const std::vector<LessonColumn>& columns() const noexcept { return columns_; }
    /// The call is heard too.
    [[nodiscard]] bool two_sides() const noexcept { return two_sides_; }
    /// Places in `columns` of what stands in the strip: `[first, second)`, at most `kStrip`.
    [[nodiscard]] std::array<std::size_t, 2> strip() const noexcept;

    /// Looks back from the framed note, or forth again; beyond the newest the lesson is followed again.
    void look(int step) noexcept;
    void follow() noexcept { looking_back_ = false; }
    [[nodiscard]] bool looking_back() const noexcept { return looking_back_; }
    /// Marks the framed note, or takes its mark away; false when there is none to mark.
    bool mark() noexcept;

private:
    struct HeardAt {
        double time_s = -1e9;
        horn::Note written;
        hand::HandEstimate hand;
    };
    static constexpr std::size_t kHeard = 64; ///< the last third of a second of readings

    /// What is known of one input.
    struct Input {
        double later_s = 0.0;  ///< to its own time
        double newest_s = 0.0; ///< of its readings, in its own time
        double figures_at_s = -1e9;
        double sure_s = -1e9; ///< when it was last heard surely
        std::array<HeardAt, kHeard> heard{};
        std::size_t heard_count = 0;
        std::uint32_t followed = 0;        ///< number of the note that `followings` counted last
        std::vector<Following> followings; ///< of its notes after the same of the other side
    };

    [[nodiscard]] LessonNote note_of(Side side, const trainer::PlayedNote& played) const;
    [[nodiscard]] hand::HandEstimate standing_hand(Side side,
                                                   const trainer::PlayedNote& played) const;
    [[nodiscard]] LessonNote* still_sounding(Side side, double start_s, double duration_s) noexcept;
    static void replace(LessonNote& seen, LessonNote note);
    static void insert(std::vector<LessonNote>& notes, const LessonNote& note);
    void tell_echoes();
    void learn_way(const LessonNote& note, const std::vector<const LessonNote*>& others);
    [[nodiscard]] std::size_t column_of(std::size_t note) const noexcept;
    [[nodiscard]] std::optional<std::size_t> place_of(std::uint32_t number) const noexcept;
    [[nodiscard]] std::optional<std::size_t> newest_ready() const noexcept;

    horn::Tuning tuning_;
    double hold_s_ = 1.5;
    std::optional<Asked> asked_;
    std::array<Input, 2> inputs_;
    bool two_sides_ = false;
    std::vector<LessonNote> notes_;  ///< by start
    std::vector<LessonNote> echoes_; ///< by start
    std::vector<LessonColumn> columns_;
    std::uint32_t numbers_ = 0;
    std::uint32_t framed_ = 0; ///< number; 0: none
    double framed_since_s_ = -1e9;
    bool looking_back_ = false;
    std::size_t strip_end_ = 0; ///< while looking back
};

} // namespace bellhand::desk

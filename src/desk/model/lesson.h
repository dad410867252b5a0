#pragma once

#include "desk/model/heard_hand.h"
#include "horn/tuning.h"
#include "trainer/played_note.h"
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

/// One note of a lesson. Everything in it belongs to that note: it is taken as a whole and replaced as a whole.
struct LessonNote {
    std::uint32_t number =
        0; ///< in the lesson, from 1, in the order in which notes were first heard
    std::uint32_t index = 0; ///< in the session; certain once it has ended
    double start_s = 0.0;
    double duration_s = 0.0;
    horn::Note written;
    int partial = 0;
    hand::Intent asked;      ///< of the hand; partial 0 where the chart does not know the note
    hand::HandEstimate hand; ///< `position.known` false: not heard
    double cents = 0.0;      ///< from where the note should be
    double known_within_cents = 0.0; ///< 0: as close as anybody asks
    double tolerance_cents = 5.0;
    horn::Tuning tuning; ///< that it was played with
    bool ended = false;  ///< false: it sounds; figures so far
    bool marked = false;

    [[nodiscard]] double end_s() const noexcept { return start_s + duration_s; }
    /// Its pitch is close enough to be judged.
    [[nodiscard]] bool pitch_known() const noexcept {
        return known_within_cents <= trainer::PlayedNote::kPitchKnown_cents;
    }
};

/// The notes of a lesson, which of them is framed, and what is asked.
///
/// The framed note is a note that has ended or has stood for a while; it stays long enough to be read, and what is shown
/// of it comes from it alone. Notes that are too short to be framed stand in the strip like all others.
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
    void add(const trainer::Reading& reading) noexcept;
    void end(const trainer::PlayedNote& note);
    void stand(const std::optional<trainer::PlayedNote>& sounding);
    /// Once a frame, after these. `now_s`: any steady clock.
    void settle(double now_s) noexcept;

    /// Asks for this note, or for nothing.
    void ask(const std::optional<Asked>& asked) { asked_ = asked; }
    [[nodiscard]] const std::optional<Asked>& asked() const noexcept { return asked_; }
    /// What a note asks of the hand: what the teacher asked for it, else the chart.
    [[nodiscard]] hand::Intent way_of(horn::Note written) const noexcept;

    /// In the order of playing.
    [[nodiscard]] const std::vector<LessonNote>& notes() const noexcept { return notes_; }
    /// The note that is shown large; null before the first.
    [[nodiscard]] const LessonNote* framed() const noexcept;
    /// Places in `notes` of what stands in the strip: `[first, second)`, at most `kStrip`.
    [[nodiscard]] std::array<std::size_t, 2> strip() const noexcept;

    /// Looks back from the framed note, or forth again; beyond the newest the lesson is followed again.
    void look(int step) noexcept;
    void follow() noexcept { looking_back_ = false; }
    [[nodiscard]] bool looking_back() const noexcept { return looking_back_; }
    /// Marks the framed note, or takes its mark away; false when there is none to mark.
    bool mark() noexcept;
    [[nodiscard]] bool any_marked() const noexcept;

private:
    struct HeardAt {
        double time_s = -1e9;
        horn::Note written;
        hand::HandEstimate hand;
    };
    static constexpr std::size_t kHeard = 64; ///< the last third of a second of readings

    [[nodiscard]] LessonNote note_of(const trainer::PlayedNote& played) const;
    [[nodiscard]] hand::HandEstimate standing_hand(const trainer::PlayedNote& played) const;
    [[nodiscard]] LessonNote* still_sounding(double start_s, double duration_s) noexcept;
    static void replace(LessonNote& seen, LessonNote note);
    [[nodiscard]] std::optional<std::size_t> place_of(std::uint32_t number) const noexcept;
    [[nodiscard]] std::optional<std::size_t> newest_ready() const noexcept;

    horn::Tuning tuning_;
    double hold_s_ = 1.5;
    std::optional<Asked> asked_;
    std::vector<LessonNote> notes_; ///< by start
    std::uint32_t numbers_ = 0;
    std::uint32_t framed_ = 0; ///< number; 0: none
    double framed_since_s_ = -1e9;
    bool looking_back_ = false;
    std::size_t strip_end_ = 0; ///< while looking back
    double newest_s_ = 0.0;     ///< of the readings
    double figures_at_s_ = -1e9;
    std::array<HeardAt, kHeard> heard_{};
    std::size_t heard_count_ = 0;
};

} // namespace bellhand::desk

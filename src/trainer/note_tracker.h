#pragma once

#include "trainer/deviation_histogram.h"
#include "trainer/moments.h"
#include "trainer/pitch_path.h"
#include "trainer/played_note.h"
#include "trainer/reading.h"
#include "trainer/room_ring.h"
#include "trainer/short_note.h"
#include "trainer/waiting_notes.h"

#include <array>
#include <cstdint>
#include <optional>

namespace bellhand::trainer {

/// What counts as one note. All values are common practice or this program's own choice, no published source.
struct TrackerSettings {
    /// Start of a note that is judged apart from the rest (usual advice: leave out the first 80 to 120 ms).
    double attack_s = 0.100;
    /// Last part of a note that is not judged: the lips let go.
    double release_s = 0.030;
    /// A pitch is settled when it stayed within `settle_cents` for `settle_s`. The extremes of a vibrato of 50 cents
    /// settle too, but lie nearer than `change_cents` to the middle of the note.
    double settle_s = 0.050;
    double settle_cents = 25.0;
    /// A settled pitch this far from the note's median, and read as another written note all the while, is a slur to
    /// that note: a semitone, even from or to a note that is 40 cents off.
    double change_cents = 45.0;
    /// A level that fell this much within `silent_span_s` is silence, whatever pitch is still reported; the smaller fall
    /// is enough when the pitch stands still to the last digit, which no tone does: it is only held.
    double silent_fall_db = 24.0;
    double held_fall_db = 10.0;
    double silent_span_s = 0.300;
    /// Another pitch this far below the level of the note is not a slur but what the room makes of its end.
    double slur_below_db = 20.0;
    /// A tone this far below the note before it, and this soon after it, is the room still sounding.
    double afterglow_below_db = 35.0;
    double afterglow_s = 3.0;
    /// After a silence or a stroke of the tongue a shorter piece than this belongs to the attack of what follows: a
    /// scoop, or a neighbour partial touched on the way.
    double first_piece_s = 0.100;
    double shortest_note_s = 0.060;
    /// A horn holds its pitch, a speaking voice never does: what has not once stayed within one of these bands for the
    /// time beside it is no note. The first two are for steady notes, short and very short; the last lets a wide
    /// vibrato pass.
    double steady_s = 0.110;
    double steady_cents = 12.0;
    double short_steady_s = 0.070;
    double short_steady_cents = 5.0;
    double vibrato_s = 0.350;
    double vibrato_cents = 110.0;
    /// Voicing may fail for this long inside a note.
    double bridge_s = 0.070;
    /// And so long while the level of a note that has held is still up: another sounds into it, or somebody coughs.
    double bridge_loud_s = 0.150;
    double bridge_loud_db = 6.0; ///< below the note
    /// Level that falls and rises again by this much within `dip_span_s` is a new stroke on the same note; with a
    /// reported onset the smaller dip is enough.
    double dip_db = 8.0;
    double dip_with_onset_db = 2.0;
    double dip_span_s = 0.150;
    /// A reported onset is also new sound coming in by this much, on the mean of all bands; where only the pitch tells
    /// that another note began, less of it tells when.
    double stroke_rise_db = 3.0;
    double slur_rise_db = 1.5;
    /// In what a room leaves of a note lines beat, and each beat is a rise: so far below the note it is no stroke, and
    /// nothing that begins there without new sound is a note.
    double stroke_loud_db = 9.0;
    /// So long after its beginning a note in a room may first be heard.
    double rise_unheard_s = 0.350;
    /// In the first piece the tone also thins while a scoop or a touched neighbour slides into the note: a dip less deep
    /// than this is a stroke only if the same pitch comes back after it. A tongue takes 20 dB and more.
    double first_dip_db = 14.0;
    /// A note begins where the level comes up through this much below its first peak, if it does so near the place
    /// where the pitch was first seen.
    double rise_db = 10.0;
    double rise_before_s = 0.100;
    /// A note that ends in silence ends where the level goes down through as much, if it does so this shortly before
    /// the pitch was last seen.
    double fall_before_s = 0.150;
    double rise_after_s = 0.150;
    /// A stroke comes back to within this much of the level before; what stays lower is the room.
    double stroke_below_db = 12.0;
    /// What is read for no longer at a multiple or part of the pitch that an exercise asks for, before that pitch is
    /// reached, was the ear's mistake.
    double mistaken_s = 0.250;
    ShortNoteSettings short_notes;
};

/// Cuts the stream of readings into notes. A note ends by silence, by a new stroke, or by settling on another pitch.
/// Holds a note of any length in constant memory: a histogram of its judged pitches, and the last moments in a ring,
/// which are moved to the next note when it turns out that it had begun already.
class NoteTracker {
public:
    explicit NoteTracker(const TrackerSettings& settings = {});
    /// True when `ended()` holds a note that ended; a short one is told up to half a second later, when it is clear that
    /// nobody speaks. No allocation. Times must not go backwards.
    [[nodiscard]] bool add(const Reading& reading) noexcept;
    /// What an exercise asks for now: shorter sounds are then enough to make a note.
    void expect(const ExpectedPitches& pitches) noexcept { expected_ = pitches; }
    [[nodiscard]] const PlayedNote& ended() const noexcept { return ended_; }
    /// The note now sounding, with its figures so far; index and start stay the same until it ends.
    [[nodiscard]] bool sounding(PlayedNote& out) const noexcept;
    /// End of the stream, or a change of crook: true while `ended()` holds another note that was still sounding or waiting.
    [[nodiscard]] bool finish() noexcept;

private:
    struct Early {
        double time_s = 0.0;
        double cents = 0.0;
    };
    struct Candidate {
        horn::NoteReading note;
        int votes = 0;
    };
    struct Middle {
        double cents = 0.0;
        double spread_cents = 0.0;
    };
    struct Settled {
        bool yes = false;
        bool one_note = false; ///< read as the same written note throughout
        double cents = 0.0;
        double since_s = 0.0;
    };
    struct Boundary {
        double end_s = 0.0;
        double start_s = 0.0;
    };
    static constexpr std::size_t kEarly = 64;
    static constexpr std::size_t kCandidates = 8;

    [[nodiscard]] static double decibels(double power) noexcept;
    [[nodiscard]] Moment& recent(std::size_t back) noexcept { return moments_.recent(back); }
    [[nodiscard]] const Moment& recent(std::size_t back) const noexcept {
        return moments_.recent(back);
    }
    void remember(const Reading& reading) noexcept;
    [[nodiscard]] double smoothed_db() const noexcept;
    [[nodiscard]] bool fell_silent() const noexcept;
    [[nodiscard]] Settled settled() const noexcept;
    [[nodiscard]] bool within(double cents, double span_s) const noexcept;
    [[nodiscard]] bool holds() const noexcept;
    [[nodiscard]] double middle_cents(double before_s) const noexcept;
    [[nodiscard]] double onset_near(double time_s, double otherwise_s) const noexcept;
    /// When most new sound came in between two times; none where it was less than `stroke_rise_db`.
    [[nodiscard]] std::optional<double> struck(double from_s, double to_s) const noexcept;
    /// When new sound, `slur_rise_db` of it, first came into what sounds.
    [[nodiscard]] std::optional<double> first_risen(double from_s, double to_s) const noexcept;
    [[nodiscard]] double last_calm_s(double before_s, double cents) const noexcept;
    [[nodiscard]] double note_db() const noexcept;
    /// The level hardly fell before this piece: the note before still sounds in the room.
    [[nodiscard]] double rise_into_db() const noexcept;
    /// An exercise is played in a room that rings: what comes next is known, and the level alone does not tell it.
    [[nodiscard]] bool listens_into_ring() const noexcept {
        return expected_.any() && room_.rings();
    }
    [[nodiscard]] bool mistaken_until_now(double start_s) const noexcept;
    [[nodiscard]] bool mistaken_now(double cents, double middle_cents) const noexcept;
    [[nodiscard]] bool came_back_after(double lowest_s) const noexcept;
    [[nodiscard]] bool stroke(Boundary& at) const noexcept;
    [[nodiscard]] bool change(Boundary& at) const noexcept;
    [[nodiscard]] Boundary boundary_to(const Settled& reached) const noexcept;

    [[nodiscard]] double heard_since(const Moment& now) const noexcept;
    /// A stroke or a slur to another pitch: ends the note and begins the next.
    void follow_change() noexcept;
    void begin(double start_s, bool tongued) noexcept;
    void collect_early() noexcept;
    void try_to_form() noexcept;
    [[nodiscard]] double rise_near(double start_s) const noexcept;
    [[nodiscard]] double fall_before(double end_s) const noexcept;
    void note_early(const Moment& moment) noexcept;
    void count(Moment& moment) noexcept;
    void discount_after(double end_s, double held_end_s) noexcept;
    void close(double end_s) noexcept;
    [[nodiscard]] bool afterglow(const PlayedNote& note) const noexcept;
    /// The candidate nearest to a pitch; none when nothing was read yet.
    [[nodiscard]] const Candidate* named(double cents) const noexcept;
    void take_down(PlayedNote note, bool sure) noexcept;
    [[nodiscard]] bool tell(bool all) noexcept;
    [[nodiscard]] bool counts(const Moment& now) const noexcept;
    void follow(const Moment& now) noexcept;
    void close_short(double end_s) noexcept;
    void figures(double end_s, PlayedNote& out) const noexcept;
    [[nodiscard]] Middle middle_of_short_note(double end_s) const noexcept;
    [[nodiscard]] bool not_of_attack(double cents, double middle_cents) const noexcept;
    [[nodiscard]] double attack_cents(double target_cents, double middle_cents) const noexcept;

    TrackerSettings settings_;
    Moments moments_;
    double onset_s_ = -1.0; ///< newest that was reported

    bool active_ = false;       ///< a tone sounds
    bool formed_ = false;       ///< and has settled: it is a note
    bool held_ = false;         ///< and has held its pitch as only an instrument does
    bool in_ring_ = false;      ///< it began while the note before still sounded in the room
    bool start_unsure_ = false; ///< and nothing but the pitch tells when
    bool tongued_ = false;      ///< it began after silence or a stroke, not by a slur
    double start_s_ = 0.0;
    double last_tone_s_ = 0.0;
    double formed_cents_ = 0.0;
    double formed_since_s_ = 0.0;
    DeviationHistogram pitches_;
    std::array<Early, kEarly> early_{};
    std::size_t early_count_ = 0;
    std::array<Candidate, kCandidates> candidates_{};
    std::size_t candidate_count_ = 0;
    double power_sum_ = 0.0;
    std::uint32_t power_count_ = 0;
    double held_power_sum_ = 0.0;
    std::uint32_t held_power_count_ = 0;
    PitchPath path_;
    ExpectedPitches expected_;
    RoomRing room_;
    WaitingNotes waiting_;
    double whole_horn_cents_ = 0.0; ///< by which notes are named; measured as they should be
    double rose_db_ = 0.0;          ///< how far the level came up into the piece
    double syllable_end_s_ = -1.0;  ///< of the newest piece that moved like speech
    PlayedNote latest_;             ///< the newest that ended, told or not
    std::uint32_t next_index_ = 0;
    PlayedNote ended_;
};

} // namespace bellhand::trainer

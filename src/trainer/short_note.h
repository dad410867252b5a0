#pragma once

#include "trainer/moments.h"

#include <optional>

namespace bellhand::trainer {

/// What makes a note of a sound too short to have held its pitch as only an instrument does. All values are this
/// program's own choice: real short horn tones stay within 25 cents for 103 ms in the median, and were told from an hour
/// of synthetic speech.
struct ShortNoteSettings {
    double shortest_s = 0.070; ///< by the level; notes of 80 ms are to be heard
    /// It stood within `flat_cents` for `flat_s`, and for most of the time that it was heard: `flat_share`, of notes
    /// deeper than a voice `deep_flat_share`, because they take longest to find their pitch.
    double rise_db =
        4.0; ///< it comes up by so much over what was there before: the room only falls
    double rise_before_s = 0.120;
    double flat_s = 0.040;
    double flat_cents = 25.0;
    double near_cents = 30.0; ///< what counts as standing there
    double flat_share = 0.6;
    double deep_flat_share = 0.35;
    double deep_hz = 85.0;
    double most_spread_cents = 20.0; ///< of those that are not as deep
    /// Where an exercise expects that pitch, this is enough, whatever is around it.
    double expected_flat_s = 0.020;
    double expected_cents = 60.0;
    /// Speech shows before and after a short piece, by pitches that are followed but never stand still enough to be
    /// shown, and by pieces that slide. So much of it may be there, and more where notes are shown for long.
    double before_s = 0.600;
    double withheld_before_s = 0.075;
    double after_s = 0.400;
    double withheld_after_s = 0.130;
    double withheld_share = 0.3;
    double slide_s = 0.060;    ///< a piece as long as this that is no note is a syllable
    double syllable_s = 0.300; ///< and so is a short piece this soon after one
};

/// The pitches that an exercise asks for at the moment.
class ExpectedPitches {
public:
    /// Those beyond the eighth are left out.
    void add(double f0_hz) noexcept;
    /// The same pitch is to be struck again so long after a note on it began. Those beyond the eighth are left out.
    void add_again(double f0_hz, double after_s) noexcept;
    [[nodiscard]] bool any() const noexcept { return count_ > 0; }
    [[nodiscard]] bool near(double cents, double within_cents) const noexcept;
    /// A note that has sounded for `after_s` may be struck again about now.
    [[nodiscard]] bool again(double cents, double within_cents, double after_s) const noexcept;

private:
    struct Again {
        double cents = 0.0;
        double after_s = 0.0;
    };
    std::array<double, 8> cents_{};
    std::size_t count_ = 0;
    std::array<Again, 8> again_{};
    std::size_t again_count_ = 0;
};

/// A stretch of tone between two silences, strokes or slurs.
struct Piece {
    double start_s = 0.0;
    double end_s = 0.0;
    double cents = 0.0;    ///< where it stood longest
    bool expected = false; ///< an exercise asks for that pitch now
    bool slurred = false;  ///< it came out of another pitch without a stroke
};

struct ShortNote {
    double cents = 0.0; ///< mean over what is within 10 dB of its loudest, weighted by power
    double spread_cents = 0.0;
    double known_within_cents = 0.0;
    double level_dbfs = -200.0;
    horn::NoteReading note;
};

/// The note that a piece is; none when it is too short or moves like a syllable.
[[nodiscard]] std::optional<ShortNote>
short_note(const Moments& moments, const Piece& piece, const ShortNoteSettings& settings) noexcept;

/// By how much the level comes up into the piece, in dB. What a room does to the end of a note hardly rises.
[[nodiscard]] double rise_db(const Moments& moments, const Piece& piece, double before_s) noexcept;

/// A piece that is no note, too long to be chance, comes out of no room and is not as deep as only a horn: a syllable.
[[nodiscard]] bool
slides(const Moments& moments, const Piece& piece, const ShortNoteSettings& settings) noexcept;

/// Pitches were followed but withheld for too long before this instant.
[[nodiscard]] bool
spoken_before(const Moments& moments, double start_s, const ShortNoteSettings& settings) noexcept;

/// For how long a pitch was shown that may be judged, and one was followed but withheld.
[[nodiscard]] double shown_s(const Moments& moments, double from_s, double to_s) noexcept;
[[nodiscard]] double withheld_s(const Moments& moments, double from_s, double to_s) noexcept;

} // namespace bellhand::trainer

#pragma once

#include "trainer/note_tracker.h"
#include "trainer/reading.h"

#include <array>
#include <cstddef>
#include <optional>

namespace bellhand::desk {

/// How patient a display of notes is.
struct HoldTimes {
    double settle_s = 0.09; ///< a note must have sounded this long before it is shown
    double hold_s = 0.4;    ///< what is shown stays at least this long
    double figure_s =
        0.3; ///< the deviation is the median of this much sound, and changes no more often
};

/// What a display shows of the note.
struct ShownNote {
    horn::NoteReading note;     ///< its deviation is the figure to show, in cents
    bool sounding = false;      ///< false: it has ended, and stays until the next
    bool sure = true;           ///< false: heard too unsurely to judge by
    double shown_since_s = 0.0; ///< time of the sound when it appeared
    /// Drawn pale: nothing to go by now.
    [[nodiscard]] bool pale() const noexcept { return !sounding || !sure; }
};

/// Decides which note a display shows, so that it can be read: a note appears when it has been stable, stays a while,
/// and stays after its end until the next one has been stable. No allocation.
class HeldNote {
public:
    explicit HeldNote(const HoldTimes& times) : times_(times) {}

    void add(const trainer::Reading& reading) noexcept;
    /// The final figures of a note that ended; taken over when it is the one shown.
    void ended(const trainer::PlayedNote& played) noexcept;
    /// No readings come any more: what is shown no longer sounds.
    void fall_silent() noexcept;
    void clear() noexcept;

    [[nodiscard]] const std::optional<ShownNote>& shown() const noexcept { return shown_; }

private:
    void consider(const trainer::Reading& reading) noexcept;
    void collect(const trainer::Reading& reading) noexcept;
    /// Of what was heard surely, or else of everything. Empty: nothing.
    [[nodiscard]] std::optional<double> median_of_recent(double now_s, bool sure) const noexcept;

    struct Sample {
        double time_s = 0.0;
        double cents = 0.0;
        bool sure = true;
    };
    static constexpr std::size_t kSamples = 256; // more than a second of readings

    HoldTimes times_;
    std::optional<ShownNote> shown_;
    std::optional<horn::Note> candidate_;
    double candidate_since_s_ = 0.0;
    double figure_at_s_ = 0.0;
    double last_heard_s_ = 0.0; // the shown note
    double last_sure_s_ = 0.0;
    std::array<Sample, kSamples> samples_{}; // of the candidate
    std::size_t sample_count_ = 0;           // ever collected for it
};

} // namespace bellhand::desk

#pragma once

#include "audio/source.h"
#include "hand/hand_ear.h"
#include "horn/tuning.h"
#include "practice/practice.h"

#include <deque>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::terminal {

/// What the eye can follow of the stream of readings: the note is held for a while after it ends, the deviation is the
/// median of the last fifth of a second.
class LiveNote {
public:
    void take(const trainer::Reading& reading);

    struct Shown {
        horn::NoteReading note; ///< deviation_cents is the smoothed one
        double f0_hz = 0.0;
        bool sounding = false;     ///< false: it just ended
        hand::HandEstimate hand{}; ///< as last heard in this note
        hand::Intent asked{};
        bool sure = true; ///< false: heard too unsurely to judge by
    };
    [[nodiscard]] std::optional<Shown> shown() const;
    [[nodiscard]] double level_dbfs() const noexcept { return level_dbfs_; }
    [[nodiscard]] bool clipped() const noexcept { return now_s_ < clipped_until_s_; }
    [[nodiscard]] std::uint64_t dropped_samples() const noexcept { return dropped_samples_; }

private:
    struct Point {
        double time_s;
        double deviation_cents;
        double f0_hz;
        bool sure;
    };
    std::deque<Point> recent_; ///< of the note shown
    std::optional<horn::NoteReading> note_;
    hand::HandEstimate hand_;
    double now_s_ = 0.0;
    double last_tone_s_ = 0.0;
    double level_dbfs_ = -200.0;
    double clipped_until_s_ = 0.0;
    std::uint64_t dropped_samples_ = 0;
};

/// Everything the text view shows.
struct TextState {
    horn::Tuning tuning{};
    audio::SourceStatus source;
    practice::LogStatus log;
    practice::OwnSoundWords own_sound;
    std::string horn; ///< what the notes say of the horn that is set; empty: nothing
    double elapsed_s = 0.0;
    std::optional<LiveNote::Shown> shown;
    double level_dbfs = -200.0;
    bool clipped = false;
    std::uint64_t dropped_samples = 0;
    std::vector<trainer::PlayedNote> notes; ///< newest last
    std::vector<std::string> last_note;     ///< what is said of the newest one
    std::string learnt;                     ///< what was learnt of the open notes
};

/// The screen as lines. `columns` x `rows` are never exceeded; below 40 x 12 little is left. `utf8` false: ASCII only.
[[nodiscard]] std::string text_screen(const TextState& state, int columns, int rows, bool utf8);

/// One line for a note, where no screen can be drawn.
/// UTF-8 words in ASCII, for terminals that speak nothing else.
[[nodiscard]] std::string plain_words(const std::string& words);
[[nodiscard]] std::string note_line(const trainer::PlayedNote& note, bool utf8);

/// A deviation on a scale from -50 to +50 cents, `width` cells (odd): a mark, the middle, and nothing else.
[[nodiscard]] std::string deviation_bar(double cents, int width, bool utf8);

} // namespace bellhand::terminal

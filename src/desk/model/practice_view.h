#pragma once

#include "desk/model/balance_ear.h"
#include "desk/model/heard_hand.h"
#include "desk/model/held_note.h"
#include "desk/model/pitch_thread.h"
#include "desk/model/slow_closing.h"
#include "practice/attend.h"
#include "practice/practice.h"
#include "trainer/held_motion.h"
#include "words/horn.h"

#include <string>
#include <vector>

namespace bellhand::desk {

/// Everything the screens show of a running session, refreshed from it once a frame.
class PracticeView {
public:
    PracticeView();

    /// Takes what is new. `wall_s`: any steady clock, so that the thread glides between readings.
    void update(practice::Practice& practice, double wall_s);
    /// The same when a run has taken from the practice what was heard.
    void update(const practice::Practice& practice, const practice::Heard& heard, double wall_s);
    /// The session is over: what was shown stays, but sounds no more.
    void fall_silent();
    /// A new session begins with an empty page.
    void clear();

    [[nodiscard]] const std::optional<ShownNote>& note() const noexcept { return near_.shown(); }
    /// What is heard of the hand now, or of the note that ended last.
    [[nodiscard]] const std::optional<ShownHand>& hand() const noexcept { return hand_.shown(); }
    /// The note that ended last and was long enough to hear the hand.
    [[nodiscard]] const std::optional<trainer::PlayedNote>& advised() const noexcept {
        return advised_;
    }
    /// How a listed note moved; not known for one that sounds or is no longer listed.
    [[nodiscard]] pitch::PitchMotion motion_of(const trainer::PlayedNote& note) const noexcept;
    /// Colours of the open notes that have taught the ear for the hand since practice began, oldest first.
    [[nodiscard]] const std::vector<hand::Colour>& taught() const noexcept { return taught_; }
    /// What the notes say of the horn that is set.
    [[nodiscard]] const words::HornRemark& horn_remark() const noexcept { return horn_.remark(); }
    /// The horn that is set from now on.
    void set_horn(const horn::Tuning& tuning);
    void forget_taught() noexcept { taught_.clear(); }
    [[nodiscard]] SlowClosing& closing() noexcept { return closing_; }
    [[nodiscard]] const SlowClosing& closing() const noexcept { return closing_; }
    [[nodiscard]] BalanceEar& balance() noexcept { return balance_; }
    [[nodiscard]] const BalanceEar& balance() const noexcept { return balance_; }
    [[nodiscard]] const PitchThread& thread() const noexcept { return thread_; }
    /// Newest first, the sounding one among them (`finished` tells).
    [[nodiscard]] const std::vector<trainer::PlayedNote>& notes() const noexcept { return notes_; }
    [[nodiscard]] std::size_t notes_ended() const noexcept { return ended_; }
    [[nodiscard]] const trainer::Reading& newest() const noexcept { return newest_; }
    [[nodiscard]] bool any_sound() const noexcept { return any_reading_; }
    /// Smoothed for the eye: rises at once, falls slowly. dBFS.
    [[nodiscard]] double level_dbfs() const noexcept { return level_dbfs_; }
    /// The sound reached full scale within the last seconds.
    [[nodiscard]] bool clipped_lately() const noexcept;
    /// The room is so loud that readings suffer: tone less than 15 dB over everything else, for a while.
    [[nodiscard]] bool room_too_loud() const noexcept { return loud_room_s_ > 2.0; }
    [[nodiscard]] std::uint64_t dropped_samples() const noexcept {
        return newest_.frame.dropped_samples;
    }
    /// Time of the sound that is "now" for a drawing at `wall_s`.
    [[nodiscard]] double time_at(double wall_s) const noexcept;
    [[nodiscard]] const audio::SourceStatus& source() const noexcept { return source_; }
    [[nodiscard]] const practice::LogStatus& log() const noexcept { return log_; }
    /// What sounds, and whether it is taken out of the microphone's sound.
    [[nodiscard]] const practice::OwnSoundWords& own_sound() const noexcept { return own_sound_; }
    [[nodiscard]] bool source_ended() const noexcept { return source_ended_; }
    /// What the last update took from the practice itself.
    [[nodiscard]] const practice::Heard& heard() const noexcept { return heard_; }

private:
    void add(const trainer::Reading& reading);
    void put_first(const trainer::PlayedNote& note);

    HeldNote near_;
    PitchThread thread_;
    HeardHand hand_;
    SlowClosing closing_;
    BalanceEar balance_;
    trainer::HeldMotion held_;
    std::optional<trainer::PlayedNote> advised_;
    std::vector<hand::Colour> taught_;
    std::vector<std::pair<std::uint32_t, pitch::PitchMotion>>
        motions_; // by index of the note, oldest first
    std::vector<trainer::PlayedNote> notes_;
    practice::Heard heard_;
    std::size_t ended_ = 0;
    trainer::Reading newest_;
    bool any_reading_ = false;
    bool source_ended_ = false;
    double level_dbfs_ = -120.0;
    double loud_room_s_ = 0.0;
    double clipped_at_s_ = -1e9;
    double newest_at_wall_s_ = 0.0;
    horn::Tuning tuning_;
    words::HornWatch horn_;
    audio::SourceStatus source_;
    practice::LogStatus log_;
    practice::OwnSoundWords own_sound_;
};

} // namespace bellhand::desk

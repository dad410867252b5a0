#pragma once

#include "audio/output.h"
#include "audio/source.h"
#include "bleed/tone_remover.h"
#include "core/result.h"
#include "horn/tuning.h"
#include "practice/analysis.h"
#include "practice/heard_beat.h"
#include "run/record.h"
#include "takes/recorder.h"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace bellhand::practice {

/// The session that a second input belongs to.
struct BesideSession {
    std::filesystem::path log_path;
    std::function<std::int64_t()> session; ///< in the log; 0 while it has none. Any thread
};

struct PracticeOptions {
    horn::Tuning tuning{};
    std::optional<std::filesystem::path> log_path = std::nullopt; ///< empty: nothing is logged
    std::shared_ptr<audio::Output>
        output{}; ///< for drone, reference note and metronome; null: nothing sounds
    /// This player's hand on this horn; the modelled one when empty.
    std::optional<OwnHand> hand = std::nullopt;
    /// The player's open notes of earlier days, oldest first.
    std::vector<hand::Colour> open_notes{};
    double tolerance_factor = 1.0; ///< the player's, on `trainer::tolerance_cents`
    /// A second input of a session that is logged already: its takes go to that session, its notes to no log.
    std::optional<BesideSession> beside{};
};

/// What the program itself sounds, and how it goes with that.
struct OwnSoundStatus {
    audio::ReferenceSound wanted;
    audio::OutputStatus output;
    double round_trip_s = 0.0;        ///< from our sample to the captured one
    bool round_trip_measured = false; ///< by the metronome's clicks; else as the drivers report
    bleed::Report bleed;  ///< what the microphone hears of drone and note, and what is left of it
    bool limited = false; ///< the limiter cuts peaks: what is heard is no sum of pure tones
    std::uint64_t blocks_lost = 0; ///< of what was played, because the analysis was late
};

/// What a player should know of it, in a sentence: what sounds, whether it is taken out of the microphone's sound.
struct OwnSoundWords {
    std::string words;    ///< empty: nothing sounds
    bool warning = false; ///< something is to be done, as wearing headphones
    std::string figures;  ///< how well it is removed; empty when it is not
};
[[nodiscard]] OwnSoundWords own_sound_words(const OwnSoundStatus& status);

/// State of the log as people need to know it.
struct LogStatus {
    bool saving = false;
    std::string
        message; ///< one sentence when notes cannot be saved now; they are kept and tried again
    std::uint64_t unsaved_notes = 0;
    std::uint64_t unsaved_records = 0; ///< of a run
    std::int64_t session = 0;
};

/// One practice session, from start to stop: source -> ring -> analysis thread -> readings and notes, and a writer
/// thread to the log. The caller (window, text view, command) owns it, polls it, and never waits for it.
class Practice {
public:
    /// Takes the source, opens the log, starts the threads. A log that cannot be opened does not stop practice:
    /// `log_status` says so. Errors: the source does not start; a file that the ear needs is missing or damaged.
    [[nodiscard]] static Result<std::unique_ptr<Practice>>
    start(std::unique_ptr<audio::Source> source, const PracticeOptions& options);
    virtual ~Practice() = default; ///< stops

    /// Ends the session: the last note is closed and everything is saved.
    virtual void stop() = 0;

    /// Takes effect at the next frame; the note now sounding ends there. `own` is the player's hand on that horn, empty
    /// for the modelled one. Any thread of the caller, one at a time.
    virtual void set_tuning(const horn::Tuning& tuning, const std::optional<OwnHand>& own) = 0;
    /// What an exercise asks for now: such notes are heard from shorter sounds.
    virtual void expect(const trainer::ExpectedPitches& pitches) = 0;
    /// The player's factor on the tolerances, of the notes that end from now on.
    virtual void set_tolerance_factor(double factor) = 0;

    /// What the program itself is to sound from now on: drone, reference note, metronome. One thread. The output is
    /// taken when first something is to sound and kept until `stop`; when it is lost, practice goes on and the sound
    /// comes back with it. Without an output nothing happens.
    virtual void sound(const audio::ReferenceSound& sound) = 0;
    /// Beats of the metronome since the last call, appended to `out`, at the time they are heard in the captured sound.
    virtual void take_beats(std::vector<HeardBeat>& out) = 0;
    [[nodiscard]] virtual OwnSoundStatus own_sound() const = 0;

    /// What a run judged, or a lesson marked, goes to the log after the notes it was judged on, by the same thread and with the same care.
    /// Without a log nothing happens.
    virtual void log(run::Record record) = 0;

    /// Hands every reading since the last call to `each`, oldest first. False when the source has ended and everything
    /// was handed over. A caller that does not poll for more than twenty seconds misses readings after that.
    virtual bool poll(const std::function<void(const trainer::Reading&)>& each) = 0;

    /// Notes ended since the last call, appended to `out`. Thousands are kept for a caller that is late.
    virtual void take_notes(std::vector<trainer::PlayedNote>& out) = 0;
    /// The note now sounding.
    [[nodiscard]] virtual std::optional<trainer::PlayedNote> sounding() const = 0;

    /// Records takes of what is played, also of the last two minutes. Null without a log. The owner of the practice uses it,
    /// from one thread, until `stop`; its status may be asked for afterwards too.
    [[nodiscard]] virtual takes::Recorder* recorder() { return nullptr; }

    /// The last two minutes of sound; null where none are kept.
    [[nodiscard]] virtual std::shared_ptr<const takes::SoundMemory> memory() const {
        return nullptr;
    }
    /// While the program plays a recording, and for half a second after it, the session hears nothing: what the microphone
    /// takes up was not played.
    virtual void overlook(bool /*on*/) {}

    /// What is known of the player's open notes by now: those the session began with and those it has learnt from since
    /// (`taught` of each note; to be kept when practice has stopped).
    [[nodiscard]] virtual hand::OpenReference learnt() const = 0;
    /// Forgets it and starts to learn anew, at the next frame.
    virtual void forget_learnt() = 0;

    [[nodiscard]] virtual audio::SourceStatus source_status() const = 0;
    [[nodiscard]] virtual LogStatus log_status() const = 0;
    [[nodiscard]] virtual double elapsed_s() const = 0; ///< of sound
};

} // namespace bellhand::practice

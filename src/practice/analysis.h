#pragma once

#include "audio/source.h"
#include "core/result.h"
#include "hand/hand_ear.h"
#include "pitch/estimator.h"
#include "trainer/note_tracker.h"
#include "trainer/reading.h"

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

namespace bellhand::practice {

/// The hand of one player on one horn, in place of the modelled one.
struct OwnHand {
    horn::HandResponse response;
    hand::PitchTrust trust;
    std::vector<hand::Colour> open_notes; ///< of earlier days, oldest first
};

/// Takes what the analysis finds, on the thread that feeds it.
class AnalysisSink {
public:
    virtual ~AnalysisSink() = default;
    virtual void reading(const trainer::Reading& reading) = 0;
    /// A note that ended. `tuning` is what it was played with.
    virtual void note(const trainer::PlayedNote& note, const horn::Tuning& tuning) = 0;
};

/// From blocks of sound to readings and notes; the same for live practice and for files. Belongs to one thread.
///
/// Time runs in seconds of sound from the first block. A hole in a stream (`first_sample` jumps) is passed to the
/// estimator and counted; a new stream (the device was taken again) gets a new estimator and time goes on. Apart from
/// that moment, and a change of tuning or hand, nothing here allocates.
class Analysis {
public:
    explicit Analysis(const horn::Tuning& tuning);

    /// Errors: the stream's sample rate is not usable; its blocks are then left out until the next stream.
    [[nodiscard]] Result<void> feed(const audio::Block& block, AnalysisSink& sink);
    /// The note now sounding ends here (end of the stream).
    void finish(AnalysisSink& sink);

    /// The note now sounding ends here; the new tuning counts from the next sample.
    void set_tuning(const horn::Tuning& tuning, AnalysisSink& sink);
    /// This player's own hand on the horn now tuned to, in place of the modelled one; until the tuning changes.
    void set_hand(const OwnHand& own);
    /// Begins with the player's open notes of earlier days, oldest first, in place of what was learnt so far; with none
    /// it is forgotten. No allocation.
    void begin_with(std::span<const hand::Colour> open_notes) noexcept {
        hand_.learn_own_notes(open_notes);
    }
    [[nodiscard]] const hand::HandEar& hand() const noexcept { return hand_; }
    /// What an exercise asks for now: such notes are heard from shorter sounds.
    void expect(const trainer::ExpectedPitches& pitches) noexcept { tracker_.expect(pitches); }

    [[nodiscard]] const horn::Tuning& tuning() const noexcept { return reader_.tuning(); }
    /// The player's factor on the tolerances; of the notes that end from now on.
    void set_tolerance_factor(double factor) noexcept { tolerance_factor_ = factor; }

    [[nodiscard]] bool sounding(trainer::PlayedNote& out) const noexcept {
        const bool sounds = tracker_.sounding(out);
        out.tolerance_factor = tolerance_factor_;
        return sounds;
    }
    [[nodiscard]] double elapsed_s() const noexcept { return elapsed_s_; }
    /// Time at which a block, the next to be fed, begins.
    [[nodiscard]] double start_of(const audio::Block& block) const noexcept;

private:
    [[nodiscard]] Result<void> take_stream(const audio::Block& block);
    void hear(const pitch::PitchFrame& frame, AnalysisSink& sink);
    void hand_over(trainer::PlayedNote note, AnalysisSink& sink);

    trainer::Reader reader_;
    trainer::NoteTracker tracker_;
    hand::HandEar hand_;
    double tolerance_factor_ = 1.0;
    std::unique_ptr<pitch::Estimator> estimator_;
    std::optional<std::uint32_t> stream_;
    double sample_rate_hz_ = 0.0;
    std::uint64_t next_sample_ = 0;
    std::uint64_t dropped_samples_ = 0;
    double elapsed_s_ = 0.0;
};

} // namespace bellhand::practice

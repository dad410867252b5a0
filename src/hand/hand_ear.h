#pragma once

#include "hand/advice.h"
#include "hand/change.h"
#include "hand/horn_fit.h"
#include "hand/match.h"
#include "hand/open_reference.h"
#include "hand/steadiness.h"

#include <memory>
#include <span>

namespace bellhand::hand {

/// What this moment's sound betrays of the hand.
struct HandEstimate {
    Position position;            ///< `known` false: no tone, or nothing to say
    double timbre_log_odds = 0.0; ///< stop-like against open by timbre alone
    double bandwidth_hz = 0.0;    ///< of the input
    bool narrow_band = false;     ///< call audio: timbre counts less, the position rests on pitch
    bool timbre_known = false;
    bool horn_doubted = false; ///< the notes so far speak against the horn that was set
};

/// What one note's sound betrays, kept with the note.
struct NoteHand {
    bool heard = false; ///< false: the note was too short
    HandEstimate estimate;
    Intent intent;
    Advice advice; ///< of the held part
    double attack_cents = 0.0;
    Advice attack; ///< of the first 100 ms; pitch alone
    bool attack_known = false;
    NoteColour colour;
    Match match; ///< against the note before, when that one followed closely
    bool match_open_and_stopped = false; ///< one open, the other stopped
    Steadiness steadiness;
    Change change;             ///< from the note before
    HornFit horn;              ///< what the notes up to this one say of the horn that was set
    double common_cents = 0.0; ///< by how much the whole horn lies off: taken out of the advice
    Colour
        taught; ///< known: an open note that taught the ear what the player's own ones sound like
};

/// A note as the tracker found it.
struct NoteSpan {
    double start_s = 0.0;
    double duration_s = 0.0;
    double f0_hz = 0.0;        ///< held part
    double attack_cents = 0.0; ///< deviation of the attack
    double target_hz = 0.0;
    double tolerance_cents = 5.0;
    horn::Note written;
    double spread_cents = 0.0; ///< of the held part, to either side
};

/// Hears the hand: feed it the samples that the pitch estimator took, then each frame, then each note that ended.
/// Belongs to one thread. Only the constructor, `new_stream` and `set_horn` allocate.
class HandEar {
public:
    /// Uses the models of `load_timbre_model` and `load_hand_colour`. When a file of them cannot be used `trouble` says why,
    /// and what is heard means nothing: whoever shows or keeps it looks there first.
    explicit HandEar(double sample_rate_hz = 48000.0);

    void new_stream(double sample_rate_hz);
    /// The horn and hand that are played from now on; f1 of the nominal crook that the response counts from.
    void set_horn(const horn::HandResponse& response, const PitchTrust& trust, double f1_hz);

    void push(std::span<const float> samples) noexcept { bands_.push(samples); }
    [[nodiscard]] HandEstimate hear(const pitch::PitchFrame& frame) noexcept;
    [[nodiscard]] NoteHand note(const NoteSpan& span) noexcept;

    [[nodiscard]] const OpenReference& reference() const noexcept { return reference_; }
    /// Begins with open notes of earlier days, from the player's profile, in place of what was learnt so far.
    void learn_own_notes(std::span<const Colour> notes) noexcept;
    [[nodiscard]] const std::string& trouble() const noexcept { return trouble_; }
    [[nodiscard]] const ClosureGrid& grid() const noexcept { return grid_; }
    /// What the notes since `set_horn` say of that horn.
    [[nodiscard]] const HornFit& horn() const noexcept { return finder_.fit(); }

private:
    struct HeldPart {
        Colour colour;
        double level_dba = -200.0;
        int hops = 0;
    };
    [[nodiscard]] HeldPart held_part(double from_s, double to_s) const noexcept;
    [[nodiscard]] Heard heard_in(double hz, const Colour& colour) const noexcept;
    [[nodiscard]] double cents_from_f1(double hz) const noexcept;
    void find_horn(const NoteSpan& span, const HandEstimate& estimate) noexcept;
    void follow_offset() noexcept;
    [[nodiscard]] bool own_error_likely(double deviation_cents) const noexcept;
    void doubt_closed(HandEstimate& estimate) const noexcept;
    void compare_with_last(const NoteSpan& span, NoteHand& out) noexcept;
    void learn(const NoteSpan& span, NoteHand& note, const Colour& colour) noexcept;

    TimbreModel model_;
    HandColourModel hand_colour_;
    std::string trouble_;
    BandMeter bands_;
    ClosureGrid grid_;
    double f1_hz_ = 43.6535;
    OpenReference reference_;
    HornFinder finder_;
    HopRing hops_;
    GridLogs smoothed_{};
    GridLogs now_{};
    bool following_ = false;
    double followed_cents_ = 0.0;
    double last_time_s_ = 0.0;
    // the note before
    bool has_last_ = false;
    NoteSpan last_span_;
    NoteColour last_colour_;
    horn::Hand last_hand_ = horn::Hand::open;
    double best_uneven_db_ = -1.0;
};

} // namespace bellhand::hand

#pragma once

#include "drill/exercise.h"
#include "drill/judgement.h"
#include "drill/plan.h"
#include "support/signals.h"
#include "support/signals_room.h"
#include "trainer/note_tracker.h"

#include <cstdint>
#include <optional>
#include <vector>

namespace bellhand::test {

/// A player as free as people are, written apart from the program's own synthesiser and from `performance`: a tempo of
/// their own that breathes, hands and lips that scatter, faults of known size on single notes, and sound made of measured
/// spectra in a room in which somebody coughs.
struct FreePlayer {
    horn::Tuning tuning;
    std::uint64_t seed = 1;
    double tempo = 1.0;         ///< times what is written
    double rubato = 0.0;        ///< the tempo swings by this share to each side
    double rubato_notes = 16.0; ///< in so many notes
    double onset_s = 0.012;     ///< scatter of starts about the pulse, standard deviation
    double pitch_share =
        0.35; ///< scatter of the held pitch, of the step's tolerance, standard deviation; at most 0.85
    double click_lag_s = 0.0;         ///< behind the beat of a metronome
    double drift_share = 0.0;         ///< slower than the metronome by this share
    std::vector<drill::Fault> faults; ///< one of them is put in ...
    double fault_share = 0.0;         ///< ... on this share of the notes
    double late_s = 0.15;             ///< of late and early notes
    bool comes_back =
        true; ///< after a late note the pulse goes on as before; else it goes on from that note
};

/// What was played, and what of it was a fault.
struct FreeNote {
    std::uint32_t asked = 0; ///< index into the plan
    std::optional<drill::Fault> fault;
    double start_s = 0.0;
    double duration_s = 0.0;
    double f0_hz = 0.0;
    double attack_cents = 0.0; ///< how far off the first moment is
    double wobble_cents = 0.0; ///< to each side
    double gain_db = 0.0;
    bool closed = false; ///< under full stop or nearly so: the spectrum is a muted one
    bool slurred = false;
};

struct FreePerformance {
    FreePlayer player;
    std::vector<drill::Asked> plan;
    std::vector<FreeNote> notes;
    double quarter_s = 0.0;      ///< written
    std::vector<double> beats_s; ///< of a metronome at the written tempo, count-in first
    double end_s = 0.0;
};

/// Once through the exercise, which has a tempo. The same player and seed give the same notes.
[[nodiscard]] FreePerformance play_freely(const drill::Exercise& exercise,
                                          const FreePlayer& player);

/// As the tracker would report them: pitch 0.3 cents, starts 8 ms, ends 20 ms, standard deviations.
[[nodiscard]] std::vector<trainer::PlayedNote> heard_notes(const FreePerformance& performance);

/// Where it is played.
struct Hall {
    double rt60_s = 0.0; ///< 0: no room
    /// Between player and microphone. In a practice room of 76 cubic metres direct and reverberant sound are equally
    /// strong at 0.9, 0.7 and 0.55 m when it rings for 0.3, 0.5 and 0.8 s (0.057 sqrt(V / T), Kuttruff, Room Acoustics).
    double microphone_m = 0.75;
    double coughs_per_minute = 0.0;
    double noise_below_db = 50.0;
};
/// The sound of it at -21 dBFS, with the spectra of `tones` (at least one open and one muted).
[[nodiscard]] std::vector<float> sound_of(const FreePerformance& performance,
                                          const std::vector<MeasuredTone>& tones,
                                          const Hall& hall,
                                          double rate_hz);

/// The fault that a note was given stands among those it was judged by.
[[nodiscard]] bool names(const drill::Judgement& judgement, drill::Fault fault);

} // namespace bellhand::test

#pragma once

#include "horn/acoustics/natural_horn.h"
#include "horn/hand_response.h"
#include "horn/tuning.h"
#include "pitch/frame.h"
#include "support/signals.h"

#include <optional>
#include <vector>

namespace bellhand::test {

/// How loud a modelled player blows.
enum class Blown { soft, middling, loud };

/// A microphone in a room: tilt, low corner and a broad bump.
struct Microphone {
    double tilt_db_per_octave = 0.0;
    double low_corner_hz = 20.0;
    double bump_hz = 1000.0;
    double bump_db = 0.0;

    [[nodiscard]] double gain_db(double hz) const noexcept;
};

/// One player with a hand of their own on an invented horn. Nothing here was measured: where the notes lie comes from
/// the transmission line; the colour from a flow at the lips whose wave steepens on its way with its strength (simple
/// wave before the shock: Fubini 1935), times what the line with the hand in the bell lets out.
class ModelledPlayer {
public:
    /// `shape`: of their horn; the usual one is the horn that the program's table was made from.
    ModelledPlayer(const horn::Tuning& tuning,
                   const horn::acoustics::HandHabit& habit,
                   const horn::acoustics::HornShape& shape = {});

    /// Where the notes lie: what a perfect calibration would find.
    [[nodiscard]] const horn::HandResponse& response() const noexcept { return response_; }

    /// Harmonics of a tone at the place of `partial` and `closure`, `lip_cents` off; rms 1.
    struct Tone {
        double f0_hz = 0.0;
        Spectrum amplitudes;
    };
    [[nodiscard]] Tone play(int partial,
                            double closure,
                            double lip_cents,
                            Blown blown,
                            const Microphone& through) const;

private:
    horn::Tuning tuning_;
    horn::acoustics::HandHabit habit_;
    horn::acoustics::Air air_;
    horn::acoustics::Bore bore_;
    horn::HandResponse response_;
};

/// The frame that a perfect ear would give of a held tone.
[[nodiscard]] pitch::PitchFrame
frame_of(const ModelledPlayer::Tone& tone, double time_s, double level_dbfs);

} // namespace bellhand::test

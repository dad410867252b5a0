#pragma once

#include "core/result.h"

#include <span>
#include <vector>

namespace bellhand::instrument {

/// One reading of the pitch while the hand closes.
struct ClosingSample {
    double time_s = 0.0;
    double f0_hz = 0.0;
};

inline constexpr double kUsualAim_cents = 3.0;

struct ClosingQuestion {
    int partial = 8;                 ///< that was played, 2 to 24
    double f1_hz = 0.0;              ///< of the crook, as calibrated or nominal
    double lower_offset_cents = 0.0; ///< of the open partial below, from n f1
    double lower_sd_cents = 0.0;     ///< how surely f1 and that offset are known together
    /// How differently this player lands a held note each time. 3 until repeats tell (common practice, no source).
    double aim_sd_cents = kUsualAim_cents;
};

/// A sudden fall: the tone let go of its resonance and caught a lower one.
struct Slip {
    double time_s = 0.0;
    double cents = 0.0; ///< negative
};

/// Pitch against the share of the closing movement.
struct ClosingPoint {
    double share = 0.0; ///< 0 where the pitch starts to fall .. 1 where it has landed, even in time
    double cents = 0.0; ///< from the open note
};

/// What one slow closing from open to full stop has shown.
struct MeasuredClosing {
    int partial = 0;
    double open_hz = 0.0;
    double stopped_hz = 0.0;
    double fall_cents = 0.0;    ///< stopped minus open, negative
    double fall_sd_cents = 0.0; ///< the aim of this one landing included
    double rise_cents = 0.0;    ///< stopped above the open partial below: a semitone would be 100
    double rise_sd_cents = 0.0; ///< and what is not known of the partial below
    double starts_s = 0.0;      ///< when the pitch leaves the open note
    double lands_s = 0.0;
    std::vector<ClosingPoint> curve; ///< 21 points, never rising
    std::vector<Slip> slips;
    bool held_open = false;    ///< at least 0.3 s before the fall
    bool held_stopped = false; ///< at least 0.3 s after it
    double used_share =
        0.0; ///< of the readings; the others were far from anything this partial can do
};

/// Finds the fall in the pitch readings of one note that was played open and closed slowly.
///
/// Readings that are not between the partial and its lower neighbour are dropped (octave errors), the rest is cut into
/// 40 ms, each stood for by its median; single outliers go by a running median; what remains is fitted by the nearest
/// never-rising curve (pool-adjacent-violators, Ayer et al. 1955). Open and stopped pitch are medians before and after.
///
/// Errors (usage): partial outside 2 to 24, no f1; (failure) less than a second of sound, readings that belong to
/// another partial, no fall of at least 5 cents.
[[nodiscard]] Result<MeasuredClosing> measure_closing(std::span<const ClosingSample> samples,
                                                      const ClosingQuestion& question);

/// Closings of the same partial made into one, in the order of first playing: means, the curve too. A landing differs
/// from time to time; what the repeats show of it is averaged out, with the usual aim counting as three of them, while
/// what is not known of the partial below stays.
[[nodiscard]] std::vector<MeasuredClosing>
repeats_joined(std::span<const MeasuredClosing> closings);

} // namespace bellhand::instrument

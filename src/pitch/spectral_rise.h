#pragma once

#include "dsp/real_fft.h"
#include "pitch/history.h"

#include <array>
#include <complex>
#include <vector>

namespace bellhand::pitch {

/// How much new sound came in within the last 30 ms, whatever its pitch.
///
/// In a room the old note rings on: the level hardly falls between two strokes of the tongue, and a slur is buried in what
/// is left of the note before. But in bands of a quarter tone a new tone shows as a rise. Against vibrato each band is
/// compared with the loudest of itself and its neighbours before (spectral flux with a maximum filter, Böck and Widmer
/// 2013, Proc. DAFx). What falls is no news, so that the end of a note and the room's decay count for nothing.
class SpectralRise {
public:
    SpectralRise(double sample_rate_hz, int hop);

    /// Samples of history it wants to look back on.
    [[nodiscard]] std::size_t reach() const noexcept { return hann_.size(); }

    /// One hop later.
    void hear(const History& history) noexcept;
    void forget() noexcept { heard_ = 0; }

    /// Mean rise over the bands, weighted by their amplitude; 0 where nothing has risen.
    [[nodiscard]] double rise_db() const noexcept { return rise_db_; }
    /// From the middle of the rise to the newest sample, in samples.
    [[nodiscard]] double age() const noexcept;

private:
    static constexpr std::size_t kLag = 6; // hops
    using Bands = std::vector<float>;

    int hop_;
    dsp::RealFft fft_;
    std::vector<float> hann_;
    std::vector<float> windowed_;
    std::vector<std::complex<float>> spectrum_;
    std::vector<std::size_t> edges_;     ///< of the bands, in bins
    std::array<Bands, kLag + 1> recent_; ///< powers, a ring
    std::size_t heard_ = 0;
    double rise_db_ = 0.0;
};

} // namespace bellhand::pitch

#pragma once

#include <array>
#include <cstdint>

namespace bellhand::audio {

inline constexpr int kMaxToneHarmonics = 160;

/// What shapes the spectrum of one tone of the synthetic player.
struct ToneColour {
    double f0_hz = 220.0;
    double closure = 0.0;  ///< 0 open .. 1 fully stopped
    double dynamics = 0.0; ///< -1 soft .. 0 mezzoforte .. +1 brassy; held within +-1.5
};

/// Level of the spectral envelope of an open horn at a frequency, in dB (only differences mean anything).
///
/// Slope of 12 dB per octave below the main formant and the formants at 340 to 450, 750, 1225, 2000 and 3500 Hz after
/// J. Meyer, Acoustics and the Performance of Music (5th ed. 2009), chapter on the tonal characteristics of the horn;
/// the fall above it, by dynamics, fitted by eye to the mean harmonic levels of recorded horn tones at p, mf and ff.
[[nodiscard]] double open_envelope_db(double frequency_hz, double dynamics) noexcept;

/// The same with the bell fully stopped: the hand moves the bell's high-pass up, so that the lowest harmonics fade, a
/// peak stands between 2 and 4 kHz and at forte harmonics reach beyond 10 kHz (A. Ebihara and S. Yoshikawa, J. Acoust.
/// Soc. Am. 133, 3094, 2013). A soft stopped tone is dull (common practice, no source).
[[nodiscard]] double stopped_envelope_db(double frequency_hz, double dynamics) noexcept;

struct HornSpectrum {
    int count = 0; ///< harmonics that matter: the rest lie 90 dB below the strongest
    std::array<double, kMaxToneHarmonics>
        amplitude{}; ///< of harmonic i+1; the tone as a whole has rms 1
};

/// Amplitudes of all harmonics of a tone; none at or above `highest_hz`. `character` makes small fixed differences of
/// up to 1.5 dB between harmonics, as every instrument has its own.
[[nodiscard]] HornSpectrum
horn_spectrum(const ToneColour& colour, double highest_hz, std::uint64_t character) noexcept;

} // namespace bellhand::audio

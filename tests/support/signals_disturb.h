#pragma once

#include "support/signals.h"

/// What stands between a horn and its pitch: noise, other sounds, cheap microphones, calls. Everything works on signals
/// whose tone has unit power, so levels in dB are relative to the tone.
namespace bellhand::test {

/// White noise over the whole band, `snr_db` below unit power.
void add_white(Samples& samples, double snr_db, Random& random);
/// Noise with 3 dB per octave fall between 20 Hz and half the sample rate (sum of one-pole filters an octave apart).
void add_pink(Samples& samples, double snr_db, double rate_hz, Random& random);
/// Air noise of a player: noise with a broad resonance (quality about 3 to 8) at `centre_hz`.
void add_breath(Samples& samples,
                double snr_db,
                double centre_hz,
                double quality,
                double rate_hz,
                Random& random);
/// Mains hum: fundamental 50 or 60 Hz and falling odd and even harmonics up to the 12th.
void add_hum(Samples& samples, double snr_db, double mains_hz, double rate_hz, Random& random);
/// Metronome clicks: short decaying bursts of 1.5 to 3 kHz, peak `peak_db` over the tone's rms.
void add_clicks(
    Samples& samples, double per_minute, double peak_db, double rate_hz, Random& random);
/// One struck string at `f0_hz` from `start_s` on: stretched partials f_l = l f0 sqrt(1 + B l^2) (Fletcher 1964), each
/// decaying in its own time.
void add_string(Samples& samples,
                double f0_hz,
                double start_s,
                double amplitude,
                double rate_hz,
                Random& random);
/// Chords on tempered notes, some in the horn's own octave or on its own octaves, three strikes in the signal, together
/// `below_db` under unit power between `from_s` and `to_s`.
void add_chords(Samples& samples,
                double near_hz,
                double below_db,
                double from_s,
                double to_s,
                double rate_hz,
                Random& random);
/// Speech-like sound between two times: glottal pulses of moving pitch through moving formants, syllables, pauses, and
/// hiss in between (formant synthesis after Klatt 1980, much reduced). Rms `level_db` relative to unit power.
void add_speech(
    Samples& samples, double from_s, double to_s, double level_db, double rate_hz, Random& random);

/// Two-pole high pass (Butterworth), twice for 24 dB per octave: what a laptop's microphone keeps.
[[nodiscard]] Samples
high_passed(const Samples& samples, double cutoff_hz, double rate_hz, bool steep);
/// Eight-pole low pass (Butterworth sections).
[[nodiscard]] Samples low_passed(const Samples& samples, double cutoff_hz, double rate_hz);
/// The band of a telephone call, 300 to 3400 Hz, with 8-bit A-law steps (ITU-T G.711, parameter A = 87.6).
[[nodiscard]] Samples call_band(const Samples& samples, double rate_hz);
/// Everything over `limit` (times the tone's rms) is cut off.
[[nodiscard]] Samples clipped(const Samples& samples, double limit);
/// Automatic gain: follows the level within about 0.1 s up and 0.6 s down and pulls it to unit, with steps of gain.
[[nodiscard]] Samples gain_ridden(const Samples& samples, double rate_hz);
/// A noise suppressor that takes a steady tone for noise: pulls it down by up to 20 dB in bursts of 80 to 300 ms, with
/// ramps of some ten milliseconds.
[[nodiscard]] Samples gated(const Samples& samples, double rate_hz, Random& random);
/// Packets of 20 ms, `share` of them lost, concealed by repeating the one before while fading it.
[[nodiscard]] Samples
packets_lost(const Samples& samples, double share, double rate_hz, Random& random);

} // namespace bellhand::test

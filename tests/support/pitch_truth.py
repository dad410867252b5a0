"""Pitch of a held tone, slowly and surely, by a way of its own: every harmonic is shifted to frequency zero, averaged in
blocks, and its phase followed from block to block. Needs to be told the pitch to within about half a semitone; standard
library only."""
import cmath
import math

BLOCK_S = 0.025


def block_pitches(samples, rate, near_hz, from_s, to_s, harmonics=10):
    """Pitch in Hz of each pair of neighbouring blocks: frequency of harmonic l = l * near_hz + change of phase / time,
    the harmonics weighted by l^2 A_l^2, as least squares asks when noise is alike at all of them."""
    periods = max(2, round(BLOCK_S * near_hz))  # whole periods: the other harmonics cancel within a block
    size = round(periods * rate / near_hz)
    first, last = int(from_s * rate), min(len(samples), int(to_s * rate))
    tracks = []
    for l in range(1, harmonics + 1):
        if l * near_hz > 0.45 * rate:
            break
        step = cmath.exp(-2j * math.pi * l * near_hz / rate)
        turn, track = 1.0 + 0j, []
        window = [0.5 - 0.5 * math.cos(2 * math.pi * (k + 0.5) / (2 * size)) for k in range(2 * size)]
        shifted = []
        for n in range(first, last):
            shifted.append(samples[n] * turn)
            turn *= step
        for begin in range(0, len(shifted) - 2 * size, size):
            track.append(sum(x * w for x, w in zip(shifted[begin:begin + 2 * size], window)))
        tracks.append(track)
    pitches = []
    for i in range(min(len(t) for t in tracks) - 1):
        above = below = 0.0
        for l, track in enumerate(tracks, 1):
            turned = track[i + 1] * track[i].conjugate()
            weight = abs(turned)
            above += weight * l * cmath.phase(turned)
            below += weight * l * l
        pitches.append(near_hz + above / below * rate / (2 * math.pi * size))
    return pitches


def median_pitch(samples, rate, near_hz, from_s, to_s):
    """Median over the part, found in two steps: the second starts from the first's answer, so that no phase wraps."""
    for harmonics in (2, 4, 10):
        pitches = sorted(block_pitches(samples, rate, near_hz, from_s, to_s, harmonics))
        near_hz = pitches[len(pitches) // 2]
    return near_hz

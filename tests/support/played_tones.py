"""Tones of a player whose pitch wanders, written as WAV with the standard library; the truth is in the arguments."""
import math
import random
import struct
import wave

RATE = 24000
SHARES = (0.5, 1.0, 0.8, 0.5, 0.35, 0.2)


def add_tone(out, hz, seconds, cents_at=lambda t: 0.0):
    """Six harmonics; the pitch wanders by 5 cents with 30 ms of memory."""
    phase, wander, factor = 0.0, 0.0, 1.0
    memory = math.exp(-128 / RATE / 0.03)
    for i in range(int(seconds * RATE)):
        t = i / RATE
        if i % 128 == 0:
            wander = memory * wander + 5 * math.sqrt(1 - memory * memory) * random.gauss(0, 1)
            factor = 2 ** ((wander + cents_at(t)) / 1200)
        phase += 2 * math.pi * hz * factor / RATE
        level = 0.08 * min(1.0, t / 0.03, (seconds - t) / 0.05)
        out.append(level * sum(share * math.sin(k * phase) for k, share in enumerate(SHARES, 1)))


def save(path, samples):
    with wave.open(path, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(b"".join(struct.pack("<h", int(32767 * (x + random.gauss(0, 1e-4)))) for x in samples))


def open_notes(path, f1, offsets, partials, seconds=2.5, pause=0.5):
    """Held open partials of a horn: n f1 and its own offset in cents."""
    samples = [0.0] * int(pause * RATE)
    for n in partials:
        add_tone(samples, f1 * n * 2 ** (offsets.get(n, 0.0) / 1200), seconds)
        samples += [0.0] * int(pause * RATE)
    save(path, samples)


def slow_closing(path, hz, fall):
    """One second open, three seconds falling by `fall` cents, one second stopped."""
    samples = [0.0] * (RATE // 2)
    add_tone(samples, hz, 5.0, lambda t: fall * min(1.0, max(0.0, (t - 1.0) / 3.0)) ** 0.7)
    samples += [0.0] * (RATE // 2)
    save(path, samples)

"""The real binary, run from tests: output, exit code, and sound files to feed it."""
import math
import os
import struct
import subprocess
import tempfile

ROOT = os.environ.get("BELLHAND_ROOT", os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__)))))
BELLHAND = os.environ.get("BELLHAND", os.path.join(ROOT, "build", "release", "bellhand"))
PLACES = os.environ.get("BELLHAND_PLACES", "bellhand_e2e_")  # how the folders begin in which tests work


class Place:
    """A folder with its own home, settings and log, gone afterwards."""

    def __enter__(self):
        self._folder = tempfile.TemporaryDirectory(prefix=PLACES)
        self.path = self._folder.name
        self.env = {key: value for key, value in os.environ.items() if key not in ("DISPLAY", "WAYLAND_DISPLAY", "LC_ALL", "LC_CTYPE", "LANG")}
        self.env.update(HOME=self.path, XDG_DATA_HOME=os.path.join(self.path, "data"), XDG_CONFIG_HOME=os.path.join(self.path, "config"))
        return self

    def __exit__(self, *_):
        self._folder.cleanup()

    def file(self, name):
        return os.path.join(self.path, name)

    def run(self, *arguments, timeout=60, **options):
        """The finished process; output as text."""
        done = subprocess.run([BELLHAND, *map(str, arguments)], env=self.env, capture_output=True, timeout=timeout, stdin=subprocess.DEVNULL, **options)
        done.stdout, done.stderr = done.stdout.decode(), done.stderr.decode()
        return done

    def start(self, *arguments, **options):
        return subprocess.Popen([BELLHAND, *map(str, arguments)], env=self.env, stdin=subprocess.DEVNULL, **options)


def write_wav(path, channels, rate=48000, floating=False):
    """Writes equally long lists of samples (-1..1), one a channel, as 16-bit or 32-bit float WAV (RIFF, as in IBM and
    Microsoft's Multimedia Programming Interface 1.0, 1991)."""
    count = len(channels)
    if floating:
        data = b"".join(struct.pack(f"<{count}f", *frame) for frame in zip(*channels))
    else:
        data = b"".join(struct.pack(f"<{count}h", *(max(-32768, min(32767, round(32767 * x))) for x in frame)) for frame in zip(*channels))
    width = 4 if floating else 2
    header = struct.pack("<HHIIHH", 3 if floating else 1, count, rate, rate * count * width, count * width, 8 * width)
    with open(path, "wb") as file:
        file.write(b"RIFF" + struct.pack("<I", 36 + len(data)) + b"WAVEfmt " + struct.pack("<I", 16) + header + b"data" + struct.pack("<I", len(data)) + data)


def horn_like(f0_hz, length_s, rate=48000, level=0.2, silence_s=0.3):
    """A held tone of ten harmonics between two silences: enough like a horn to be heard as one."""
    out = [0.0] * int(silence_s * rate)
    count = int(length_s * rate)
    partials = [(k, 1.0 / k) for k in range(1, 11) if k * f0_hz < 0.45 * rate]
    total = math.sqrt(sum(a * a for _, a in partials) / 2)
    for n in range(count):
        edge = min(1.0, n / (0.02 * rate), (count - n) / (0.02 * rate))
        out.append(level * edge / total * sum(a * math.sin(2 * math.pi * k * f0_hz * n / rate + k) for k, a in partials))
    return out + [0.0] * int(silence_s * rate)

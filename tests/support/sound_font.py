"""Reads recorded samples of one instrument from a SoundFont 2 file (RIFF; SoundFont Technical Specification 2.04)."""
import struct


def _chunks(file, begin, end):
    """Yields (identifier, start of data, size) of the RIFF chunks between two places."""
    while begin + 8 <= end:
        file.seek(begin)
        name, size = struct.unpack("<4sI", file.read(8))
        yield name, begin + 8, size
        begin += 8 + size + size % 2


def _records(file, place, layout):
    start, size = place
    file.seek(start)
    return list(struct.iter_unpack(layout, file.read(size)))


INSTRUMENT, SAMPLE, ROOT_KEY = 41, 53, 58  # generator numbers, section 8.1.2


def samples_of(path, bank, program):
    """The distinct samples of a preset: name, rate in Hz, nominal key, correction in cents, loop start and end (samples
    from the beginning of the sample), and the 16-bit samples themselves as an array of integers."""
    with open(path, "rb") as file:
        file.seek(0)
        riff, size, kind = struct.unpack("<4sI4s", file.read(12))
        if riff != b"RIFF" or kind != b"sfbk":
            raise ValueError(f"{path}: not a SoundFont 2 file")
        parts = {}
        for name, start, length in _chunks(file, 12, 8 + size):
            if name == b"LIST":
                for inner, at, inner_length in _chunks(file, start + 4, start + length):
                    parts[inner] = (at, inner_length)
        presets = _records(file, parts[b"phdr"], "<20sHHHIII")
        preset_bags = _records(file, parts[b"pbag"], "<HH")
        preset_generators = _records(file, parts[b"pgen"], "<HH")
        instruments = _records(file, parts[b"inst"], "<20sH")
        instrument_bags = _records(file, parts[b"ibag"], "<HH")
        instrument_generators = _records(file, parts[b"igen"], "<HH")
        headers = _records(file, parts[b"shdr"], "<20sIIIIIBbHH")

        def generators(bags, table, first, last):
            for bag in range(first, last):
                for g in range(bags[bag][0], bags[bag + 1][0]):
                    yield table[g]

        wanted = {}  # sample number -> key at which the instrument plays it unchanged
        for this, after in zip(presets, presets[1:]):
            if (this[2], this[1]) != (bank, program):
                continue
            for operator, instrument in generators(preset_bags, preset_generators, this[3], after[3]):
                if operator != INSTRUMENT:
                    continue
                first, last = instruments[instrument][1], instruments[instrument + 1][1]
                for bag in range(first, last):
                    zone = dict(generators(instrument_bags, instrument_generators, bag, bag + 1))
                    if SAMPLE in zone:
                        wanted.setdefault(zone[SAMPLE], zone.get(ROOT_KEY))
        found = []
        for number, root_key in wanted.items():
            name, start, end, loop_start, loop_end, rate, key, correction, _, _ = headers[number]
            file.seek(parts[b"smpl"][0] + 2 * start)
            data = struct.unpack(f"<{end - start}h", file.read(2 * (end - start)))
            found.append({"name": name.split(b"\0")[0].decode("ascii", "replace").strip(), "rate": rate, "key": key if root_key is None else root_key, "correction": correction,
                          "loop": (loop_start - start, loop_end - start), "samples": data})
    return found

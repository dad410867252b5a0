"""The includes of every first-party file against the table in DEVELOPERS.md; third-party headers stay in their modules."""
import os
import re
import sys

root = os.environ.get("BELLHAND_ROOT", os.path.join(os.path.dirname(__file__), "..", ".."))
rows = re.findall(r"^\| (\w+) \| ([\w/]+) \| [^|]* \| ([^|]*) \| ([^|]*) \|$", open(os.path.join(root, "DEVELOPERS.md"), encoding="utf-8").read(), re.M)
folder = {name: path for name, path, _, _ in rows if name != "module"}
allowed = {name: set(uses.replace("–", "").split()) | {name} for name, _, uses, _ in rows}
third = {name: needs for name, _, _, needs in rows}
HEADERS = {"portaudio": "PortAudio", "pa_linux_alsa": "PortAudio", "pulse": "libpulse", "kissfft": "KissFFT", "kiss_fft": "KissFFT", "imgui": "Dear ImGui", "GLFW": "GLFW", "sqlite3": "SQLite",
           "sndfile": "libsndfile", "zip": "libzip", "SoundTouch": "SoundTouch", "nlohmann": "nlohmann-json", "CLI": "CLI11", "fmt": "fmt"}
assert len(folder) >= 11, "the module table in DEVELOPERS.md was not understood"

bad, seen = [], 0
for name, path in folder.items():
    for base, _, files in os.walk(os.path.join(root, path)):
        for file in files:
            if not file.endswith((".h", ".cpp")):
                continue
            seen += 1
            where = os.path.join(base, file)
            for number, line in enumerate(open(where, encoding="utf-8"), 1):
                own = re.match(r'\s*#\s*include "([^"]+)"', line)
                if own:
                    used = own.group(1).split("/")[0]
                    if used not in allowed[name] or ".." in own.group(1):
                        bad.append(f"{where}:{number}: {name} may not include {own.group(1)}")
                other = re.match(r"\s*#\s*include <([A-Za-z0-9_]+)", line)
                if other:
                    for prefix, library in HEADERS.items():
                        if other.group(1).startswith(prefix) and library not in third[name]:
                            bad.append(f"{where}:{number}: {name} may not use {library}")
print("\n".join(bad))
print(f"{seen} files, {len(bad)} forbidden includes")
sys.exit(1 if bad or seen == 0 else 0)

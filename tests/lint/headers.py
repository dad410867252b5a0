"""Every header compiles on its own, first and twice."""
import concurrent.futures
import glob
import os
import subprocess
import sys
import tempfile

root = os.environ.get("BELLHAND_ROOT", os.path.join(os.path.dirname(__file__), "..", ".."))
os.chdir(root)
headers = sorted(sum((glob.glob(f"{folder}/**/*.h", recursive=True) for folder in ("src", "audio", "gui")), []))
flags = subprocess.run(["pkg-config", "--cflags", "portaudio-2.0", "sndfile", "imgui", "glfw3", "sqlite3", "kissfft-float"],
                       capture_output=True, text=True, check=True).stdout.split()


def alone(header):
    name = header[4:] if header.startswith("src/") else header
    with tempfile.NamedTemporaryFile("w", suffix=".cpp") as source:
        source.write(f'#include "{name}"\n#include "{name}"\n')
        source.flush()
        done = subprocess.run(["g++", "-std=c++20", "-fsyntax-only", "-Wall", "-Wextra", "-I.", "-Isrc", *flags, source.name],
                              capture_output=True, text=True)
    return header, done.returncode, done.stderr


with concurrent.futures.ThreadPoolExecutor(2) as pool:
    bad = [(header, errors) for header, code, errors in pool.map(alone, headers) if code != 0 or errors]
for header, errors in bad:
    print(f"{header} does not stand alone:\n{errors}")
print(f"{len(headers)} headers, {len(bad)} do not stand alone")
sys.exit(1 if bad or not headers else 0)

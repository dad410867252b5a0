"""Every header compiles on its own, first and twice. What has not changed since is remembered where ccache is installed."""
import concurrent.futures
import glob
import os
import shutil
import subprocess
import sys

root = os.environ.get("BELLHAND_ROOT", os.path.join(os.path.dirname(__file__), "..", ".."))
os.chdir(root)
headers = sorted(sum((glob.glob(f"{folder}/**/*.h", recursive=True) for folder in ("src", "audio", "gui")), []))
flags = subprocess.run(["pkg-config", "--cflags", "portaudio-2.0", "sndfile", "imgui", "glfw3", "sqlite3", "kissfft-float"],
                       capture_output=True, text=True, check=True).stdout.split()


cache = shutil.which("ccache")
compiler = [cache, "g++", "-c", "-O0"] if cache else ["g++", "-fsyntax-only"]
folder = os.path.join(os.environ.get("BELLHAND_BUILD", "build"), "headers")
os.makedirs(folder, exist_ok=True)


def alone(header):
    name = header[4:] if header.startswith("src/") else header
    source = os.path.join(folder, header.replace("/", "-") + ".cpp")
    with open(source, "w", encoding="utf-8") as file:
        file.write(f'#include "{name}"\n#include "{name}"\n')
    done = subprocess.run([*compiler, "-std=c++20", "-Wall", "-Wextra", "-I.", "-Isrc", *flags, source, "-o", source + ".o"],
                          capture_output=True, text=True)
    return header, done.returncode, done.stderr


with concurrent.futures.ThreadPoolExecutor(2) as pool:
    bad = [(header, errors) for header, code, errors in pool.map(alone, headers) if code != 0 or errors]
for header, errors in bad:
    print(f"{header} does not stand alone:\n{errors}")
print(f"{len(headers)} headers, {len(bad)} do not stand alone")
sys.exit(1 if bad or not headers else 0)

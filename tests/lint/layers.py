"""The includes of every first-party file against the table of modules in CMakeLists.txt: nothing that is not permitted,
no permission that nobody uses, no circle; third-party headers stay in their modules."""
import os
import re
import sys

root = os.environ.get("BELLHAND_ROOT", os.path.join(os.path.dirname(__file__), "..", ".."))
os.chdir(root)
# Headers by the beginning of their name, and the target a module must name to use them.
HEADERS = {"portaudio": "PkgConfig::portaudio", "pa_linux_alsa": "PkgConfig::portaudio", "pulse": "PkgConfig::pulse", "kissfft": "PkgConfig::kissfft",
           "imgui": "PkgConfig::imgui", "backends": "PkgConfig::imgui", "stb_truetype": "PkgConfig::imgui", "GLFW": "glfw", "sqlite3": "SQLite::SQLite3",
           "sndfile": "PkgConfig::sndfile", "zip": "PkgConfig::libzip", "SoundTouch": "PkgConfig::soundtouch", "nlohmann": "nlohmann_json::nlohmann_json",
           "CLI": "CLI11::CLI11", "pugixml": "pugixml::pugixml", "fontconfig": "PkgConfig::fontconfig", "fmt": "fmt::fmt", "cairo": "PkgConfig::cairo", "GL": "OpenGL::GL"}
entries = re.findall(r'^bellhand_module\((\w+) ([\w/]+) "([^"]+)"([^)]*)\)', open("CMakeLists.txt", encoding="utf-8").read(), re.M)
folder = {name: path for name, path, _, _ in entries}
uses = {name: set(re.sub(r"NEEDS.*", "", rest, flags=re.S).replace("USES", "").split()) for name, _, _, rest in entries}
needs = {name: set(rest.partition("NEEDS")[2].split()) for name, _, _, rest in entries}
assert len(folder) >= 20, "the table of modules in CMakeLists.txt was not understood"

bad, seen = [], 0
used = {name: set() for name in folder}
for name, path in folder.items():
    for base, _, files in os.walk(path):
        for file in files:
            if not file.endswith((".h", ".cpp")):
                continue
            seen += 1
            where = os.path.join(base, file)
            for number, line in enumerate(open(where, encoding="utf-8"), 1):
                own = re.match(r'\s*#\s*include "([^"]+)"', line)
                if own:
                    other = own.group(1).split("/")[0]
                    used[name].add(other)
                    if other not in uses[name] | {name} or ".." in own.group(1):
                        bad.append(f"{where}:{number}: {name} may not include {own.group(1)}")
                outside = re.match(r"\s*#\s*include <([A-Za-z0-9_]+)", line)
                if outside:
                    for prefix, target in HEADERS.items():
                        if outside.group(1).startswith(prefix) and target not in needs[name]:
                            bad.append(f"{where}:{number}: {name} may not use {target}")
for name in folder:
    bad += [f"CMakeLists.txt: {name} is permitted {other} and includes nothing of it" for other in sorted(uses[name] - used[name])]
for folder_of in sorted(os.listdir("src")):
    if os.path.isdir(os.path.join("src", folder_of)) and f"src/{folder_of}" not in folder.values():
        bad.append(f"src/{folder_of} is no module of CMakeLists.txt")


def reached(name, on_the_way=()):
    if name in on_the_way:
        return on_the_way[on_the_way.index(name):] + (name,)
    return next((circle for other in uses[name] if (circle := reached(other, on_the_way + (name,)))), None)


circle = next((found for name in folder if (found := reached(name))), None)
if circle:
    bad.append("CMakeLists.txt: a circle: " + " -> ".join(circle))
print("\n".join(bad))
print(f"{seen} files in {len(folder)} modules with {sum(map(len, uses.values()))} permissions, {len(bad)} findings")
sys.exit(1 if bad or seen == 0 else 0)

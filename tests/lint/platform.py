"""One seam to the operating system: only src/core/platform* and files named for a system (NAME_linux.cpp, _posix, _windows,
_macos) know which one it is. Everywhere else: no conditional compilation, no header of a system, no call that only some
systems have, and no path made from text but by path_of, since text is UTF-8 and not every system's paths are bytes."""
import os
import re
import sys

root = os.environ.get("BELLHAND_ROOT", os.path.join(os.path.dirname(__file__), "..", ".."))
os.chdir(root)
HEADERS = r"unistd|fcntl|dlfcn|poll|termios|pwd|dirent|sched|pthread|semaphore|syslog|langinfo|spawn|windows|windowsx|io|conio|process|direct|shlobj|sys|mach|mach-o|netinet|arpa|linux|pulse|pa_linux_alsa|pa_win_wasapi|alsa"
FORBIDDEN = [
    (r"^\s*#\s*(if|ifdef|ifndef|elif|else)\b", "conditional compilation: give each system a file of its own"),
    (rf"^\s*#\s*include\s*<({HEADERS})(/[\w./-]+)?(\.h)?>", "a header of one system"),
    (r"\b(?:_WIN32|__APPLE__|__linux__|__unix__)\b", "asks which system it is"),
    (r"\b(?:localtime|gmtime|localtime_r|gmtime_r|timegm|mkostemp|mkstemp|getpid|isatty|fork|kill|flock|fsync|sigaction|dlsym|tmpnam)\s*\(", "a call of some systems: core/platform.h"),
    (r"\bgetenv\(\"(?!BELLHAND_)", "a variable of some systems: core/platform.h knows the folders"),
    (r"\b(?:fs|filesystem)::(?:u8)?path(?:\(|\{)(?!\s*[\")}])", "a path made from text: platform::path_of"),
    (r"\b(?:fs|filesystem)::path \w+[({](?!\s*[\")}]|const |std::|\w*path_of)[^;]*[)}];", "a path made from text: platform::path_of"),
    (r"/ ?\(\"|/ ?\([^;]*\+ ?(?:\"|k\w+Ending)|/ ?\([^;]*\.string\(\) *\+", "a path lengthened by text: platform::path_of"),
    (r"/ \"[^\"]*\"\)\.c_str\(\)|\b(?:fopen|sf_open|sqlite3_open_v2|zip_open|rename|remove|unlink)\(\s*\w+\.c_str\(\)", "a path's own characters, which are not bytes everywhere: path.string()"),
]
bad, seen = [], 0
for top in ("src", "audio", "gui"):
    for base, _, files in os.walk(top):
        for file in files:
            if not file.endswith((".h", ".cpp")):
                continue
            where = os.path.join(base, file)
            if where.startswith("src/core/platform") or re.search(r"_(linux|posix|windows|macos)\.(h|cpp)$", file):
                continue
            seen += 1
            for number, line in enumerate(open(where, encoding="utf-8"), 1):
                code = line.split("//")[0]
                for pattern, why in FORBIDDEN:
                    if re.search(pattern, code):
                        bad.append(f"{where}:{number}: {why}: {line.strip()}")
# The rules themselves must bite.
for example, rule in [("#ifdef _WIN32", 0), ("#include <sys/stat.h>", 1), ("#include <unistd.h>", 1), ("#include <windows.h>", 1), ("x = ::getpid();", 3),
                      ('std::getenv("HOME")', 4), ("std::filesystem::path(*typed)", 5), ("const fs::path file(typed);", 6),
                      ('folder / ("a" + name)', 7), ('folder / (log.stem().string() + "-takes")', 7), ('folder / (file.stem().string() + ending)', 7), ("sf_open(path.c_str(), 1)", 8)]:
    if not re.search(FORBIDDEN[rule][0], example):
        bad.append(f"tests/lint/platform.py: rule {rule} lets pass: {example}")
print("\n".join(bad))
print(f"{seen} files, {len(bad)} findings")
sys.exit(1 if bad or seen < 100 else 0)

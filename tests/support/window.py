"""The program in a window on a display without a screen, driven by keys."""
import os
import subprocess
import time

from program import BELLHAND


def wait_for(what, ready, seconds=60.0):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        value = ready()
        if value:
            return value
        time.sleep(0.1)
    raise AssertionError(f"{what}: not within {seconds:g} s")


class Display:
    """A display without a screen. A server that goes takes the socket of its number with it, so that no two tests that run at once
    share a number; and one that starts anew when its last caller leaves refuses whoever calls meanwhile, so that it must not."""

    def __enter__(self):
        self.name = f":{1000 + os.getpid() % 50000}"
        self.server = subprocess.Popen(["Xvfb", self.name, "-screen", "0", "1280x800x24", "-nolisten", "tcp", "-noreset"], stderr=subprocess.DEVNULL)
        env = dict(os.environ, DISPLAY=self.name)
        try:
            wait_for("a display", lambda: self.ready(env), 30.0)
        except AssertionError:
            self.__exit__()
            raise
        return self

    def ready(self, env):
        assert self.server.poll() is None, "the display ended as it started"
        return subprocess.run(["xdotool", "getdisplaygeometry"], env=env, capture_output=True).returncode == 0

    def __exit__(self, *_):
        self.server.terminate()
        self.server.wait()


class Window:
    """The program in a window of that display, closed by its own key."""

    def __init__(self, display, place, *arguments, errors=subprocess.DEVNULL):
        self.env = dict(place.env, DISPLAY=display.name)
        self.arguments = arguments
        self.errors = errors

    def __enter__(self):
        self.process = subprocess.Popen([BELLHAND, *self.arguments], env=self.env, stdout=subprocess.DEVNULL, stderr=self.errors)
        try:
            found = wait_for("a window", lambda: subprocess.run(["xdotool", "search", "--onlyvisible", "--name", "^Bellhand$"], env=self.env,
                                                                capture_output=True, text=True).stdout.split())
        except AssertionError:
            self.process.kill()
            raise
        subprocess.run(["xdotool", "windowfocus", found[0]], env=self.env, check=True)
        time.sleep(1.0)
        return self

    def keys(self, *keys):
        for key in keys:
            subprocess.run(["xdotool", "key", key], env=self.env, check=True)
            time.sleep(0.15)

    def type(self, words):
        subprocess.run(["xdotool", "type", "--delay", "12", words], env=self.env, check=True)
        time.sleep(0.3)

    def open(self, path):
        self.keys("i")
        self.type(path)
        self.keys("Return")

    def __exit__(self, *_):
        if self.process.poll() is not None:  # killed on purpose
            return
        subprocess.run(["xdotool", "key", "ctrl+q"], env=self.env, check=False)
        try:
            code = self.process.wait(20)
        finally:
            self.process.kill()
        assert code == 0, code

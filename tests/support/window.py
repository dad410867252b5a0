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
    """A display without a screen. A server that went may take the socket of the next one of its number with it, so that each is
    tried before it is used."""

    def start(self):
        reader, writer = os.pipe()
        self.server = subprocess.Popen(["Xvfb", "-displayfd", str(writer), "-screen", "0", "1280x800x24", "-nolisten", "tcp"], pass_fds=(writer,),
                                       stderr=subprocess.DEVNULL)
        os.close(writer)
        with os.fdopen(reader) as told:
            self.name = ":" + told.readline().strip()
        env = dict(os.environ, DISPLAY=self.name)
        return subprocess.run(["xdotool", "getdisplaygeometry"], env=env, capture_output=True).returncode == 0

    def __enter__(self):
        for _ in range(5):
            if self.start():
                return self
            self.__exit__()
            time.sleep(1.0)
        raise AssertionError("no display could be started")

    def __exit__(self, *_):
        self.server.terminate()
        self.server.wait()


class Window:
    """The program in a window of that display, closed by its own key."""

    def __init__(self, display, place, *arguments):
        self.env = dict(place.env, DISPLAY=display.name)
        self.arguments = arguments

    def __enter__(self):
        self.process = subprocess.Popen([BELLHAND, *self.arguments], env=self.env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
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

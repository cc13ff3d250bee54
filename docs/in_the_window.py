"""The real editor in a real window on a display of its own, driven by keys and mouse as at a desk.

Needs inkscape, xvfb, openbox, xdotool, x11-utils and imagemagick (see .ci/run).
"""
from __future__ import annotations

import contextlib
import os
import re
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Callable

import numpy as np

from tests.host import editor_environment, lay_out_profile, virtual_display

#: Seconds until something must be there, and for which a window must stand still before it is looked at.
PATIENCE, STILL = 60.0, 0.8


class TooSlow(Exception):
    """What was waited for did not come."""


class Desk:
    """A display with a window manager: what is started on it, what is seen there, what hands do."""

    def __init__(self, environment: dict[str, str]) -> None:
        self.environment = environment
        self._started: list[subprocess.Popen] = []

    def start(self, *command: str) -> subprocess.Popen:
        """Start a program that stays."""
        quiet = subprocess.DEVNULL
        program = subprocess.Popen(command, env=self.environment, stdout=quiet, stderr=quiet, start_new_session=True)
        self._started.append(program)
        return program

    def clear(self) -> None:
        """End what was started, the last first."""
        for program in reversed(self._started):
            with contextlib.suppress(ProcessLookupError):
                os.killpg(program.pid, signal.SIGKILL)
            program.wait()

    def tool(self, *words: object) -> str:
        """Run xdotool and return what it says."""
        return subprocess.run(["xdotool", *map(str, words)], env=self.environment, capture_output=True, text=True, check=False).stdout

    def windows(self, title: str) -> list[str]:
        """Return the windows that can be seen whose title begins so (a regular expression)."""
        return self.tool("search", "--onlyvisible", "--name", f"^{title}").split()

    def managed(self) -> list[str]:
        """Return all windows that have a frame: no menus and no hints."""
        return [str(int(number, 16)) for number in re.findall(r"0x[0-9a-f]+", self.says("_NET_CLIENT_LIST"))]

    def says(self, name: str, *of: str) -> str:
        """Return what the window manager says of a window, or of itself, under a name of the Extended Window Manager Hints."""
        return subprocess.run(["xprop", *(of or ["-root"]), name], env=self.environment, capture_output=True, text=True, check=False).stdout

    def wait_for(self, title: str) -> str:
        """Return the newest window of that title, once there is one."""
        return str(self.until(lambda: "".join(self.windows(title)[-1:]), f"a window {title}"))

    def wait_until_gone(self, title: str) -> None:
        self.until(lambda: not self.windows(title), f"the end of a window {title}")

    def wait_until_still(self, window: str = "root") -> None:
        """Wait until a window has been painted and looked the same for a while."""
        seen = [b"", time.monotonic()]

        def is_still() -> bool:
            now = subprocess.run(["import", "-window", window, "rgb:-"], env=self.environment, capture_output=True, check=False).stdout
            if now != seen[0]:
                seen[:] = [now, time.monotonic()]
            return time.monotonic() - seen[1] >= STILL and len(set(now)) > 1  # on a busy machine it is all black at first

        self.until(is_still, f"window {window} at rest")

    def until(self, ask: Callable[[], object], what: str) -> object:
        """Ask until the answer holds, and return it."""
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            answer = ask()
            if answer:
                return answer
            time.sleep(0.15)
        raise TooSlow(f"{what} did not come within {PATIENCE:g} s")

    def key(self, *keys: str) -> None:
        """Press keys, one after the other."""
        for key in keys:
            self.tool("key", "--clearmodifiers", key)
            time.sleep(0.04)

    def type(self, text: str) -> None:
        self.tool("type", "--clearmodifiers", "--delay", "12", text)

    def click(self, x: float, y: float, window: str | None = None) -> None:
        """Click at a place of the screen, or of a window."""
        where = ["--window", window] if window else []
        self.tool("mousemove", "--sync", *where, round(x), round(y), "click", 1)

    def drag(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        """Drag from one place of the screen to another, in steps as a hand does."""
        self.tool("mousemove", "--sync", *map(round, start), "mousedown", 1)
        for share in (0.1, 0.4, 0.7, 1.0):
            self.tool("mousemove", "--sync", *(round(a + share * (b - a)) for a, b in zip(start, end)))
            time.sleep(0.1)
        self.tool("mouseup", 1)

    def picture(self, file: Path, window: str = "root", frame: bool = False) -> None:
        """Take a picture of a window, or of the whole screen."""
        self.wait_until_still(window)
        few_colours = ["-colors", "128", f"png8:{file}"]
        subprocess.run(["import", "-window", window, *(["-frame"] if frame else []), *few_colours], env=self.environment, check=True)

    def look(self) -> np.ndarray:
        """Return what the screen shows, (height, width, 3)."""
        wide, high = map(int, self.tool("getdisplaygeometry").split())
        seen = subprocess.run(["import", "-window", "root", "-depth", "8", "rgb:-"], env=self.environment, capture_output=True, check=True)
        return np.frombuffer(seen.stdout, np.uint8).reshape(high, wide, 3)

    def size(self, window: str) -> tuple[int, int]:
        """Return width and height of a window with its frame, px."""
        _, _, width, height = self.place(window)
        told = self.says("_NET_FRAME_EXTENTS", "-id", window)
        left, right, top, bottom = map(int, told.split("=")[1].split(","))
        return left + width + right, top + height + bottom

    def place(self, window: str) -> tuple[int, int, int, int]:
        """Return where a window is on the screen without its frame: left, top, width and height, px."""
        told = subprocess.run(["xwininfo", "-id", window], env=self.environment, capture_output=True, text=True, check=True).stdout
        words = ("Absolute upper-left X", "Absolute upper-left Y", "Width", "Height")
        left, top, width, height = (int(told.split(f"{word}:")[1].split()[0]) for word in words)
        return left, top, width, height


@contextlib.contextmanager
def desk(preferences: Mapping[str, object], screen: tuple[int, int], installed: Path | None = None) -> Iterator[Desk]:
    """A display of that size with a window manager, and a fresh profile of the editor with our commands."""
    with tempfile.TemporaryDirectory() as workshop, virtual_display(*screen) as display:
        profile = Path(workshop, "profile")
        lay_out_profile(profile, preferences, installed)
        place = Desk(editor_environment(display, profile))
        try:
            manager = [place.start("openbox")]

            def is_managed() -> bool:
                if manager[-1].poll() is not None:  # on a display that was not quite ready it has given up
                    manager.append(place.start("openbox"))
                return "window id" in place.says("_NET_SUPPORTING_WM_CHECK")

            # Windows opened before the window manager is ready stay unframed.
            place.until(is_managed, "a window manager")
            time.sleep(STILL)
            yield place
        finally:
            place.clear()

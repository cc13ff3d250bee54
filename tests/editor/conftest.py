"""The real editor, headless: its own display, its own profile, our effects in it."""
from __future__ import annotations

import contextlib
import os
import shutil
import signal
import subprocess
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import NamedTuple

import pytest

from tests import fonts
from tests.conftest import CLIENT
from tests.host import action, editor_environment, host_python, lay_out_profile, missing, virtual_display

#: Seconds for one run of the editor, which takes about two; and for a file that it saves, before its window is asked again.
PATIENCE, TO_SAVE = 120, 15

# The editor runs effects with this instead of Python.  What the effect says on stderr is kept for the
# test: passed on, it would open a box for which a headless run waits for ever.
_INTERPRETER = """#!/bin/sh
{python} "$@" 2>>{messages}
echo $? >>{statuses}
"""

class Edited(NamedTuple):
    """What came of a run: the exported files by type, what the effects said, with which exit statuses."""

    files: dict[str, Path]
    messages: str
    statuses: list[int]
    log: str

    @property
    def svg(self) -> str:
        return self.files["svg"].read_text(encoding="utf-8")

    @property
    def refused(self) -> bool:
        """Whether an effect said no, so that the host would have shown a box."""
        return bool(self.messages)


class Window(NamedTuple):
    """A window of the editor on a document."""

    document: Path
    environment: Mapping[str, str]
    log: Path

    def ask(self, *words: str) -> str:
        """Return what ``xdotool`` answers."""
        return subprocess.run(["xdotool", *words], check=False, env=self.environment, capture_output=True, text=True, timeout=PATIENCE).stdout

    def wait_for(self, question: Callable[[], object]) -> None:
        until = time.monotonic() + PATIENCE
        while not question():
            if time.monotonic() > until:
                pytest.fail(f"the editor's window hung:\n{self.log.read_text(encoding='utf-8', errors='replace')}")
            time.sleep(0.2)

    def save(self, press: Callable[[], object] = lambda: None) -> str:
        """``press`` keys and Ctrl+S, and return what was written then: there must be something to save.

        A busy window loses keys, so where nothing is written all are pressed again; whatever is pressed must bear that.
        """
        before, asked = self.document.stat().st_mtime_ns, -float(TO_SAVE)

        def is_written() -> bool:
            nonlocal asked
            if time.monotonic() - asked >= TO_SAVE:
                press()
                self.ask("key", "--delay", "200", "ctrl+s")
                asked = time.monotonic()
            return self.document.stat().st_mtime_ns != before

        self.wait_for(is_written)
        self.wait_for(lambda: self.document.read_text(encoding="utf-8").rstrip().endswith("</svg>"))
        return self.document.read_text(encoding="utf-8")


class Editor:
    """Inkscape with our effects installed in a fresh profile for each run."""

    def __init__(self, display: str, folder: Path) -> None:
        self.display = display
        self.folder = folder
        self.runs = 0

    def run(
        self,
        effect: str | None,
        svg_text: str,
        options: Mapping[str, object] = {},
        select: Iterable[str] = (),
        before: Iterable[str] = (),
        after: Iterable[str] = (),
        export: Iterable[str] = ("svg",),
        extensions: Path | None = None,
    ) -> Edited:
        """Open a document, run an effect on it with ``options`` as if typed in its dialog, and export.

        ``before`` and ``after`` are further actions; ``export`` names file types, ``plain-svg`` too;
        ``extensions`` is a folder to install instead of this repository.  The test fails if the editor
        hangs or never ran the effect; an effect that says no is seen in the answer.
        """
        if effect == "org.tieredsleeve.draft_sleeve" and options:
            options = {**CLIENT, **options}
        folder = self._new_folder()
        (folder / "in.svg").write_text(svg_text, encoding="utf-8")
        profile = self._profile(folder, effect, options, extensions)
        actions = ["select-by-id:" + ",".join(select)] if select else []
        actions += [*before, *([f"{action(effect)}.noprefs"] if effect else []), *after]
        files = {}
        for kind in export:
            files[kind] = folder / ("plain.svg" if kind == "plain-svg" else f"out.{kind}")
            actions += [f"export-filename:{files[kind]}", f"export-type:{files[kind].suffix[1:]}"]
            actions += ["export-plain-svg" if kind == "plain-svg" else "", "export-do"]
        words = ["--batch-process", "--actions=" + ";".join(filter(None, actions)), str(folder / "in.svg")]
        log = self.start(words, profile)

        if "could not find action" in log:
            pytest.fail(f"the editor does not know an action or effect:\n{log}")
        messages, statuses = folder / "messages", folder / "statuses"
        edited = Edited(
            files,
            messages.read_text(encoding="utf-8") if messages.exists() else "",
            [int(status) for status in statuses.read_text().split()] if statuses.exists() else [],
            log,
        )
        if effect and not edited.statuses:
            pytest.fail(f"the editor did not run {effect}:\n{log}")
        lost = [kind for kind, file in files.items() if not file.exists()]
        if lost:
            pytest.fail(f"the editor did not export {', '.join(lost)}:\n{log}")
        return edited

    def press(self, effect: str, svg_text: str, keys: Iterable[str], before: Iterable[str] = ()) -> str:
        """Open a document in a window, run actions and an effect, press keys, and return what Ctrl+S then saves.

        For what has no action: Inkscape 1.4 knows ``undo`` by the keyboard only.  The editor saves
        nothing where all has been undone, so ``before`` must hold an edit.
        """
        folder = self._new_folder()
        document = folder / "in.svg"
        document.write_text(svg_text, encoding="utf-8")
        with self._window(document, self._profile(folder, effect, {}, None), [*before, f"{action(effect)}.noprefs"]) as window:
            window.ask("key", "--delay", "200", *keys)
            return window.save()

    def press_each(self, svg_text: str, select: str, steps: Mapping[str, Iterable[str]]) -> dict[str, str]:
        """Return what Ctrl+S saves after the keys of each step, pressed in one window with one object selected.

        Every step starts from the document as it was, in the node tool with no node selected.  The object must be the only one that
        is not locked.
        """
        folder = self._new_folder()
        document, saved = folder / "in.svg", {}
        document.write_text(svg_text, encoding="utf-8")

        def edit(window: Window, keys: Iterable[str]) -> None:
            window.ask("key", "--delay", "40", *["ctrl+z"] * 12)
            window.ask("key", "--delay", "100", "F1", "Escape", "Tab", "F2", *keys)

        with self._window(document, folder / "profile", [f"select-by-id:{select}"]) as window:
            for name, keys in steps.items():
                saved[name] = window.save(partial(edit, window, list(keys)))
        return saved

    @contextlib.contextmanager
    def _window(self, document: Path, profile: Path, actions: Iterable[str]) -> Iterator[Window]:
        """A document in a window that has the keyboard, after the actions."""
        for program in ("openbox", "xdotool"):
            if shutil.which(program) is None:
                missing(program)
        # On a display of its own: on one that an earlier window has left, its manager's traces look like a manager.
        with virtual_display() as display, contextlib.ExitStack() as ends:
            window = Window(document, editor_environment(display, profile), document.with_name("log"))

            def start(*words: str) -> subprocess.Popen:
                with window.log.open("a", encoding="utf-8") as printed:
                    process = subprocess.Popen(words, env=window.environment, stdout=printed, stderr=printed, start_new_session=True)
                ends.callback(process.wait)
                ends.callback(_kill_group, process.pid)
                return process

            manager = [start("openbox")]

            def is_managed() -> str:
                if manager[-1].poll() is not None:  # on a display that was not quite ready it has given up
                    manager.append(start("openbox"))
                return window.ask("get_desktop")

            # A window opened before the window manager is ready never gets the keyboard.
            window.wait_for(is_managed)
            drawn = document.with_name("drawn.svg")  # exported after all else, which shows that the editor is done
            start("inkscape", "--with-gui", "--actions=" + ";".join([*actions, f"export-filename:{drawn}", "export-do"]), str(document))
            window.wait_for(lambda: drawn.exists() and drawn.stat().st_size and window.ask("search", "--onlyvisible", "--name", document.name))
            window.ask("windowactivate", "--sync", window.ask("search", "--onlyvisible", "--name", document.name).split()[-1])
            yield window

    def edit(self, documents: Mapping[str, tuple[str, Iterable[str]]]) -> dict[str, str]:
        """Return what actions leave of each of several named documents, all in one run of the editor without effects."""
        folder = self._new_folder()
        lines, left = [], {}
        for number, (name, (svg_text, actions)) in enumerate(documents.items()):
            opened, left[name] = folder / f"in-{number}.svg", folder / f"out-{number}.svg"
            opened.write_text(svg_text, encoding="utf-8")
            lines.append(";".join([f"file-open:{opened}", *actions, f"export-filename:{left[name]}", "export-do", "file-close"]))
        log = self.start(["--shell"], folder / "profile", typed="\n".join([*lines, "quit", ""]))
        if "could not find action" in log:
            pytest.fail(f"the editor does not know an action:\n{log}")
        lost = [name for name, file in left.items() if not file.exists()]
        if lost:
            pytest.fail(f"the editor left nothing of {', '.join(lost)}:\n{log}")
        return {name: file.read_text(encoding="utf-8") for name, file in left.items()}

    def convert(self, svg_text: str, kind: str, *words: str) -> Path:
        """Export a document as it is, but for what further words of the command line do; quicker than :meth:`run`, for it needs no display."""
        folder = self._new_folder()
        (folder / "in.svg").write_text(svg_text, encoding="utf-8")
        out = folder / f"out.{kind}"
        log = self.start([*words, f"--export-filename={out}", str(folder / "in.svg")], folder / "profile")
        if not out.exists():
            pytest.fail(f"the editor did not export {kind}:\n{log}")
        return out

    def boxes(self, svg_text: str) -> dict[str, tuple]:
        """Return left, top, width and height in px of every object, strokes and all, as the editor has it."""
        folder = self._new_folder()
        (folder / "in.svg").write_text(svg_text, encoding="utf-8")
        lines = self.start(["--query-all", str(folder / "in.svg")], folder / "profile", errors=False).splitlines()
        answers = [line.rsplit(",", 4) for line in lines if line.count(",") >= 4]
        return {name: tuple(map(float, numbers)) for name, *numbers in answers}

    def start(self, words: list[str], profile: Path, errors: bool = True, typed: str = "") -> str:
        """Run the editor to its end, with what is ``typed`` to its shell, and return what it printed; nothing it started outlives this."""
        process = subprocess.Popen(
            ["inkscape", *words],
            env=editor_environment(self.display, profile),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT if errors else subprocess.DEVNULL,
            start_new_session=True,
        )
        try:
            printed, _ = process.communicate(typed.encode(), timeout=PATIENCE)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)
            printed, _ = process.communicate()
            pytest.fail(f"the editor hung, perhaps in a message box:\n{printed.decode('utf-8', 'replace')}")
        finally:
            _kill_group(process.pid)
        return printed.decode("utf-8", "replace")

    def _new_folder(self) -> Path:
        self.runs += 1
        folder = self.folder / f"run-{self.runs}"
        (folder / "profile").mkdir(parents=True)
        return folder

    def _profile(self, folder: Path, effect: str | None, options: Mapping[str, object], extensions: Path | None) -> Path:
        interpreter = folder / "python"
        interpreter.write_text(
            _INTERPRETER.format(python=host_python(), messages=folder / "messages", statuses=folder / "statuses")
        )
        interpreter.chmod(0o755)
        preferences = {f"{effect}.{name}": value for name, value in options.items()}
        lay_out_profile(folder / "profile", {"python-interpreter": interpreter, **preferences}, extensions)
        return folder / "profile"


@pytest.fixture(scope="session")
def display() -> Iterator[str]:
    """A virtual display of our own, on a number that Xvfb finds free."""
    if shutil.which("Xvfb") is None:
        missing("Xvfb")
    with virtual_display() as name:
        yield name


@pytest.fixture(scope="session")
def editor(display: str, tmp_path_factory: pytest.TempPathFactory) -> Editor:
    """The real editor; see :class:`Editor`."""
    if shutil.which("inkscape") is None:
        missing("Inkscape")
    if not fonts.installed_latin():
        missing("The font DejaVu Sans")
    return Editor(display, tmp_path_factory.mktemp("editor"))


def _kill_group(leader: int) -> None:
    with contextlib.suppress(ProcessLookupError):
        os.killpg(leader, signal.SIGKILL)

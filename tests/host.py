"""The editor on this machine: where it is, a display and a profile for it, what to do where it is missing."""
from __future__ import annotations

import contextlib
import os
import shutil
import subprocess
from collections.abc import Iterator, Mapping
from pathlib import Path
from xml.sax.saxutils import quoteattr

import pytest

from tests import fonts

REPOSITORY = Path(__file__).resolve().parent.parent
HOW_TO_GET_IT = "apt-get install inkscape xvfb fonts-dejavu-core chromium, or see .ci/run"


def missing(what: str) -> None:
    """Fail where the editor tests are required, else skip and say how to get ``what``."""
    message = f"{what} is missing: {HOW_TO_GET_IT}"
    if os.environ.get("EDITOR_TESTS") == "required":
        pytest.fail(message)
    pytest.skip(message)


def host_extensions() -> Path | None:
    """The folder of the editor's own extensions, which holds its inkex, or None without an editor."""
    if shutil.which("inkscape") is None:
        return None
    asked = subprocess.run(["inkscape", "--system-data-directory"], capture_output=True, text=True, timeout=60, check=False)
    folder = Path(asked.stdout.strip()) / "extensions"
    return folder if (folder / "inkex").is_dir() else None


def host_python() -> str:
    """The Python that the editor would find on a machine without our virtual environment."""
    system = Path("/usr/bin/python3")
    return str(system) if system.exists() else shutil.which("python3")


@contextlib.contextmanager
def virtual_display(width: int = 1600, height: int = 1200) -> Iterator[str]:
    """A display of our own that nobody sees, on a number that Xvfb finds free; yields its name."""
    reader, writer = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(writer), "-screen", "0", f"{width}x{height}x24", "-dpi", "96", "-nolisten", "tcp"],
        pass_fds=[writer],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        os.close(writer)
        with os.fdopen(reader) as answer:
            number = answer.readline().strip()
        if not number:
            raise RuntimeError("Xvfb did not start")
        yield f":{number}"
    finally:
        server.terminate()
        server.wait(timeout=10)


def editor_environment(display: str, profile: Path) -> dict:
    """The environment for an editor that knows nothing of this user, this session or our Python.

    Nothing is taken over but where programs are: no fonts, language, time zone, theme or home folder.
    """
    home = profile / "home"
    home.mkdir(parents=True, exist_ok=True)
    environment = {name: os.environ[name] for name in ("PATH", "XDG_DATA_DIRS", "TMPDIR") if name in os.environ}
    environment.update(
        HOME=str(home),
        XDG_RUNTIME_DIR=str(home),
        FONTCONFIG_FILE=str(fonts.configuration()),
        DISPLAY=display,
        INKSCAPE_PROFILE_DIR=str(profile),
        GDK_BACKEND="x11",
        LC_ALL="C.UTF-8",
        TZ="UTC",
        # No bus: another editor that runs on this machine would answer instead.
        DBUS_SESSION_BUS_ADDRESS="disabled:",
    )
    return environment


def lay_out_profile(profile: Path, preferences: Mapping[str, object], installed: Path | None = None) -> None:
    """Make a profile with our effects (or the folder ``installed``) and preferences of its extensions.

    ``EFFECT.ID.option`` is the preference that holds an option as if it had been typed in the dialog.
    """
    extensions = profile / "extensions" / "tiered-sleeve"
    if installed is not None:
        extensions.parent.mkdir(parents=True)
        extensions.symlink_to(installed, target_is_directory=True)
    else:
        extensions.mkdir(parents=True)
        for name in ("extension", "geometry"):
            (extensions / name).symlink_to(REPOSITORY / name, target_is_directory=True)
    values = " ".join(f"{name}={quoteattr(_stored(value))}" for name, value in preferences.items())
    (profile / "preferences.xml").write_text(_PREFERENCES.format(values=values), encoding="utf-8")


_PREFERENCES = """<inkscape version="1" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"
 xmlns:sodipodi="http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd">
 <group id="options"><group id="boot" enabled="0"/></group>
 <group id="theme" defaultGtkTheme="Adwaita" gtkTheme="Adwaita" preferDarkTheme="0" darkTheme="0"/>
 <group id="extensions" {values}/>
</inkscape>
"""


def action(effect: str) -> str:
    """The action that runs an effect; the editor knows no underscores in actions."""
    return effect.replace("_", "-")


def _stored(value: object) -> str:
    return str(int(value)) if isinstance(value, bool) else str(value)

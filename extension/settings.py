"""Her own settings, kept from one use to the next in one small file that she can read and change.

The file lies in Inkscape's user folder (Edit > Preferences > System > User config) and holds text as she
would type it, in sections:

    [printing]
    margin = 10 mm

Whoever uses a setting reads it like anything typed.  Nothing here needs the editor or inkex.
"""
from __future__ import annotations

import configparser
import os
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from extension.wording.kept import not_kept

FILE = "tiered-sleeve-settings.ini"

#: Where the client book that was used last stands.
BOOK_SECTION, BOOK_FILE = "client book", "file"

_HEADING = "# Settings of Tiered Sleeve. Change them here, or in the dialogs; delete the file to begin anew.\n\n"


class Settings(NamedTuple):
    """What the file holds, by section and name; ``problem`` is a sentence where it could not be read, else empty."""

    sections: Mapping[str, Mapping[str, str]]
    problem: str = ""

    def get(self, section: str, name: str, default: str) -> str:
        """Return a setting as typed, or ``default`` where there is none or an empty one."""
        return self.sections.get(section, {}).get(name, "") or default


def settings_file(platform: str = sys.platform, environment: Mapping[str, str] = os.environ) -> Path:
    """Return where the file is or would be: in the folder of the editor that runs us, else where it would be."""
    folder = environment.get("INKSCAPE_PROFILE_DIR")
    if folder:
        return Path(folder) / FILE
    home = Path(environment.get("HOME") or environment.get("USERPROFILE") or Path.home())
    if platform == "win32":
        return Path(environment.get("APPDATA") or home / "AppData" / "Roaming") / "inkscape" / FILE
    if platform == "darwin":
        return home / "Library/Application Support/org.inkscape.Inkscape/config/inkscape" / FILE
    return Path(environment.get("XDG_CONFIG_HOME") or home / ".config") / "inkscape" / FILE


def read_settings(file: Path | None = None) -> Settings:
    """Return the settings; a file that is absent holds none, and one that can't be read says so in ``problem``."""
    file = file or settings_file()
    parser = _parser()
    try:
        parser.read_string(file.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return Settings({})
    except (OSError, UnicodeDecodeError, configparser.Error) as problem:
        reason = str(problem).splitlines()[0] if str(problem) else type(problem).__name__
        return Settings({}, f"Your settings in {file} could not be read ({reason}), so the usual ones hold. Mend the file or delete it.")
    return Settings({section: dict(parser[section]) for section in parser.sections()})


class Kept:
    """One section of her settings: what she typed last, ``before``.

    ``problem`` is a sentence where it could not be read, or not be kept, else empty.
    """

    def __init__(self, section: str) -> None:
        settings = read_settings()
        self.section, self.problem = section, settings.problem
        self.before = settings.sections.get(section, {})

    def keep(self, now: Mapping[str, str]) -> None:
        """Keep these from now on, if they are not what is kept already."""
        if any(self.before.get(name) != text for name, text in now.items()):
            try:
                write_settings({self.section: now})
            except OSError as error:
                self.problem = not_kept(str(error.strerror))


def write_settings(changes: Mapping[str, Mapping[str, str]], file: Path | None = None) -> None:
    """Write ``changes`` (section to name to text) into the file, and leave all else in it as it was.

    The new file takes the old one's place in one step.  One that can't be read is kept beside it, with
    ``.unreadable`` behind its name.  Raises OSError, and then the old file stands.
    """
    file = file or settings_file()
    now = read_settings(file)
    parser = _parser()
    parser.read_dict(now.sections)
    parser.read_dict({section: {name: _one_row(text) for name, text in rows.items()} for section, rows in changes.items()})
    file.parent.mkdir(parents=True, exist_ok=True)
    if now.problem and file.is_file():
        file.replace(file.with_name(file.name + ".unreadable"))
    handle, unfinished = tempfile.mkstemp(prefix=f".{FILE}-", dir=file.parent)
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as stream:
            stream.write(_HEADING)
            parser.write(stream)
            stream.flush()
            os.fsync(stream.fileno())
        Path(unfinished).replace(file)
    except BaseException:
        Path(unfinished).unlink()
        raise


def _parser() -> configparser.ConfigParser:
    """Return a parser that takes every text as it stands, also one with a percent sign."""
    parser = configparser.ConfigParser(interpolation=None, default_section="\0", strict=False)
    parser.optionxform = str  # type: ignore[assignment, method-assign]  # names keep their capitals: the documented way
    return parser


def _one_row(text: str) -> str:
    return " ".join(str(text).split())

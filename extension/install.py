#!/usr/bin/env python3
"""Install Tiered Sleeve into Inkscape, remove it, or pack it into a zip file.

    python3 extension/install.py                  copy it into the user extensions folder
    python3 extension/install.py --target FOLDER  copy it into another extensions folder
    python3 extension/install.py --uninstall      remove it from there
    python3 extension/install.py --zip [FILE]     write a zip file to be unpacked in the extensions folder

The copy is made outside the extensions folder, where Inkscape does not look, and takes the place of an
earlier one only when it is whole.  Close and open Inkscape afterwards: it looks for extensions when it starts.
"""
from __future__ import annotations

import argparse
import errno
import os
import re
import shutil
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

_SOURCE = Path(__file__).resolve().parent.parent
if __name__ == "__main__":
    sys.path.insert(0, str(_SOURCE))

from extension import VERSION  # noqa: E402  run as a script it finds the package only now
from extension.guide_pages import guide_page  # noqa: E402

NAME = "tiered-sleeve"
#: The packages that must lie side by side.
PACKAGES = ("extension", "geometry")
#: What runs or is shown in a dialog; nothing else in the packages (caches, drawings, backups) is copied.
_SHIPPED = {".py", ".inx", ".png"}
#: The guide's pages and pictures lie in ``docs`` of the sources and go to this folder, as pages for a browser.
GUIDE = "guide"
LICENCE = "LICENCE.txt"
#: Zip files know no earlier time; with one time for all, the same files make the same zip file.
_ZIP_TIME = (1980, 1, 1, 0, 0, 0)
#: The folders in which an installer works; one that was interrupted leaves its own behind.
_WORKSHOP = re.compile(rf"\.{NAME}-[a-z0-9_]{{8}}")
#: A copy of ours is told by this file, with our id in it.
_TOLD_BY, _OUR_ID = Path("extension", "draft_sleeve.inx"), "org.tieredsleeve.draft_sleeve"
#: Inkscape looks into every folder within its extensions folder; deeper than this nobody unpacks anything.
_DEPTH = 4


class NotInstalled(Exception):
    """Nothing was changed; the message says why."""


class Copy(NamedTuple):
    """A copy of ours in some extensions folder."""

    folder: Path
    version: str

    @property
    def is_link(self) -> bool:
        return self.folder.is_symlink()


def shipped_files(source: Path = _SOURCE) -> dict[str, bytes]:
    """Return what is installed, by its name in the installed folder, in order."""
    here = {file: file.relative_to(source).as_posix() for package in PACKAGES for file in (source / package).rglob("*")}
    contents = {name: file.read_bytes() for file, name in here.items() if file.suffix in _SHIPPED and file.is_file()}
    if not contents:
        raise NotInstalled(f"nothing to install was found in {source}.")
    docs = source / "docs"
    for page in docs.glob("*.md"):
        contents[f"{GUIDE}/{page.stem}.html"] = guide_page(page.read_text(encoding="utf-8")).encode("utf-8")
    for picture in (docs / "pictures").glob("*.png"):
        contents[f"{GUIDE}/pictures/{picture.name}"] = picture.read_bytes()
    if (docs / LICENCE).is_file():
        contents[LICENCE] = (docs / LICENCE).read_bytes()
    return dict(sorted(contents.items()))


def user_extensions(platform: str = sys.platform, environment: Mapping[str, str] = os.environ) -> Path:
    """Return the folder in which Inkscape looks for the user's extensions."""
    return next(_data_directories(platform, environment)) / "extensions"


def install(extensions: Path, source: Path = _SOURCE) -> tuple[Path, Path | None]:
    """Copy the files into ``extensions``/tiered-sleeve, in place of an earlier copy.

    Returns that folder, and a folder beside ``extensions`` in which what was replaced is left where it can't
    be deleted.  Raises OSError or :class:`NotInstalled`; then an earlier copy still stands as it was.
    """
    contents = shipped_files(source)
    target = extensions / NAME
    extensions.mkdir(parents=True, exist_ok=True)
    workshop = _open_workshop(extensions)
    try:
        new = workshop / "new"
        for name, content in contents.items():
            (new / name).parent.mkdir(parents=True, exist_ok=True)
            (new / name).write_bytes(content)
        _swap(new, target, workshop / "old")
    except BaseException:
        shutil.rmtree(workshop, ignore_errors=True)
        raise
    return target, _close(workshop)


def uninstall(extensions: Path) -> tuple[bool, Path | None]:
    """Remove ``extensions``/tiered-sleeve; return whether there was one, and the folder left behind if any."""
    target = extensions / NAME
    if not extensions.is_dir():
        return False, None
    workshop = _open_workshop(extensions)
    was_there = os.path.lexists(target)
    try:
        if was_there:
            _move(target, workshop / "old")
    except BaseException:
        shutil.rmtree(workshop, ignore_errors=True)
        raise
    return was_there, _close(workshop)


def write_zip(file: Path, source: Path = _SOURCE) -> None:
    """Write the zip file; the same sources make the same bytes.

    Raises :class:`NotInstalled` where ``file`` is something else than an earlier zip file of ours.
    """
    contents = shipped_files(source)
    if os.path.lexists(file) and not _is_our_zip(file):
        raise NotInstalled(f"{file} is there already, and it is no zip file of Tiered Sleeve. Name another file, or move that one away.")
    file.parent.mkdir(parents=True, exist_ok=True)
    handle, unfinished = tempfile.mkstemp(prefix=f".{file.name}-", dir=file.parent)
    try:
        with os.fdopen(handle, "wb") as stream, zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
            for name, content in contents.items():
                entry = zipfile.ZipInfo(f"{NAME}/{name}", _ZIP_TIME)
                entry.compress_type = zipfile.ZIP_DEFLATED
                entry.create_system = 3  # Unix, on whatever system it is packed
                entry.external_attr = 0o644 << 16
                archive.writestr(entry, content)
        Path(unfinished).chmod(0o644)
        Path(unfinished).replace(file)
    except BaseException:
        Path(unfinished).unlink()
        raise


def other_copies(extensions: Path, elsewhere: Iterator[Path] | tuple[Path, ...] = ()) -> Iterator[Copy]:
    """Yield the copies of ours in ``extensions`` and in the folders ``elsewhere``, but for the installed one."""
    seen = {(extensions / NAME).resolve()} if not (extensions / NAME).is_symlink() else set()
    for folder in (extensions, *elsewhere):
        for copy in _copies_in(folder, _DEPTH):
            if copy.folder != extensions / NAME and copy.folder.resolve() not in seen:
                seen.add(copy.folder.resolve())
                yield copy


def _copies_in(folder: Path, depth: int) -> Iterator[Copy]:
    try:
        if _OUR_ID in (folder / _TOLD_BY).read_text(encoding="utf-8", errors="replace"):
            yield Copy(folder, _version_in(folder))
            return
    except OSError:
        pass
    try:
        inside = sorted(entry for entry in folder.iterdir() if entry.is_dir()) if depth else []
    except OSError:
        return
    for entry in inside:
        yield from _copies_in(entry, depth - 1)


def _version_in(folder: Path) -> str:
    try:
        found = re.search(r'^VERSION = "([^"]+)"', (folder / "extension" / "__init__.py").read_text(encoding="utf-8"), re.MULTILINE)
    except (OSError, UnicodeDecodeError):
        found = None
    return found[1] if found else "unknown"


def _is_our_zip(file: Path) -> bool:
    try:
        with zipfile.ZipFile(file) as archive:
            return all(name.startswith(f"{NAME}/") for name in archive.namelist())
    except (OSError, zipfile.BadZipFile):
        return False


def _open_workshop(extensions: Path) -> Path:
    """Return an empty folder on the same disk outside ``extensions``; what interrupted installers left is removed.

    An earlier version worked inside the extensions folder, where Inkscape took what it left for a copy.
    """
    outside = extensions.resolve().parent
    for folder in (extensions, outside):
        for left in folder.iterdir():
            if _WORKSHOP.fullmatch(left.name) and left.is_dir() and not left.is_symlink():
                shutil.rmtree(left, ignore_errors=True)
    try:
        return Path(tempfile.mkdtemp(prefix=f".{NAME}-", dir=outside))
    except PermissionError as problem:
        raise NotInstalled(f"the copy is made in {outside}, beside the extensions folder, and nothing may be written there.") from problem


def _close(workshop: Path) -> Path | None:
    """Delete a workshop and return None, or return it where something in it can't be deleted."""
    shutil.rmtree(workshop, ignore_errors=True)
    return workshop if workshop.exists() else None


def _swap(new: Path, target: Path, old: Path) -> None:
    """Let ``new`` take the place of ``target``; what stood there goes to ``old``, and back if that fails."""
    had_one = os.path.lexists(target)
    if had_one:
        _move(target, old)
    try:
        _move(new, target)
    except BaseException:
        if had_one:
            _move(old, target)
        raise


def _move(before: Path, after: Path) -> None:
    try:
        before.replace(after)
    except OSError as problem:
        if problem.errno != errno.EXDEV:
            raise
        raise NotInstalled(
            f"{before} and {after} lie on different disks. Unpack the zip file in the extensions folder instead (--zip)."
        ) from problem


def _data_directories(platform: str, environment: Mapping[str, str]) -> Iterator[Path]:
    """Inkscape's user data directory, the surest first."""
    asked = _ask_the_editor(environment)
    if asked:
        yield asked
    home = Path(environment.get("HOME") or environment.get("USERPROFILE") or Path.home())
    if platform == "win32":
        yield Path(environment.get("APPDATA") or home / "AppData" / "Roaming") / "inkscape"
    elif platform == "darwin":
        yield home / "Library/Application Support/org.inkscape.Inkscape/config/inkscape"
    else:
        for confined in (home / ".var/app/org.inkscape.Inkscape/config/inkscape", home / "snap/inkscape/current/.config/inkscape"):
            if confined.parent.parent.is_dir():
                yield confined
        yield Path(environment.get("XDG_CONFIG_HOME") or home / ".config") / "inkscape"


def _ask_the_editor(environment: Mapping[str, str]) -> Path | None:
    """What Inkscape itself says, where it can be called by name."""
    program = shutil.which("inkscape", path=environment.get("PATH", ""))
    if program is None:
        return None
    try:
        asked = subprocess.run(
            [program, "--user-data-directory"], env=dict(environment), capture_output=True, text=True, timeout=60, check=False
        )
    except (OSError, subprocess.SubprocessError):
        return None
    answer = asked.stdout.strip().splitlines()
    return Path(answer[-1]) if answer and Path(answer[-1]).is_absolute() else None


def _named(text: str) -> Path:
    """Return the path that was typed; an empty one would be the folder in which she stands."""
    if not text.strip():
        raise argparse.ArgumentTypeError("nothing was named; write the name of a folder or file behind it")
    return Path(text).expanduser()


def _asked(arguments: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--target", type=_named, metavar="FOLDER", help="an extensions folder; default: that of your Inkscape")
    task = parser.add_mutually_exclusive_group()
    task.add_argument("--uninstall", action="store_true", help="remove it")
    task.add_argument(
        "--zip", type=_named, nargs="?", const=Path(f"{NAME}-{VERSION}.zip"), metavar="FILE",
        help=f"write a zip file instead; default: {NAME}-{VERSION}.zip in this folder",
    )  # fmt: skip
    return parser.parse_args(arguments)


def _other_places() -> Iterator[Path]:
    """Yield the extensions folders of every Inkscape that may be on this machine."""
    for directory in _data_directories(sys.platform, os.environ):
        yield directory / "extensions"


def _name_others(extensions: Path) -> None:
    """Say which further copies there are, since Inkscape shows only one of two in the same folder."""
    for copy in other_copies(extensions, tuple(_other_places())):
        what = f"a link to {copy.folder.resolve()}" if copy.is_link else "another copy"
        if extensions in copy.folder.parents:
            print(f"Mind: {copy.folder} is {what}, version {copy.version}. Inkscape shows only one of them: take one away.")
        else:
            print(f"By the way: {copy.folder} is {what}, version {copy.version}, for another Inkscape. It was left alone.")


def main(arguments: list[str] | None = None) -> int:
    """Do what the command line asks and say what was done."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):  # a terminal that can't show the path of a folder shows it in escapes
            stream.reconfigure(errors="backslashreplace")
    asked = _asked(arguments)
    try:
        if asked.zip:
            file = asked.zip / f"{NAME}-{VERSION}.zip" if asked.zip.is_dir() else asked.zip
            write_zip(file)
            print(f"Wrote {file}. Unpack it in Inkscape's user extensions folder, then open Inkscape anew.")
            return 0
        extensions = asked.target or user_extensions()
        if asked.uninstall:
            was_there, left = uninstall(extensions)
            print(f"Removed {extensions / NAME}." if was_there else f"There is no {extensions / NAME} to remove.")
        else:
            target, left = install(extensions)
            print(f"Installed version {VERSION} into {target}. Open Inkscape anew: Extensions > Tiered Sleeve.")
        if left:
            print(f"What stood there before could not be deleted; it is in {left} now, where Inkscape does not look.")
        _name_others(extensions)
    except (OSError, NotInstalled) as problem:
        print(f"Nothing was changed: {problem}", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())

#!/usr/bin/env python3
"""Install Tiered Sleeve into Inkscape, remove it, or pack it into a zip file.

    python3 extension/install.py                  copy it into the user extensions folder
    python3 extension/install.py --target FOLDER  copy it into another extensions folder
    python3 extension/install.py --uninstall      remove it from there
    python3 extension/install.py --zip FILE       write a zip file to be unpacked in the extensions folder

The copy is made beside the old one and takes its place only when it is whole.  Close and open Inkscape
afterwards: it looks for extensions when it starts.
"""
from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Iterator, Mapping
from pathlib import Path

NAME = "tiered-sleeve"
#: The packages that must lie side by side.
PACKAGES = ("extension", "geometry")
#: What runs or is read; nothing else in the packages (caches, drawings, backups) is copied.
_SHIPPED = {".py", ".inx"}
#: Zip files know no earlier time; with one time for all, the same files make the same zip file.
_ZIP_TIME = (1980, 1, 1, 0, 0, 0)
_SOURCE = Path(__file__).resolve().parent.parent


class NotInstalled(Exception):
    """Nothing was changed; the message says why."""


def shipped_files(source: Path = _SOURCE) -> list[Path]:
    """Return the files to install, relative to ``source``, in order."""
    files = [file for package in PACKAGES for file in (source / package).rglob("*") if file.suffix in _SHIPPED]
    if not files:
        raise NotInstalled(f"Nothing to install was found in {source}.")
    return sorted(file.relative_to(source) for file in files if file.is_file())


def user_extensions(platform: str = sys.platform, environment: Mapping[str, str] = os.environ) -> Path:
    """Return the folder in which Inkscape looks for the user's extensions."""
    return next(_data_directories(platform, environment)) / "extensions"


def install(extensions: Path, source: Path = _SOURCE) -> Path:
    """Copy the files into ``extensions``/tiered-sleeve, in place of an earlier copy, and return that folder.

    Raises OSError or :class:`NotInstalled`; then an earlier copy still stands as it was.
    """
    files = shipped_files(source)
    target = extensions / NAME
    extensions.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=f".{NAME}-", dir=extensions) as workshop:
        new, old = Path(workshop, "new"), Path(workshop, "old")
        for file in files:
            (new / file).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(source / file, new / file)
        _swap(new, target, old)
    return target


def uninstall(extensions: Path) -> bool:
    """Remove ``extensions``/tiered-sleeve and return whether there was one."""
    target = extensions / NAME
    if not os.path.lexists(target):
        return False
    with tempfile.TemporaryDirectory(prefix=f".{NAME}-", dir=extensions) as workshop:
        os.replace(target, Path(workshop, "old"))
    return True


def write_zip(file: Path, source: Path = _SOURCE) -> None:
    """Write the zip file; the same sources make the same bytes."""
    files = shipped_files(source)
    file.parent.mkdir(parents=True, exist_ok=True)
    handle, unfinished = tempfile.mkstemp(prefix=f".{file.name}-", dir=file.parent)
    try:
        with os.fdopen(handle, "wb") as stream, zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
            for shipped in files:
                entry = zipfile.ZipInfo(f"{NAME}/{shipped.as_posix()}", _ZIP_TIME)
                entry.compress_type = zipfile.ZIP_DEFLATED
                entry.create_system = 3  # Unix, on whatever system it is packed
                entry.external_attr = 0o644 << 16
                archive.writestr(entry, (source / shipped).read_bytes())
        os.chmod(unfinished, 0o644)
        os.replace(unfinished, file)
    except BaseException:
        os.unlink(unfinished)
        raise


def _swap(new: Path, target: Path, old: Path) -> None:
    """Let ``new`` take the place of ``target``; what stood there goes to ``old``, and back if that fails."""
    had_one = os.path.lexists(target)
    if had_one:
        os.replace(target, old)
    try:
        os.replace(new, target)
    except BaseException:
        if had_one:
            os.replace(old, target)
        raise


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
            [program, "--user-data-directory"], env=dict(environment), capture_output=True, text=True, timeout=60
        )
    except (OSError, subprocess.SubprocessError):
        return None
    answer = asked.stdout.strip().splitlines()
    return Path(answer[-1]) if answer and os.path.isabs(answer[-1]) else None


def main(arguments: list[str] | None = None) -> int:
    """Do what the command line asks and say what was done."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--target", type=Path, metavar="FOLDER", help="an extensions folder; default: that of your Inkscape")
    task = parser.add_mutually_exclusive_group()
    task.add_argument("--uninstall", action="store_true", help="remove it")
    task.add_argument("--zip", type=Path, metavar="FILE", help="write a zip file instead")
    asked = parser.parse_args(arguments)
    try:
        if asked.zip:
            write_zip(asked.zip)
            print(f"Wrote {asked.zip}. Unpack it in Inkscape's user extensions folder, then open Inkscape anew.")
            return 0
        extensions = asked.target or user_extensions()
        if asked.uninstall:
            was_there = uninstall(extensions)
            print(f"Removed {extensions / NAME}." if was_there else f"There is no {extensions / NAME} to remove.")
        else:
            print(f"Installed into {install(extensions)}. Open Inkscape anew: Extensions > Tiered Sleeve.")
    except (OSError, NotInstalled) as problem:
        print(f"Nothing was changed: {problem}", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())

"""The editor finds and runs what was installed or unpacked, however deep, and the editor's own manager unpacks it too."""
from __future__ import annotations

import subprocess
import zipfile
from pathlib import Path

import pytest

from extension import VERSION
from extension.install import NAME, install, write_zip
from tests.host import host_extensions, host_python

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"/>'

#: The editor's own extension manager, without its window and its network.
MANAGER = """
import os, sys
from unittest.mock import MagicMock
os.environ["INKSCAPE_PROFILE_DIR"] = sys.argv[1]
host = sys.argv[2]
sys.path[:0] = [host, host + "/inkman", host + "/inkman/inkman"]
for name in ("requests", "cachecontrol", "cachecontrol.caches", "cachecontrol.caches.file_cache", "cachecontrol.heuristics"):
    sys.modules[name] = MagicMock()
sys.modules["appdirs"] = MagicMock(user_cache_dir=lambda *_: sys.argv[1] + "/cache")
from inkman.target import ExtensionsTarget
target = ExtensionsTarget("extension", "Extensions", "extensions", True, filters=("*.inx",))
target._install(sys.argv[3], {})
"""


def unpack(zip_file: Path, folder: Path) -> Path:
    zipfile.ZipFile(zip_file).extractall(folder)
    return folder


def by_the_manager(zip_file: Path, profile: Path) -> Path:
    words = [host_python(), "-c", MANAGER, profile, host_extensions(), zip_file]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return profile / "extensions"


@pytest.mark.parametrize("way", ["command", "unzip", "unzip into a folder of its own", "extension manager"])
def test_an_installed_copy_drafts_a_sleeve(editor, tmp_path, way):
    zip_file, extensions = tmp_path / f"{NAME}-{VERSION}.zip", tmp_path / "profile" / "extensions"
    extensions.mkdir(parents=True)
    write_zip(zip_file)
    if way == "command":
        install(extensions)
    elif way == "unzip":
        unpack(zip_file, extensions)
    elif way == "unzip into a folder of its own":
        unpack(zip_file, extensions / zip_file.stem)
    else:
        by_the_manager(zip_file, extensions.parent)
    installed = [file for file in extensions.rglob("draft_sleeve.inx") if file.is_file()]
    assert len(installed) == 1
    done = editor.run("org.tieredsleeve.draft_sleeve", SVG, {"label": "Zoë & 袖"}, extensions=extensions)
    assert not done.refused, done.messages
    assert "Zoë &amp; 袖" in done.svg
    assert 'inkscape:label="Seam line"' in done.svg

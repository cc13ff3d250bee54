"""Where the editor can't run us she is told in one sentence what to install, and nothing else."""
from __future__ import annotations

import os
import re
import subprocess
import sys
from types import SimpleNamespace

import pytest

from extension.host_check import what_is_missing
from tests.host import REPOSITORY

COMMANDS = sorted(file.stem for file in (REPOSITORY / "extension").glob("*.inx") if file.stem != "open_guide")


def loads(**modules):
    def load(name):
        if modules.get(name, SimpleNamespace(Page=1)) is None:
            raise ImportError(name)
        return modules.get(name, SimpleNamespace(Page=1))

    return load


def test_nothing_is_missing_here():
    assert what_is_missing() is None


@pytest.mark.parametrize("module", ["numpy", "lxml"])
@pytest.mark.parametrize(
    ("platform", "environment", "advice"),
    [
        ("linux", {}, "sudo apt install python3-{}"),
        ("linux", {"FLATPAK_ID": "org.inkscape.Inkscape"}, "install Inkscape anew"),
        ("linux", {"SNAP": "/snap/inkscape/1"}, "install Inkscape anew"),
        ("linux", {"APPIMAGE": "/apps/Inkscape.AppImage"}, "install Inkscape anew"),
        ("win32", {}, "install Inkscape anew"),
        ("darwin", {}, "install Inkscape anew"),
    ],
)
def test_a_missing_module_is_named_with_the_way_to_get_it(module, platform, environment, advice):
    said = what_is_missing(platform, environment, load=loads(**{module: None}))
    assert f"needs {module}" in said and advice.format(module) in said and "\n" not in said


def test_an_old_editor_or_python_is_named_with_the_version_to_get():
    assert "older than 1.2" in what_is_missing(load=loads(inkex=SimpleNamespace()))
    assert "runs 3.8" in what_is_missing(python=(3, 8, 10), load=loads())
    assert "can't load" in what_is_missing(load=loads(inkex=None))


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("module", ["numpy", "lxml"])
def test_each_command_says_it_without_a_traceback(tmp_path, command, module):
    (tmp_path / f"{module}.py").write_text(f"raise ImportError('{module}')\n")
    environment = {**os.environ, "PYTHONPATH": str(tmp_path)}
    script = REPOSITORY / "extension" / f"{command}.py"
    ran = subprocess.run([sys.executable, script, os.devnull], capture_output=True, text=True, env=environment, check=False)
    assert ran.returncode != 0 and ran.stdout == ""
    assert re.fullmatch(rf"Tiered Sleeve needs {module}, [^\n]+\n", ran.stderr)

"""Installing: whole or not at all, and nothing but what runs."""
from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from extension import install as installing
from extension.install import NAME, NotInstalled, install, shipped_files, uninstall, user_extensions, write_zip
from tests.host import REPOSITORY


@pytest.fixture
def source(tmp_path: Path) -> Path:
    """A small repository with what must be copied and what must not."""
    root = tmp_path / "repository"
    for name in (
        "extension/draft.inx", "extension/draft.py", "extension/__init__.py", "geometry/curves.py",
        "extension/__pycache__/draft.cpython-311.pyc", "extension/demo.svg", "extension/draft.py~",
        "tests/test_draft.py", "README.md", ".git/config.py",
    ):  # fmt: skip
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(name, encoding="utf-8")
    return root


def files_in(folder: Path) -> list:
    return sorted(file.relative_to(folder).as_posix() for file in folder.rglob("*") if file.is_file())


SHIPPED = ["extension/__init__.py", "extension/draft.inx", "extension/draft.py", "geometry/curves.py"]


def test_only_what_runs_is_copied(source, tmp_path):
    extensions = tmp_path / "made" / "for it" / "extensions"
    assert install(extensions, source) == extensions / NAME
    assert files_in(extensions) == [f"{NAME}/{name}" for name in SHIPPED]
    assert (extensions / NAME / "geometry/curves.py").read_text() == "geometry/curves.py"


def test_an_earlier_copy_is_replaced_whole(source, tmp_path):
    install(tmp_path, source)
    (source / "extension/draft.py").unlink()
    (source / "extension/new.py").write_text("new")
    (tmp_path / "hers.inx").write_text("hers")
    install(tmp_path, source)
    assert files_in(tmp_path / NAME) == ["extension/__init__.py", "extension/draft.inx", "extension/new.py", "geometry/curves.py"]
    assert (tmp_path / "hers.inx").read_text() == "hers"


@pytest.mark.parametrize("broken", ["copyfile", "second replace"])
def test_what_goes_wrong_leaves_the_earlier_copy(source, tmp_path, monkeypatch, broken):
    extensions = tmp_path / "extensions"
    install(extensions, source)
    (source / "extension/draft.py").write_text("newer")
    replace, calls = os.replace, []

    def fail(*_):
        raise OSError("the disk is full")

    def fail_second(before, after):
        calls.append(after)
        return fail() if len(calls) == 2 else replace(before, after)

    if broken == "copyfile":
        monkeypatch.setattr(installing.shutil, "copyfile", fail)
    else:
        monkeypatch.setattr(installing.os, "replace", fail_second)
    with pytest.raises(OSError, match="the disk is full"):
        install(extensions, source)
    assert [one.name for one in extensions.iterdir()] == [NAME]
    assert (extensions / NAME / "extension/draft.py").read_text() == "extension/draft.py"


def test_a_link_to_the_sources_is_replaced_and_the_sources_stay(source, tmp_path):
    extensions = tmp_path / "extensions"
    extensions.mkdir()
    (extensions / NAME).symlink_to(source, target_is_directory=True)
    install(extensions, source)
    assert not (extensions / NAME).is_symlink()
    assert (source / "README.md").exists() and files_in(extensions / NAME) == SHIPPED


def test_nothing_to_install_is_said(tmp_path):
    with pytest.raises(NotInstalled):
        install(tmp_path / "extensions", tmp_path)
    assert not (tmp_path / "extensions").exists()


def test_uninstalling_takes_away_all_of_it_and_nothing_else(source, tmp_path):
    extensions = tmp_path / "extensions"
    install(extensions, source)
    (extensions / "hers.inx").write_text("hers")
    assert uninstall(extensions) is True
    assert [one.name for one in extensions.iterdir()] == ["hers.inx"]
    assert uninstall(extensions) is False


def test_the_zip_file_is_the_same_whenever_it_is_made(source, tmp_path):
    first, second = tmp_path / "a" / "sleeve.zip", tmp_path / "b.zip"
    write_zip(first, source)
    for file in source.rglob("*"):
        os.utime(file, (1e9, 1e9))
    write_zip(second, source)
    assert first.read_bytes() == second.read_bytes()
    assert zipfile.ZipFile(first).testzip() is None
    assert zipfile.ZipFile(first).namelist() == [f"{NAME}/{name}" for name in SHIPPED]


def test_a_zip_file_that_fails_is_not_left_half_written(source, tmp_path, monkeypatch):
    target = tmp_path / "out" / "sleeve.zip"
    write_zip(target, source)
    before = target.read_bytes()
    monkeypatch.setattr(zipfile.ZipFile, "writestr", lambda *_: (_ for _ in ()).throw(OSError("the disk is full")))
    with pytest.raises(OSError, match="the disk is full"):
        write_zip(target, source)
    assert [one.name for one in target.parent.iterdir()] == ["sleeve.zip"] and target.read_bytes() == before


@pytest.mark.parametrize(
    ("platform", "made", "environment", "expected"),
    [
        ("linux", [], {}, "HOME/.config/inkscape/extensions"),
        ("linux", [], {"XDG_CONFIG_HOME": "HOME/cfg"}, "HOME/cfg/inkscape/extensions"),
        ("linux", ["snap/inkscape/current/.config"], {}, "HOME/snap/inkscape/current/.config/inkscape/extensions"),
        (
            "linux",
            [".var/app/org.inkscape.Inkscape/config"],
            {},
            "HOME/.var/app/org.inkscape.Inkscape/config/inkscape/extensions",
        ),
        ("darwin", [], {}, "HOME/Library/Application Support/org.inkscape.Inkscape/config/inkscape/extensions"),
        ("win32", [], {"APPDATA": "HOME/Roaming"}, "HOME/Roaming/inkscape/extensions"),
        ("win32", [], {}, "HOME/AppData/Roaming/inkscape/extensions"),
    ],
)
def test_the_user_extensions_folder_of_each_platform(tmp_path, platform, made, environment, expected):
    for folder in made:
        (tmp_path / folder).mkdir(parents=True)
    here = {name: value.replace("HOME", str(tmp_path)) for name, value in environment.items()}
    found = user_extensions(platform, {"HOME": str(tmp_path), "PATH": "", **here})
    assert found.as_posix() == expected.replace("HOME", tmp_path.as_posix())


@pytest.mark.skipif(sys.platform == "win32", reason="the stand-in for the editor is a shell script")
@pytest.mark.parametrize(("answer", "found"), [("echo /some/where", "/some/where"), ("exit 1", "HOME/.config/inkscape")])
def test_the_editor_is_asked_first(tmp_path, answer, found):
    program = tmp_path / "bin" / "inkscape"
    program.parent.mkdir()
    program.write_text(f"#!/bin/sh\n{answer}\n")
    program.chmod(0o755)
    asked = user_extensions("linux", {"HOME": str(tmp_path), "PATH": f"{program.parent}:{os.defpath}"})
    assert str(asked) == found.replace("HOME", str(tmp_path)) + "/extensions"


def test_the_command_does_what_it_says(tmp_path):
    def run(*words):
        return subprocess.run(
            [sys.executable, REPOSITORY / "extension" / "install.py", *words], capture_output=True, text=True, cwd=tmp_path, check=False
        )

    extensions = tmp_path / "extensions"
    done = run("--target", extensions)
    assert done.returncode == 0 and str(extensions / NAME) in done.stdout
    assert files_in(extensions / NAME) == [file.as_posix() for file in shipped_files()]
    assert run("--zip", "sleeve.zip").returncode == 0
    assert zipfile.ZipFile(tmp_path / "sleeve.zip").namelist() == [f"{NAME}/{f.as_posix()}" for f in shipped_files()]
    assert run("--uninstall", "--target", extensions).returncode == 0 and [one.name for one in extensions.iterdir()] == []
    refused = run("--target", tmp_path / "sleeve.zip")
    assert refused.returncode == 1 and "Nothing was changed" in refused.stderr and refused.stdout == ""

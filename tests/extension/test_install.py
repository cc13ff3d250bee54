"""Installing: whole or not at all, and nothing but what runs."""
from __future__ import annotations

import os
import re
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from extension import VERSION
from extension import install as installing
from extension.install import NAME, NotInstalled, install, other_copies, shipped_files, uninstall, user_extensions, write_zip
from tests.host import REPOSITORY


@pytest.fixture
def source(tmp_path: Path) -> Path:
    """A small repository with what must be copied and what must not."""
    root = tmp_path / "repository"
    for name in (
        "extension/draft.inx", "extension/draft.py", "extension/__init__.py", "geometry/curves.py",
        "extension/__pycache__/draft.cpython-311.pyc", "extension/demo.svg", "extension/draft.py~",
        "tests/test_draft.py", "README.md", ".git/config.py", "extension/arm.png", "docs/pictures_of_it.py",
        "docs/pictures/sleeve.png", "docs/LICENCE.txt",
    ):  # fmt: skip
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(name, encoding="utf-8")
    (root / "docs/guide.md").write_text("# Guide\n\nSee [printing](printing.md).\n", encoding="utf-8")
    return root


def files_in(folder: Path) -> list:
    return sorted(file.relative_to(folder).as_posix() for file in folder.rglob("*") if file.is_file())


def names_in(folder: Path) -> list:
    return sorted(each.name for each in folder.iterdir())


SHIPPED = [
    "LICENCE.txt", "extension/__init__.py", "extension/arm.png", "extension/draft.inx", "extension/draft.py", "geometry/curves.py",
    "guide/guide.html", "guide/pictures/sleeve.png",
]  # fmt: skip


def test_only_what_runs_is_copied(source, tmp_path):
    extensions = tmp_path / "made" / "for it" / "extensions"
    assert install(extensions, source) == (extensions / NAME, None)
    assert names_in(extensions.parent) == ["extensions"]
    assert files_in(extensions) == [f"{NAME}/{name}" for name in SHIPPED]
    assert (extensions / NAME / "geometry/curves.py").read_text() == "geometry/curves.py"


def test_an_earlier_copy_is_replaced_whole(source, tmp_path):
    install(tmp_path, source)
    (source / "extension/draft.py").unlink()
    (source / "extension/new.py").write_text("new")
    (tmp_path / "hers.inx").write_text("hers")
    install(tmp_path, source)
    expected = sorted({*SHIPPED, "extension/new.py"} - {"extension/draft.py"})
    assert files_in(tmp_path / NAME) == expected
    assert (tmp_path / "hers.inx").read_text() == "hers"


@pytest.mark.parametrize("broken", ["write_bytes", "second replace"])
def test_what_goes_wrong_leaves_the_earlier_copy(source, tmp_path, monkeypatch, broken):
    extensions = tmp_path / "there" / "extensions"
    install(extensions, source)
    (source / "extension/draft.py").write_text("newer")
    replace, calls = Path.replace, []

    def fail(*_):
        raise OSError("the disk is full")

    def fail_second(before, after):
        calls.append(after)
        return fail() if len(calls) == 2 else replace(before, after)

    monkeypatch.setattr(Path, *(("write_bytes", fail) if broken == "write_bytes" else ("replace", fail_second)))
    with pytest.raises(OSError, match="the disk is full"):
        install(extensions, source)
    assert names_in(extensions) == [NAME] and names_in(extensions.parent) == ["extensions"]
    assert (extensions / NAME / "extension/draft.py").read_text() == "extension/draft.py"


# Runs the installer and kills it, without a word, at the n-th thing that it does to the disk.
KILLED = """
import itertools, os, sys
from pathlib import Path
from extension.install import install
left = itertools.count(int(sys.argv[3]), -1)
def dying(does):
    def step(*words, **options):
        if next(left) <= 0:
            os.write(1, b"killed")
            os._exit(9)
        return does(*words, **options)
    return step
for owner, name in ((Path, "mkdir"), (Path, "write_bytes"), (Path, "replace"), (os, "unlink"), (os, "rmdir"), (os, "mkdir")):
    setattr(owner, name, dying(getattr(owner, name)))
install(Path(sys.argv[1]), Path(sys.argv[2]))
"""


def test_an_installer_killed_anywhere_leaves_nothing_that_the_editor_finds_and_the_next_run_is_clean(source, tmp_path):
    there = tmp_path / "there"
    extensions = there / "extensions"
    install(extensions, source)
    (source / "extension/draft.py").write_text("newer")
    for step in range(1000):
        words = [sys.executable, "-c", KILLED, extensions, source, str(step)]
        ran = subprocess.run(words, capture_output=True, text=True, cwd=REPOSITORY, check=False)
        found = [file.relative_to(extensions).as_posix() for file in extensions.rglob("*.inx")]
        assert found in ([], [f"{NAME}/extension/draft.inx"]), f"killed at step {step}"
        if found:
            assert files_in(extensions / NAME) == SHIPPED
        if not ran.stdout:
            break
    assert ran.returncode == 0, ran.stderr
    assert step > len(SHIPPED)
    assert names_in(there) == ["extensions"] and names_in(extensions) == [NAME]
    assert (extensions / NAME / "extension/draft.py").read_text() == "newer"


def test_what_an_earlier_version_left_in_the_extensions_folder_is_cleared(source, tmp_path):
    extensions = tmp_path / "there" / "extensions"
    kept = [".tiered-sleeve-dev", "tiered-sleeve-abcd1234", ".tiered-sleeve-abcd12345"]
    for name in (".tiered-sleeve-abcd123_", *kept):
        (extensions / name / "new/extension").mkdir(parents=True)
        (extensions / name / "new/extension/draft.inx").write_text("half")
    install(extensions, source)
    assert names_in(extensions) == sorted([NAME, *kept])
    (extensions / ".tiered-sleeve-abcd123_").mkdir()
    assert uninstall(extensions) == (True, None)
    assert names_in(extensions) == sorted(kept)


def test_what_can_not_be_deleted_is_named_and_the_new_copy_stands(source, tmp_path, monkeypatch, capsys):
    extensions = tmp_path / "there" / "extensions"
    install(extensions, source)
    monkeypatch.setattr(installing.shutil, "rmtree", lambda *_, **__: None)
    target, left = install(extensions, source)
    assert files_in(target) == SHIPPED and left.parent == extensions.parent and (left / "old").is_dir()
    assert installing.main(["--target", str(extensions)]) == 0
    said = capsys.readouterr()
    assert "could not be deleted" in said.out and "Nothing was changed" not in said.out + said.err


def test_other_copies_are_named_with_their_versions(tmp_path):
    extensions, elsewhere = tmp_path / "a" / "extensions", tmp_path / "b" / "extensions"
    install(extensions)
    install(elsewhere)
    (elsewhere / NAME / "extension/__init__.py").write_text('VERSION = "0.0.9"\n')
    (extensions / "by hand" / "unzipped").mkdir(parents=True)
    (elsewhere / NAME).rename(extensions / "by hand" / "unzipped" / NAME)
    (extensions / "tiered-sleeve-dev").symlink_to(REPOSITORY, target_is_directory=True)
    install(elsewhere)
    found = {copy.folder: (copy.version, copy.is_link) for copy in other_copies(extensions, (elsewhere, extensions))}
    assert found == {
        extensions / "by hand/unzipped" / NAME: ("0.0.9", False),
        extensions / "tiered-sleeve-dev": (VERSION, True),
        elsewhere / NAME: (VERSION, False),
    }


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
    assert uninstall(extensions) == (True, None)
    assert names_in(extensions) == ["hers.inx"]
    assert uninstall(extensions) == (False, None)
    assert uninstall(tmp_path / "nowhere") == (False, None)


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
    assert names_in(target.parent) == ["sleeve.zip"] and target.read_bytes() == before


@pytest.mark.parametrize("theirs", [b"her letters", b"", "zip"])
def test_a_zip_file_takes_the_place_of_nothing_but_one_of_ours(source, tmp_path, theirs):
    file = tmp_path / "letters.zip"
    if theirs == "zip":
        with zipfile.ZipFile(file, "w") as archive:
            archive.writestr("letters.txt", "her letters")
    else:
        file.write_bytes(theirs)
    before = file.read_bytes()
    with pytest.raises(NotInstalled, match=r"letters\.zip is there already"):
        write_zip(file, source)
    assert file.read_bytes() == before and not list(tmp_path.glob(".letters*"))


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
        environment = {**os.environ, "HOME": str(tmp_path), "PATH": os.defpath}
        words = [sys.executable, REPOSITORY / "extension" / "install.py", *words]
        return subprocess.run(words, capture_output=True, text=True, cwd=tmp_path, env=environment, check=False)

    extensions, zip_file = tmp_path / "there" / "extensions", f"{NAME}-{VERSION}.zip"
    done = run("--target", extensions)
    assert done.returncode == 0 and str(extensions / NAME) in done.stdout and VERSION in done.stdout
    assert files_in(extensions / NAME) == sorted(shipped_files())
    assert run("--zip").returncode == 0
    assert zipfile.ZipFile(tmp_path / zip_file).namelist() == [f"{NAME}/{name}" for name in shipped_files()]
    assert run("--zip", "there").returncode == 0 and (tmp_path / "there" / zip_file).is_file()
    (extensions / "tiered-sleeve-dev").symlink_to(REPOSITORY, target_is_directory=True)
    assert f"tiered-sleeve-dev is a link to {REPOSITORY}" in run("--target", extensions).stdout
    assert run("--uninstall", "--target", extensions).returncode == 0 and names_in(extensions) == ["tiered-sleeve-dev"]
    refused = run("--target", tmp_path / zip_file)
    assert refused.returncode == 1 and "Nothing was changed" in refused.stderr and refused.stdout == ""
    for nothing in (["--target", ""], ["--zip", " "]):
        before = names_in(tmp_path)
        refused = run(*nothing)
        assert refused.returncode == 2 and "nothing was named" in refused.stderr and names_in(tmp_path) == before


def test_a_terminal_that_can_not_show_the_path_is_told_all_the_same(tmp_path):
    words = [sys.executable, REPOSITORY / "extension" / "install.py", "--target", tmp_path / "袖" / "extensions"]
    environment = {**os.environ, "HOME": str(tmp_path), "PYTHONIOENCODING": "ascii"}
    done = subprocess.run(words, capture_output=True, text=True, env=environment, check=False)
    assert done.returncode == 0 and done.stderr == "" and r"\u8896" in done.stdout


def test_the_versions_agree():
    said = re.search(r'^version = "(.+)"$', (REPOSITORY / "pyproject.toml").read_text(encoding="utf-8"), re.MULTILINE)
    assert said[1] == VERSION

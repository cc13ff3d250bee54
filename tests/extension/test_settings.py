"""Her settings: kept, readable, and never the reason that a command fails."""
from __future__ import annotations

import configparser
from pathlib import Path

import pytest

from extension.settings import FILE, Settings, read_settings, settings_file, write_settings


def test_a_missing_file_holds_nothing_and_is_no_problem(tmp_path):
    assert read_settings(tmp_path / "none.ini") == Settings({}, "")
    assert read_settings(tmp_path / "none.ini").get("printing", "margin", "10 mm") == "10 mm"


@pytest.mark.parametrize("text", ["10 mm", "100 %", "13 3/8 in", "Zoë & 袖", "a = b; c # d", "  spaced \n rows  ", ""])
def test_what_is_written_is_read_again_and_can_be_read_by_others(tmp_path, text):
    file = tmp_path / "new folder" / FILE
    write_settings({"printing": {"margin": text}}, file)
    assert read_settings(file).get("printing", "margin", "") == " ".join(text.split())
    other = configparser.RawConfigParser()
    other.read(file, encoding="utf-8")
    assert other["printing"]["margin"] == " ".join(text.split())
    assert [each.name for each in file.parent.iterdir()] == [FILE]


def test_a_change_leaves_the_rest_as_it_was(tmp_path):
    file = tmp_path / FILE
    write_settings({"printing": {"margin": "10 mm"}, "A later version": {"Kept": "yes"}}, file)
    write_settings({"printing": {"overlap": "12 mm"}}, file)
    assert read_settings(file).sections == {"printing": {"margin": "10 mm", "overlap": "12 mm"}, "A later version": {"Kept": "yes"}}


@pytest.mark.parametrize("broken", [b"margin = 10 mm", b"\xff\xfe\x00", b"[printing\nmargin", b"[a]\n  \n=x"])
def test_a_broken_file_is_said_survived_and_kept(tmp_path, broken):
    file = tmp_path / FILE
    file.write_bytes(broken)
    settings = read_settings(file)
    assert settings.get("printing", "margin", "10 mm") == "10 mm"
    assert str(file) in settings.problem and "\n" not in settings.problem
    write_settings({"printing": {"margin": "5 mm"}}, file)
    assert read_settings(file) == Settings({"printing": {"margin": "5 mm"}}, "")
    assert file.with_name(f"{FILE}.unreadable").read_bytes() == broken


def test_a_folder_in_its_place_is_said(tmp_path):
    (tmp_path / FILE).mkdir()
    assert str(tmp_path / FILE) in read_settings(tmp_path / FILE).problem


def test_a_write_that_fails_leaves_the_old_file(tmp_path, monkeypatch):
    file = tmp_path / FILE
    write_settings({"printing": {"margin": "10 mm"}}, file)

    def fail(*_):
        raise OSError("the disk is full")

    monkeypatch.setattr(Path, "replace", fail)
    with pytest.raises(OSError, match="the disk is full"):
        write_settings({"printing": {"margin": "5 mm"}}, file)
    assert read_settings(file).get("printing", "margin", "") == "10 mm"
    assert [each.name for each in tmp_path.iterdir()] == [FILE]


@pytest.mark.parametrize(
    ("platform", "environment", "expected"),
    [
        ("linux", {"INKSCAPE_PROFILE_DIR": "/profile", "HOME": "/hers"}, "/profile"),
        ("linux", {"HOME": "/hers"}, "/hers/.config/inkscape"),
        ("darwin", {"HOME": "/Users/x"}, "/Users/x/Library/Application Support/org.inkscape.Inkscape/config/inkscape"),
        ("win32", {"APPDATA": "/x/Roaming", "HOME": "/x"}, "/x/Roaming/inkscape"),
    ],
)
def test_it_lies_in_the_editors_user_folder(platform, environment, expected):
    assert settings_file(platform, environment).as_posix() == f"{expected}/{FILE}"

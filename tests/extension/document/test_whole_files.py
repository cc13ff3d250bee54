"""Files that are written together: all of them, or every one as it was before (compared byte by byte)."""
from __future__ import annotations

from pathlib import Path

import pytest

from extension.document.whole_files import write_whole

OLD, NEW = {"a.html": b"old page", "b.csv": b"old list"}, {"a.html": b"new page", "b.csv": b"new list", "c.html": b"new quote"}


def held(place: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in place.iterdir()}


def test_all_are_written_and_the_replaced_ones_kept_once(tmp_path):
    write_whole(tmp_path, OLD, keep_replaced=True)
    assert held(tmp_path) == OLD
    write_whole(tmp_path, NEW, keep_replaced=True)
    assert held(tmp_path) == {**NEW, "a.html.bak": b"old page", "b.csv.bak": b"old list"}
    write_whole(tmp_path, OLD, keep_replaced=True)
    assert held(tmp_path) == {**NEW, **OLD, "a.html.bak": b"new page", "b.csv.bak": b"new list"}
    write_whole(tmp_path, {"d": b""})
    write_whole(tmp_path, {"d": b"1"})
    assert "d.bak" not in held(tmp_path)


@pytest.mark.parametrize("fails_at", range(7))
def test_when_one_cannot_be_moved_all_stand_as_they_were(tmp_path, monkeypatch, fails_at):
    """Whichever move it is that fails: three files and the two that they replace are moved, one after the other."""
    write_whole(tmp_path, {**OLD, "a.html.bak": b"older page"})
    before, moves, move = held(tmp_path), [], Path.replace

    def failing(path, target):
        moves.append(target)
        if len(moves) == fails_at + 1:
            raise PermissionError(13, "in use", str(path))
        return move(path, target)

    monkeypatch.setattr(Path, "replace", failing)
    if fails_at < 5:
        with pytest.raises(PermissionError):
            write_whole(tmp_path, NEW, keep_replaced=True)
        assert held(tmp_path) == before
    else:
        write_whole(tmp_path, NEW, keep_replaced=True)
        assert len(moves) == 5


def test_a_folder_in_the_place_of_a_file(tmp_path):
    (tmp_path / "b.csv").mkdir()
    with pytest.raises(IsADirectoryError):
        write_whole(tmp_path, NEW)
    assert [path.name for path in tmp_path.iterdir()] == ["b.csv"]

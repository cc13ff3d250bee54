"""Keeping a client: nothing of hers or theirs is lost, whoever writes at once and however a writer ends."""
from __future__ import annotations

import csv
import io
import os
import subprocess
import sys
import time

import pytest

from extension.book.clients import client_named
from extension.book.keeping import keep_client, with_client
from extension.document.spreadsheets import as_meant
from geometry.measuring.given import read_given
from geometry.measuring.measurements import DEFAULTS, EXAMPLE
from geometry.refusal import Refused
from tests.host import REPOSITORY

#: An invented client, as the record of her sleeve has her.
ANN = {
    **DEFAULTS, **EXAMPLE, "label": "Ann", "unit": "in", "tiers": "6", "spacing_snap": "none",
    "fitting_changes": '2026-11-26: elbow_front 3/8 in (tight, they say; "front")',
}  # fmt: skip
TODAY = "2026-11-26"

#: Keeps so many clients, each under a name of its own, in a book: a process of its own.
WRITER = """
import sys
sys.path.insert(0, {repository!r})
from pathlib import Path
from extension.book.keeping import keep_client
from tests.extension.book.test_keeping import ANN
for i in range(int(sys.argv[3])):
    keep_client(Path(sys.argv[1]), {{**ANN, "label": f"{{sys.argv[2]}} {{i}}"}}, "2026-11-26")
    print(i, flush=True)
"""


def writer(book, name, count) -> subprocess.Popen:
    script = WRITER.format(repository=str(REPOSITORY))
    return subprocess.Popen([sys.executable, "-c", script, str(book), name, str(count)], stdout=subprocess.PIPE, cwd=REPOSITORY)


def fill(place) -> None:
    """Write until nothing more goes onto the disk."""
    with (place / "filler").open("wb", buffering=0) as filler:
        try:
            while True:
                filler.write(b"x" * 512)
        except OSError:
            return


def rows(book) -> list[dict]:
    return list(csv.DictReader(io.StringIO(book.read_text("utf-8"), newline="")))


@pytest.mark.parametrize("label", ["Ann", "=HYPERLINK(1)", "# Bea", 'Cara, "the tall"', "Dörte\u200d Ö", "-x", "'quoted"])
def test_what_was_kept_is_read_again(tmp_path, label):
    book = tmp_path / "book.csv"
    assert keep_client(book, {**ANN, "label": label}, TODAY)
    client = client_named(str(book), label)
    assert client.label == label
    assert read_given(client.typed, "in") == read_given({**DEFAULTS, **EXAMPLE}, "in")
    assert client.typed["fitting_changes"] == ANN["fitting_changes"]
    assert as_meant(rows(book)[0]["label"]) == label and not rows(book)[0]["label"].startswith(("=", "-"))
    assert not keep_client(book, {**ANN, "label": label}, "2030-01-01"), "nothing but the day is another"


OTHER = {"bust_girth": "31", "off_shoulder_girth": "36", "shoulder_width": "13", "upper_arm_girth": "10 1/2", "elbow_girth": "9"}


@pytest.mark.parametrize("unit", ["in", "cm"])
def test_another_client_of_the_same_name_is_asked_about(tmp_path, unit):
    """Most girths a seventh smaller are somebody else's; one that has changed, or a unit, is hers; an emptied row takes what comes."""
    book = tmp_path / "book.csv"
    assert keep_client(book, ANN, TODAY)
    other = {**ANN, **{name: f"{length} in" for name, length in OTHER.items()}, "unit": unit}
    before = book.read_bytes()
    with pytest.raises(Refused, match=r"^another client of this name.*'line': 2"):
        keep_client(book, other, TODAY)
    assert book.read_bytes() == before and keep_client(book, {**ANN, "bust_girth": "31"}, TODAY)
    (row,) = rows(book)
    book.write_text(",".join(row) + "\n" + ",".join("" if name in OTHER else f'"{text}"' for name, text in row.items()) + "\n", encoding="utf-8")
    assert keep_client(book, other, TODAY)


def test_a_row_is_asked_for_by_a_name(tmp_path):
    book = tmp_path / "book.csv"
    assert keep_client(book, ANN, TODAY)
    with pytest.raises(Refused, match=r"^no name for the book"):
        client_named(str(book), " ")


def test_only_what_is_another_is_written():
    before = (
        b'# from spring\r\nPhone;Label;bust_girth (cm);unit;off_shoulder_girth;x\r\n0 1; ann ;"92,7";in;41 1/4 in;" keep "\r\n'
        b"# and\r\n02;Bea;95;in;43;\r\n"
    )
    after = with_client(before, {**ANN, "bust_girth": "37"}, TODAY, "book.csv")
    lines_before, lines_after = before.split(b"\r\n"), after.split(b"\r\n")
    assert [lines_after[k] for k in (0, 3, 4, 5)] == [lines_before[k] for k in (0, 3, 4, 5)]
    assert lines_after[1].startswith(lines_before[1] + b";") and lines_after[2].startswith(b'0 1;Ann;37 in;in;41 1/4 in;" keep "')
    read = list(csv.reader(io.StringIO(after.decode()), delimiter=";"))
    assert read[1][6:9] == ["date", "shoulder_width", "upper_arm_girth"]


def test_the_state_before_is_beside_it(tmp_path):
    book = tmp_path / "book.csv"
    keep_client(book, ANN, TODAY)
    first = book.read_bytes()
    keep_client(book, {**ANN, "label": "Bea"}, TODAY)
    assert (tmp_path / "book.csv.bak").read_bytes() == first
    assert [row["label"] for row in rows(book)] == ["Ann", "Bea"]
    book.chmod(0o640)
    keep_client(book, {**ANN, "label": "Cara"}, TODAY)
    assert book.stat().st_mode & 0o777 == 0o640


def test_several_writers_at_once_lose_no_row(tmp_path):
    book = tmp_path / "book.csv"
    writers = [writer(book, name, 8) for name in ("Ann", "Bea", "Cara")]
    assert [each.wait(120) for each in writers] == [0, 0, 0]
    for each in writers:
        each.stdout.close()
    assert sorted(row["label"] for row in rows(book)) == sorted(f"{name} {i}" for name in ("Ann", "Bea", "Cara") for i in range(8))


def test_a_writer_that_is_killed_leaves_a_whole_book_and_no_lock(tmp_path):
    book = tmp_path / "book.csv"
    keep_client(book, ANN, TODAY)
    for delay in (0.0, 0.003, 0.011):
        each = writer(book, f"Killed after {delay}", 500)
        each.stdout.readline()
        time.sleep(delay)
        each.kill()
        each.wait()
        each.stdout.close()
        names = [row["label"] for row in rows(book)]
        assert names[0] == "Ann" and all(len(row) == len(rows(book)[0]) for row in rows(book))
    keep_client(book, {**ANN, "label": "Last"}, TODAY)
    assert rows(book)[-1]["label"] == "Last"


@pytest.mark.skipif(os.geteuid() != 0 if hasattr(os, "geteuid") else True, reason="only root mounts a small disk")
def test_a_full_disk_leaves_the_book_as_it_was(tmp_path):
    place = tmp_path / "small"
    place.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(place)], capture_output=True, check=False).returncode:
        pytest.skip("no small disk can be mounted here")
    try:
        book = place / "book.csv"
        keep_client(book, ANN, TODAY)
        before = book.read_bytes()
        fill(place)
        with pytest.raises(Refused) as refused:
            keep_client(book, {**ANN, "label": "Bea"}, TODAY)
        assert refused.value.problems[0].rule == "book not written"
        assert book.read_bytes() == before
        assert not list(place.glob(".unfinished*"))
    finally:
        subprocess.run(["umount", str(place)], check=True)


def test_a_folder_that_can_not_be_written_to_is_told(tmp_path, monkeypatch):
    """As for one who may only read there: root may write anywhere, so opening is made to fail."""
    book = tmp_path / "book.csv"
    keep_client(book, ANN, TODAY)
    before = book.read_bytes()
    if os.geteuid():
        tmp_path.chmod(0o555)
    else:
        monkeypatch.setattr("tempfile.mkstemp", lambda *_, **__: (_ for _ in ()).throw(PermissionError(13, "Permission denied")))
    with pytest.raises(Refused) as refused:
        keep_client(book, {**ANN, "label": "Bea"}, TODAY)
    assert refused.value.problems[0].rule == "book not written"
    assert book.read_bytes() == before
    tmp_path.chmod(0o755)


@pytest.mark.parametrize(
    ("before", "typed", "rule"),
    [
        (b"", {"label": " "}, "client without a name"), (b"label\nAnn\nann\n", {}, "several rows of one name"),
        (b"label,base,sizes\nAnn,12,10;12\n", {}, "row of steps"), ("label\nZo\u00eb\n".encode("latin-1"), {}, "book not in UTF-8"),
        ("label\nAnn\n".encode("utf-16"), {}, "book not in UTF-8"), (b'<svg xmlns="http://www.w3.org/2000/svg"/>\n', {}, "no column of names"),
        (b"PK\x03\x04\x14\0\6\0", {}, "book not in UTF-8"), (b"Kundin;Oberweite\nAnn;92\n", {}, "no column of names"),
    ],
)  # fmt: skip
def test_what_can_not_be_told_is_asked(before, typed, rule):
    with pytest.raises(Refused) as refused:
        with_client(before, {**ANN, **typed}, TODAY, "book.csv")
    assert refused.value.problems[0].rule == rule


def test_fitting_changes_that_only_the_book_has_are_asked_about():
    """A sleeve that was drafted anew has none; one of which all were taken back says so, and then the cell is emptied."""
    before = with_client(b"", ANN, TODAY, "book.csv")
    drafted_anew = {name: text for name, text in ANN.items() if name != "fitting_changes"}
    with pytest.raises(Refused) as refused:
        with_client(before, drafted_anew, TODAY, "book.csv")
    assert refused.value.problems[0].facts["changes"] == ANN["fitting_changes"]
    (row,) = csv.DictReader(io.StringIO(with_client(before, {**ANN, "fitting_changes": ""}, TODAY, "book.csv").decode()))
    assert row["fitting_changes"] == ""


@pytest.mark.parametrize(("stands", "typed"), [("Zoe\u0308", "Zo\u00eb"), ("Ann  Bell", "ann bell"), ("STRASSE", "stra\u00dfe")])
def test_a_name_is_the_same_however_it_is_written(stands, typed):
    """Unicode 15, 3.11 and 3.13: canonical composition and case folding."""
    before = with_client(b"", {**ANN, "label": stands}, TODAY, "book.csv")
    after = with_client(before, {**ANN, "label": typed, "bust_girth": "37 in"}, TODAY, "book.csv")
    assert len([*csv.DictReader(io.StringIO(after.decode()))]) == 1


def test_what_is_no_file_stays_what_it_is(tmp_path):
    pipe, loop = tmp_path / "pipe", tmp_path / "loop.csv"
    os.mkfifo(pipe)
    loop.symlink_to(loop)
    for book in (pipe, loop, tmp_path):
        with pytest.raises(Refused) as refused:
            keep_client(book, ANN, TODAY)
        assert refused.value.problems[0].rule == "book not written"
    assert pipe.is_fifo()

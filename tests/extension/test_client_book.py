"""Client Book as a command: one client as Draft Sleeve would have her, many into files, and nobody lost without a word."""
from __future__ import annotations

import csv
import io
import os
import signal
import subprocess
import sys
import time

import inkex
import pytest
from lxml import etree

from extension.book.clients import COLUMNS
from extension.book.csv_table import read_table
from extension.book.drafting_many import LOG, PAGE, asked_for, draft_into_files
from extension.client_book import ClientBook
from extension.demo import BLANK, applied, drafted
from extension.draft_sleeve import DraftSleeve
from extension.fitting_changes import FittingChanges
from geometry.measuring.measurements import EXAMPLE
from geometry.refusal import Refused
from tests import sleeve_measures as measures
from tests.bodies import women
from tests.host import REPOSITORY

SCRIPT = REPOSITORY / "extension" / "client_book.py"
ANN = ["--label=Ann", "--ease_elbow=1 in", "--tiers=7", "--shape=straight"]


def book_of_women(file, count=260) -> None:
    """The 260 women of openintro/bdims as a book in centimetres; what the set lacks is taken from the height, as in tests/bodies.py."""
    names = [
        "label", "unit", "bust_girth", "off_shoulder_girth", "shoulder_width", "upper_arm_girth", "upper_arm_level", "elbow_girth", "elbow_level",
        "sleeve_length", "hem_girth", "hand_girth", "front_body_edge", "back_body_edge",
    ]  # fmt: skip
    with file.open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out, delimiter=";")
        writer.writerow(names)
        for i, woman in enumerate([*women()] * (count // 260 + 1)):
            if i == count:
                break
            tall = woman["hgt"]
            girths = [woman["che_gi"], woman["sho_gi"], woman["bia_di"], woman["bic_gi"], 0.10 * tall, woman["for_gi"], 0.17 * tall, 0.29 * tall]
            lengths = [*girths, woman["wri_gi"] + 4, 0, 26, 26]
            writer.writerow([f"Woman {i + 1}", "cm", *(f"{length:.1f}".replace(".", ",") for length in lengths)])


def words(drawing: str, part: str = "book report") -> str:
    found = measures.parts(etree.fromstring(drawing.encode()), part)
    return " ".join("".join(text.itertext()) for layer in found for text in layer.iter(f"{measures.SVG}tspan"))


@pytest.fixture
def kept(tmp_path):
    """A book with one client who has a fitting change."""
    sleeve = applied(FittingChanges(), ["--elbow_front=3/8", "--reason=tight"], drafted(ANN))
    book = tmp_path / "book.csv"
    said = applied(ClientBook(), [f"--book={book}"], sleeve)
    assert "Ann is kept in" in words(said)
    return book


def test_a_run_of_one_is_the_single_draft_byte_for_byte(tmp_path):
    book = tmp_path / "book.csv"
    applied(ClientBook(), [f"--book={book}"], drafted(ANN))
    assert applied(ClientBook(), [f"--book={book}", "--action=draft"], BLANK) == drafted(ANN)
    applied(ClientBook(), [f"--book={book}", "--action=draft", "--arrange=files", f"--folder={tmp_path}"], BLANK)
    assert (tmp_path / "Ann" / "Ann.svg").read_text("utf-8") == drafted(ANN, PAGE)


def test_draft_sleeve_starts_from_a_client_of_the_book(kept):
    said = applied(DraftSleeve(), ["--start=book", f"--book={kept}", "--label=ann"], BLANK)
    assert words(said, "notes layer").startswith("Off-shoulder tiered sleeve Ann ")
    assert "elbow let out 3/8 in at the front (tight)" in words(said, "notes layer")


def test_a_client_is_kept_drafted_and_kept_again_with_nothing_to_write(kept):
    before = kept.read_bytes()
    drawing = applied(ClientBook(), [f"--book={kept}", "--action=draft", "--clients=Ann"], BLANK)
    said = applied(ClientBook(), [f"--book={kept}", "--action=keep"], drawing)
    assert "stands so in" in words(said)
    assert kept.read_bytes() == before


def test_the_good_rows_are_drafted_and_the_others_told(kept, run_effect):
    with kept.open("a", encoding="utf-8") as book:
        book.write("Bea,,in,9x in\nCara,,in,36,41,14 3/4,13,7 1/4,11,12 1/2,3 1/2 in,9,8\n")
    outcome = run_effect(SCRIPT, {"book": kept, "action": "draft", "clients": "all"}, BLANK)
    assert outcome.stderr == ""
    said = words(outcome.stdout)
    assert len(measures.parts(etree.fromstring(outcome.stdout.encode()), "sleeve")) == 1
    assert "1 of 3 drafted." in said
    assert "Line 3, Bea, column bust_girth: Bust girth: “9x in” is not a length" in said
    assert "Line 3, Bea, column hem_girth: nothing is written there, and it can't be left out." in said
    assert "Line 4, Cara: Sleeve length: “3 1/2 in”" in said or "Line 4, Cara" in said


def test_nobody_is_said_and_nothing_drawn(kept, run_effect):
    outcome = run_effect(SCRIPT, {"book": kept, "action": "draft", "clients": "Zoë"}, BLANK)
    assert "Not in the book: Zoë." in outcome.stderr and outcome.stdout == ""


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({}, "choose a file"), ({"book": "/no/such/folder/book.csv", "action": "draft"}, "can't be read (No such file or directory)"),
        ({"book": "/no/such/folder/book.csv"}, "there is no folder"),
    ],
)  # fmt: skip
def test_a_book_that_is_not_there_is_said(run_effect, options, said):
    outcome = run_effect(SCRIPT, options, drafted(ANN))
    assert said in outcome.stderr and outcome.stdout == ""


def test_forty_women_into_files_in_one_go(tmp_path):
    """All 260 are drafted by ``python -m tests.benchmark_book``, which also takes the time."""
    book = tmp_path / "women.csv"
    book_of_women(book, 40)
    said = words(applied(ClientBook(), [f"--book={book}", "--action=draft", "--arrange=files", f"--folder={tmp_path}"], BLANK))
    drawn = sorted(tmp_path.glob("*/*.svg"))
    assert said.startswith(f"Client book {len(drawn)} of 40 drafted.")
    assert len(drawn) + said.count("Line ") >= 40
    for file in drawn[::9]:
        (sleeve,) = measures.parts(etree.parse(str(file)).getroot(), "sleeve")
        assert sleeve.get(f"{measures.OWN}record")
    assert len(list(tmp_path.glob("*/*-job-sheet.html"))) == len(list(tmp_path.glob("*/*-cut-list.csv"))) == len(drawn)
    assert (tmp_path / LOG).read_text("utf-8").count(".svg") == len(drawn)


def test_stopped_half_way_only_whole_files_are_there(tmp_path):
    book, document = tmp_path / "women.csv", tmp_path / "document.svg"
    book_of_women(book)
    document.write_text(BLANK)
    options = [f"--book={book}", "--action=draft", "--arrange=files", f"--folder={tmp_path}", str(document)]
    run = subprocess.Popen([sys.executable, SCRIPT.name, *options], cwd=SCRIPT.parent, stdout=subprocess.DEVNULL)
    until = time.monotonic() + 60
    while time.monotonic() < until and len(list(tmp_path.glob("*/*.svg"))) < 3:
        time.sleep(0.05)
    os.kill(run.pid, signal.SIGKILL)
    run.wait()
    drawn = list(tmp_path.glob("*/*.svg"))
    assert 3 <= len(drawn) < 260
    for file in drawn:
        assert measures.parts(etree.parse(str(file)).getroot(), "sleeve")
        assert next(file.parent.glob("*-job-sheet.html")).read_text("utf-8").rstrip().endswith("</html>")
        assert len(list(csv.reader(io.StringIO(next(file.parent.glob("*-cut-list.csv")).read_text("utf-8-sig"))))) == 7


def test_who_can_not_have_a_job_sheet_is_drafted_and_told(kept, tmp_path):
    def refuse(svg, folder):
        raise Refused("no tier lines")

    document = etree.fromstring(BLANK.encode(), parser=inkex.elements.SVG_PARSER)
    draft_into_files(document, asked_for(read_table(kept.read_bytes(), COLUMNS), "all"), str(tmp_path), refuse)
    assert (tmp_path / "Ann" / "Ann.svg").exists()
    assert "Ann is drafted, but has no job sheet:" in words(etree.tostring(document).decode())


def test_the_book_that_was_used_last_is_found_again(kept, tmp_path):
    """Kept in her settings with its whole path: for Client Book, and for Draft Sleeve started from the book."""
    book, said = kept, applied(ClientBook(), ["--action=draft"], BLANK)
    assert f"file = {book}" in (tmp_path / "profile" / "tiered-sleeve-settings.ini").read_text("utf-8")
    assert "Ann" in said
    assert "Ann" in applied(DraftSleeve(), ["--start=book", "--label=Ann"], BLANK)
    book.unlink()
    with pytest.raises(inkex.AbortExtension, match="can't be read"):
        applied(ClientBook(), ["--action=draft"], BLANK)


def test_with_no_book_chosen_and_none_kept_one_is_asked_for():
    with pytest.raises(inkex.AbortExtension, match="choose a file"):
        applied(ClientBook(), ["--action=draft"], BLANK)


def test_a_book_that_cannot_be_remembered_is_used_all_the_same(kept, tmp_path):
    (tmp_path / "profile" / "tiered-sleeve-settings.ini").unlink()
    (tmp_path / "profile" / "tiered-sleeve-settings.ini").mkdir()
    assert "could not be kept in your settings" in words(applied(ClientBook(), [f"--book={kept}", "--action=draft"], BLANK))


def rows_of(*labels: str) -> str:
    """Rows of the invented example under these names, in inches."""
    body = ",".join(text.removesuffix(" in") for text in EXAMPLE.values())
    return "".join(f'"{label}",in,,,{body}\n' for label in labels)


HEADER = f"label,unit,base,sizes,{','.join(EXAMPLE)}\n"


def into_files(book, folder, clients="all") -> str:
    return words(applied(ClientBook(), [f"--book={book}", "--action=draft", f"--clients={clients}", "--arrange=files", f"--folder={folder}"], BLANK))


def drawn(folder) -> list[str]:
    return sorted(str(file.relative_to(folder).parent) for file in folder.glob("*/*.svg"))


def test_a_clients_files_have_one_name_whoever_else_is_drafted(tmp_path):
    book = tmp_path / "book.csv"
    book.write_text(HEADER + rows_of("Ann/Bell", "Ann Bell"))
    into_files(book, tmp_path, "Ann Bell; ann bell")
    assert drawn(tmp_path) == ["Ann Bell 2"]
    (tmp_path / "Ann Bell 2" / "Ann Bell 2.svg").write_text("as she has edited it")
    said = into_files(book, tmp_path)
    assert drawn(tmp_path) == ["Ann Bell", "Ann Bell 2"] and "2 of 2 drafted" in said
    assert (tmp_path / "Ann Bell 2" / "Ann Bell 2.svg.bak").read_text() == "as she has edited it"


def test_two_runs_from_one_base_have_files_of_their_own(tmp_path):
    book = tmp_path / "book.csv"
    book.write_text(HEADER + rows_of("12") + "Run A,in,12,10; 12,2,,,,,,,,,\nRun B,in,12,10; 12,1,,,,,,,,,\n")
    assert "4 of 4 drafted" in into_files(book, tmp_path)
    assert drawn(tmp_path) == ["10", "10 2", "12", "12 2"]


def test_whose_place_is_taken_is_told_and_the_others_go_on(tmp_path):
    book = tmp_path / "book.csv"
    book.write_text(HEADER + rows_of("Ann", "Bea", "Cara; D"))
    (tmp_path / "Bea").write_text("something else")
    said = into_files(book, tmp_path)
    assert "2 of 3 drafted" in said and "Bea is not written" in said
    assert drawn(tmp_path) == ["Ann", "Cara D"]
    assert "1 of 1 drafted" in into_files(book, tmp_path, "Cara; D")


@pytest.mark.parametrize(
    ("sizes", "steps", "said"),
    [("10; 12; 12", "2,,,,,,,,,", "this one is there twice: 12"), ("10; 12", ",,,,,,,,,1/4", "the base has 0 there")],
)
def test_sizes_that_can_not_be_are_told(tmp_path, sizes, steps, said):
    book = tmp_path / "book.csv"
    book.write_text(HEADER + rows_of("12").replace("8 1/4", "0") + f"Run,in,12,{sizes},{steps}\n")
    with pytest.raises(inkex.AbortExtension, match=said):
        applied(ClientBook(), [f"--book={book}", "--action=draft"], BLANK)


def test_draft_sleeve_says_where_in_the_book_something_is_wrong(tmp_path):
    book = tmp_path / "book.csv"
    book.write_text(HEADER + rows_of("Ann").replace("14 3/4", "").replace("12 7/8", "12 7/") + "Run,in,Ann,Ann;B,2,,,,,,,,,\n")
    with pytest.raises(inkex.AbortExtension, match=r"(?s)line 2, column shoulder_width: nothing is.*line 2, column upper_arm_girth, “12 7/”"):
        applied(DraftSleeve(), ["--start=book", f"--book={book}", "--label=Ann"], BLANK)
    with pytest.raises(inkex.AbortExtension, match="the name of a row of steps"):
        applied(DraftSleeve(), ["--start=book", f"--book={book}", "--label=Run"], BLANK)

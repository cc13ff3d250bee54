"""The book as a file: against Python's csv module, and byte for byte."""
from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as some

from extension.book.csv_table import read_table
from extension.document.spreadsheets import as_meant, harmless

SEPARATORS = some.sampled_from([",", ";", "\t"])
ENDS = some.sampled_from(["\n", "\r\n"])
CELLS = some.text(some.characters(exclude_categories=("Cs",), exclude_characters="\0\r\x85\u2028\u2029\x0b\x0c\x1c\x1d\x1e"), max_size=12)
COMMENTED = some.sampled_from(['# a comment; with, marks\t"', "", "   ", "#"])


def by_csv(rows, separator, end) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator=end).writerows(rows)
    return out.getvalue()


@given(some.binary(max_size=400))
def test_any_bytes_are_given_back(data):
    assert read_table(data).to_bytes() == data


@given(some.text(alphabet='ab"#,;\t\n\r é\ufeff', max_size=200))
def test_any_text_of_marks_is_given_back(text):
    assert read_table(text.encode()).to_bytes() == text.encode()


@given(some.lists(some.lists(CELLS, min_size=2, max_size=5), max_size=6), SEPARATORS, ENDS, some.booleans())
def test_well_written_tables_are_read_as_the_csv_module_reads_them(rows, separator, end, marked):
    rows = [["label", "bust_girth"], *[row for row in rows if any(cell.strip() for cell in row) and not row[0].lstrip().startswith("#")]]
    text = by_csv(rows, separator, end)
    table = read_table(text.encode("utf-8-sig" if marked else "utf-8"), ("label", "bust_girth"))
    if table.separator == separator:
        assert [list(record.cells) for record in (table.header, *table.rows)] == list(csv.reader(io.StringIO(text, newline=""), delimiter=separator))
    else:
        raise AssertionError("the separator is told by the header")


@given(
    some.lists(some.tuples(CELLS, CELLS, CELLS), min_size=1, max_size=6), COMMENTED, SEPARATORS, ENDS, some.integers(0, 5),
    some.dictionaries(some.integers(0, 4), CELLS, min_size=1),
)  # fmt: skip
def test_what_is_written_into_one_row_leaves_all_others_as_they_are(rows, comment, separator, end, number, cells):
    rows = [(f"x{a}", b, c) for a, b, c in rows]
    cells = {column: f"y{text}" if column == 0 else text for column, text in cells.items()}
    lines = [by_csv([row], separator, end) for row in [("label", "theirs", "bust_girth"), *rows]]
    lines.insert(1, comment + end)
    table = read_table("".join(lines).encode(), ("label", "bust_girth"))
    old = table.rows[number % len(rows)]
    written = table.with_row(cells, old)
    again = read_table(written.to_bytes(), ("label", "bust_girth"))
    place = table.records.index(old)
    assert [record.raw for k, record in enumerate(again.records) if k != place] == [record.raw for record in table.records if record is not old]
    now = again.records[place].cells
    assert {column: now[column] for column in cells} == cells
    assert [now[k] for k in range(3) if k not in cells] == [old.cells[k] for k in range(3) if k not in cells]


@given(some.lists(some.tuples(CELLS, CELLS), max_size=4), SEPARATORS, CELLS, CELLS)
def test_a_new_row_is_the_last_and_is_read_back(rows, separator, first, second):
    before = by_csv([("label", "bust_girth"), *[(f"x{a}", b) for a, b in rows]], separator, "\n").encode()
    written = read_table(before.rstrip(b"\n"), ("label", "bust_girth")).with_row({0: f"y{first}", 1: second})
    assert written.to_bytes().startswith(before.rstrip(b"\n"))
    assert read_table(written.to_bytes(), ("label", "bust_girth")).rows[-1].cells == (f"y{first}", second)


@pytest.mark.parametrize("text", ['label;x\n"Ann;1\nBea;2\n', 'label;x\nAnn "the tall;1\nBea;2\n', 'label;x\n13"; 5"\nBea;2\n'])
def test_a_stray_quote_swallows_no_row(text):
    assert [row.cells[0] for row in read_table(text.encode(), ("label",)).rows][-1] == "Bea"
    assert len(read_table(text.encode(), ("label",)).rows) == 2


@given(some.text(max_size=10))
def test_a_formula_is_made_harmless_and_meant_again(text):
    assert not harmless(text).startswith(("=", "+", "-", "@", "\t", "\r"))
    assert as_meant(harmless(text)) == text or text.startswith("'")

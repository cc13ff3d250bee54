"""What the rows of a client book say: each a client with everything that Draft Sleeve asks, or what is wrong with it."""
from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Callable, NamedTuple

from extension.book.csv_table import CsvTable, Record, read_table, tidy_name
from extension.document.spreadsheets import as_meant
from extension.drawing.lettering import printable
from geometry.measuring.given import read_row
from geometry.measuring.lengths import HalfTyped, with_unit
from geometry.measuring.measurements import (
    CHOICES,
    DEFAULTS,
    EXAMPLE,
    NUMBERS,
    TABLE,
    number_in_range,
    read_count,
)
from geometry.measuring.toile import read_changes
from geometry.refusal import Problem, Refused
from geometry.sleeve.spacing import MOST_TIERS, SPACING_SNAPS

#: What the columns are called: as the options of Draft Sleeve, the date, and what a toile taught.
COLUMNS = ("label", "date", "unit", *DEFAULTS, "tiers", "spacing_snap", "fitting_changes")

#: What the column of names may be called too.
NAME_COLUMNS = ("label", "name", "client", "client_or_style")

#: Columns of a row that stands for several sizes, see :mod:`extension.book.sizes`.
SIZE_COLUMNS = ("base", "sizes")

#: What a column leaves out that the table has not, beside the defaults of the options.
USUAL = {**DEFAULTS, **dict.fromkeys(EXAMPLE, ""), "tiers": "6", "spacing_snap": "none", "fitting_changes": ""}

_UNITS = {"in": "in", "inch": "in", "inches": "in", '"': "in", "cm": "cm", "centimetre": "cm", "centimetres": "cm", "mm": "mm", "millimetres": "mm"}
_UNIT_OF_COLUMN = re.compile(r"[(\[]\s*([^)\]]+?)\s*[)\]]\s*$")
_UNIT_OF_FILE = re.compile(r"units?\s*[:=]\s*(\S+)\s*", re.IGNORECASE)


class Trouble(NamedTuple):
    """Why a row can't be drafted: the ``line`` of the file, whose row it is, the ``column`` (empty for the row as a whole),
    what was ``read`` there, and the refusal, to be written in the ``unit`` of the row.
    """

    line: int
    label: str
    column: str
    read: str
    refusal: Refused
    unit: str


class Unreadable(Exception):
    """A row that can't be drafted, with all its ``troubles``."""

    def __init__(self, troubles: Sequence[Trouble]) -> None:
        self.troubles = tuple(troubles)
        super().__init__()


class Client(NamedTuple):
    """One client: the ``line`` she stands in, her name, and everything as typed in Draft Sleeve."""

    line: int
    label: str
    typed: dict[str, str]
    tiers: int


class Columns(NamedTuple):
    """Where the columns that we know stand, the units that they name, and the unit of the whole file (empty: none)."""

    at: Mapping[str, int]
    units: Mapping[str, str]
    unit: str


def columns_of(table: CsvTable) -> Columns:
    """Return which columns of a table are known."""
    at: dict[str, int] = {}
    units: dict[str, str] = {}
    header = table.header.cells or () if table.header else ()
    for column, cell in enumerate(header):
        name = tidy_name(cell)
        name = "label" if name in NAME_COLUMNS else name
        if name in (*COLUMNS, *SIZE_COLUMNS) and name not in at:
            at[name] = column
            named = _UNIT_OF_COLUMN.search(cell.strip())
            if named and named[1].lower() in _UNITS:
                units[name] = _UNITS[named[1].lower()]
    said = [_UNIT_OF_FILE.fullmatch(comment) for comment in table.comments]
    return Columns(at, units, next((_UNITS.get(match[1].lower(), "") for match in said if match), ""))


def cell(record: Record, columns: Columns, name: str) -> str:
    """Return what a row says in a column, empty where it says nothing."""
    at = columns.at.get(name, -1)
    cells = record.cells or ()
    return cells[at].strip() if 0 <= at < len(cells) else ""


def label_of_row(record: Record, columns: Columns) -> str:
    """Return the name in a row as it is lettered."""
    return printable(as_meant(cell(record, columns, "label")))


def known_as(name: str) -> str:
    """Return a name as names are compared: capitals or not, however its accents are written, and of spaces one.

    >>> known_as("Ann  BELL") == known_as("ann bell"), known_as("Zoe\u0308") == known_as("Zo\u00eb")
    (True, True)
    """
    return " ".join(unicodedata.normalize("NFC", name).casefold().split())


def has_a_name_in_utf_8(record: Record, columns: Columns) -> bool:
    """Whether the name in a row can be told: bytes that are no UTF-8 stand as surrogates there."""
    return not any("\ud800" <= c <= "\udfff" for c in cell(record, columns, "label"))


def client_of(record: Record, columns: Columns, width: int) -> Client:
    """Return the client of a row; raises :class:`Unreadable` with all that is wrong with it.

    ``width`` is how many columns the header has: more cells than that are a comma too many.
    """
    label = label_of_row(record, columns)
    said = {name: cell(record, columns, name) for name in USUAL if cell(record, columns, name)}
    troubles: list[Trouble] = []

    def trouble(column: str, refusal: Refused) -> None:
        troubles.append(Trouble(record.line, label, column, said.get(column, cell(record, columns, column)), refusal, unit or "cm"))

    unit = unit_of_row(record, columns, said)
    for column, refusal in _wrong_with_the_text(record, columns, width):
        trouble(column, refusal)
    if not unit:
        trouble("unit", Refused("no unit in the book"))
        raise Unreadable(troubles)
    typed = {**USUAL, "unit": unit, "label": label, **_in_words_of_the_dialog(said, columns.units, unit)}
    for name, row in TABLE.items():
        if not typed[name]:
            trouble(name, Refused("nothing in the column"))
            continue
        _try(partial(read_row, row, typed[name], unit), name, trouble)
    for number in NUMBERS:
        _try(partial(number_in_range, number, typed[number.name]), number.name, trouble)
    for choice in CHOICES:
        if typed[choice.name] not in choice.words:
            trouble(choice.name, Refused("no such choice", choices=Problem("choices", {"listed": ", ".join(choice.words)})))
    if typed["spacing_snap"] not in SPACING_SNAPS:
        trouble("spacing_snap", Refused("no such choice", choices=Problem("choices", {"listed": ", ".join(SPACING_SNAPS)})))
    _try(lambda: read_changes(typed["fitting_changes"]), "fitting_changes", trouble)
    _try(lambda: read_count("Tiers", typed["tiers"], 1, MOST_TIERS), "tiers", trouble)
    if troubles:
        raise Unreadable(troubles)
    if not typed["fitting_changes"]:
        del typed["fitting_changes"]  # as of a sleeve that has none
    return Client(record.line, label, typed, int(typed["tiers"]))


def _wrong_with_the_text(record: Record, columns: Columns, width: int) -> Iterator[tuple[str, Refused]]:
    if not has_a_name_in_utf_8(record, columns):
        yield "label", Refused("name not in UTF-8")
    cells = record.cells or ()
    if any(text.strip() for text in cells[width:]):
        yield "", Refused("more cells than columns", cells=len(cells), columns=width)


def unit_of_row(record: Record, columns: Columns, said: Mapping[str, str]) -> str:
    """Return the unit in which a row is read and lettered: its own, the file's, the columns'; empty where none is named anywhere."""
    named = cell(record, columns, "unit").lower()
    if named:
        return {"in": "in", "cm": "cm", "mm": "cm"}.get(_UNITS.get(named, ""), "")
    if columns.unit:
        return "in" if columns.unit == "in" else "cm"
    lengths = [name for name in said if name in TABLE]
    if columns.units and all(name in columns.units or _names_its_unit(said[name]) for name in lengths):
        return "in" if next(iter(columns.units.values())) == "in" else "cm"
    if lengths and all(_names_its_unit(said[name]) for name in lengths):
        return "in" if _names_its_unit(said[lengths[0]], "in") else "cm"
    return ""


def _names_its_unit(text: str, unit: str = "") -> bool:
    tidy = text.strip().lower()
    ends = {"in": ("in", "in.", '"', "inch", "inches", "″", "”"), "": ("in", "in.", '"', "inch", "inches", "″", "”", "cm", "mm", "cm.", "mm.")}
    return tidy in ("0", "0.0") or tidy.endswith(ends[unit])


def _in_words_of_the_dialog(said: Mapping[str, str], units: Mapping[str, str], unit: str) -> dict[str, str]:
    """Return what a row says as it would be typed: a column's unit behind its lengths, a choice by its value."""
    typed = dict(said)
    for name, text in said.items():
        if name in TABLE and units.get(name, unit) != unit:
            try:
                typed[name] = with_unit(text, units[name])
            except (Refused, HalfTyped):
                continue  # said again where it is read, with the reason
    for choice in CHOICES:
        by_word = {word.lower(): value for value, word in choice.words.items()}
        by_word.update({value.lower(): value for value in choice.words})
        if choice.name in typed:
            typed[choice.name] = by_word.get(typed[choice.name].lower(), typed[choice.name])
    return typed


def _try(read: Callable[[], object], name: str, trouble: Callable[[str, Refused], None]) -> None:
    try:
        read()
    except HalfTyped:
        trouble(name, Refused("half a number"))
    except Refused as refusal:
        trouble(name, refusal)


def rows_named(table: CsvTable, columns: Columns, name: str) -> list[Record]:
    """Return the rows of this name, see :func:`known_as`."""
    return [row for row in table.rows if known_as(label_of_row(row, columns)) == known_as(name)]


def open_book(book: str) -> CsvTable:
    """Return the table in a file.  Raises :class:`Refused` where none was chosen, or it can't be read."""
    if not book.strip():
        raise Refused("book not chosen")
    try:
        data = Path(book.strip()).expanduser().read_bytes()
    except (OSError, ValueError) as error:
        raise Refused("book unreadable", book=book.strip(), reason=getattr(error, "strerror", None) or "no such name") from error
    return table_in(data, book.strip())


def table_in(data: bytes, book: str) -> CsvTable:
    """Return the table that a file of this name holds.  Raises :class:`Refused` where it is another file than a book."""
    if b"\0" in data:  # UTF-16, or no text at all
        raise Refused("book not in UTF-8", book=book)
    table = read_table(data, (*COLUMNS, *NAME_COLUMNS))
    if table.header is not None and "label" not in columns_of(table).at:
        raise Refused("no column of names", book=book)
    return table


def client_named(book: str, name: str) -> Client:
    """Return the client of this name.  Raises :class:`Refused` where there is none, more than one, or her row can't be read."""
    if not name.strip():
        raise Refused("no name for the book")
    table = open_book(book)
    columns = columns_of(table)
    rows = rows_named(table, columns, name)
    if not rows:
        raise Refused("not in the book", label=name.strip(), book=book.strip())
    if len(rows) > 1:
        raise Refused("several rows of one name", label=name.strip(), lines=", ".join(str(row.line) for row in rows))
    refuse_steps(rows[0], columns)
    try:
        return client_of(rows[0], columns, len(table.header.cells or ()) if table.header else 0)
    except Unreadable as unreadable:
        raise Refused.together(map(_alone, unreadable.troubles)) from unreadable


def refuse_steps(row: Record, columns: Columns) -> None:
    """Raise :class:`Refused` where a row is no client but the steps of a run of sizes."""
    if cell(row, columns, "base"):
        raise Refused("row of steps", label=label_of_row(row, columns), line=row.line)


def _alone(trouble: Trouble) -> Refused:
    """Return what is wrong with a row as a refusal that says where."""
    rule = "row of the book" if not trouble.column else "cell of the book" if trouble.read else "empty cell of the book"
    return Refused(rule, line=trouble.line, column=trouble.column, read=trouble.read, problem=trouble.refusal.problems[0])

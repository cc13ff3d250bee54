"""Keeping a client in the book: one writer at a time, whole files only, and the last state beside it."""
from __future__ import annotations

import os
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from extension.book.clients import (
    COLUMNS,
    USUAL,
    Columns,
    cell,
    columns_of,
    has_a_name_in_utf_8,
    refuse_steps,
    rows_named,
    table_in,
    unit_of_row,
)
from extension.book.csv_table import CsvTable, Record
from extension.document.spreadsheets import harmless
from extension.document.whole_files import write_whole
from geometry.measuring.lengths import HalfTyped, read_length, with_unit
from geometry.measuring.measurements import TABLE
from geometry.refusal import Refused

try:
    import fcntl
except ImportError:  # Windows has its own
    fcntl = None  # type: ignore[assignment]

#: What of a body changes slowly, and hardly ever most of it at once by more than this share (our own choice).
BODY = ("bust_girth", "off_shoulder_girth", "shoulder_width", "upper_arm_girth", "elbow_girth", "wrist_girth", "hand_girth")
ANOTHER = 0.1

#: Seconds for which another writer is waited for.
PATIENCE = 15.0


def keep_client(book: Path, typed: Mapping[str, str], date: str) -> bool:
    """Write a client's row, or bring it up to date, and return whether anything had to be written.

    ``typed`` is everything as typed in Draft Sleeve.  A book that is not there is begun.  Raises
    :class:`Refused`, and then the book is as it was.
    """
    try:
        book = book.resolve()
        if not book.parent.is_dir():
            raise Refused("book folder missing", folder=str(book.parent))
        if book.exists() and not book.is_file():  # a device would be replaced by a file
            raise Refused("book not written", book=str(book), reason="it is no file")
        with locked(book):
            before = book.read_bytes() if book.exists() else b""
            after = with_client(before, typed, date, str(book))
            if after != before:
                write_whole(book.parent, {**({f"{book.name}.bak": before} if before else {}), book.name: after})
            return after != before
    except (OSError, RuntimeError) as error:  # the latter of links in a circle
        raise Refused("book not written", book=str(book), reason=getattr(error, "strerror", "") or "its name leads nowhere") from error


@contextmanager
def locked(book: Path) -> Iterator[None]:
    """Hold the book against other writers; the system lets go of it when its holder dies, however.

    Raises :class:`Refused` where another one holds it for longer than :data:`PATIENCE`.
    """
    with book.with_name(f".{book.name}.lock").open("a+b") as lock:
        until = time.monotonic() + PATIENCE
        while not _taken(lock.fileno()):
            if time.monotonic() > until:
                raise Refused("book in use", book=str(book))
            time.sleep(0.02)
        yield


def _taken(number: int) -> bool:
    try:
        if fcntl is not None:
            fcntl.flock(number, fcntl.LOCK_EX | fcntl.LOCK_NB)
        else:
            import msvcrt  # only there

            os.lseek(number, 0, os.SEEK_SET)
            msvcrt.locking(number, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
    except OSError:
        return False
    return True


def with_client(data: bytes, typed: Mapping[str, str], date: str, book: str) -> bytes:
    """Return the ``book`` that holds ``data`` with this client's row in it, all else byte for byte as it was.

    Raises :class:`Refused` where she has no name, or it can't be told which row is hers, or whether her fitting changes still hold.
    """
    label = typed["label"].strip()
    if not label:
        raise Refused("client without a name")
    table = table_in(data, book)
    columns = columns_of(table)
    if not all(has_a_name_in_utf_8(row, columns) for row in table.rows):
        raise Refused("book not in UTF-8", book=book)
    rows = rows_named(table, columns, label)
    if len(rows) > 1:
        raise Refused("several rows of one name", label=label, lines=", ".join(str(row.line) for row in rows))
    for row in rows:
        refuse_steps(row, columns)
        changes = cell(row, columns, "fitting_changes")
        if changes and "fitting_changes" not in typed:  # a sleeve of which all were taken back says so
            raise Refused("changes only in the book", label=label, line=row.line, changes=changes)
        refuse_another_client(row, columns, typed)
    wanted = {**{name: str(typed[name]).strip() for name in COLUMNS if name in typed}, "label": harmless(label), "date": date}
    table, columns = _with_all_columns(table, columns, wanted)
    said = {name: _as_the_column_has_it(name, text, typed["unit"], columns) for name, text in wanted.items() if name in columns.at}
    old = next((row for row in table.rows if rows and row.line == rows[0].line), None)
    cells = {columns.at[name]: text for name, text in said.items()}
    if old is not None:
        now = {column: (old.cells or ())[column] if column < len(old.cells or ()) else "" for column in cells}
        cells = {column: text for column, text in cells.items() if now[column].strip() != text}
        if set(cells) <= {columns.at["date"]}:
            return data  # nothing but the day is another
    return table.with_row(cells, old).to_bytes()


def refuse_another_client(row: Record, columns: Columns, typed: Mapping[str, str]) -> None:
    """Raise :class:`Refused` where most girths and widths of a row are far from what was ``typed``: another client may have this name."""
    unit = unit_of_row(row, columns, {name: cell(row, columns, name) for name in BODY})
    far = []
    for name in BODY:
        with suppress(Refused, HalfTyped):
            before = read_length(cell(row, columns, name), columns.units.get(name, unit or typed["unit"]))
            now = read_length(str(typed.get(name, "0")), typed["unit"])
            far += [abs(now - before) > ANOTHER * before] if before and now else []
    if len(far) > 2 and 2 * sum(far) > len(far):
        raise Refused("another client of this name", label=typed["label"].strip(), line=row.line)


def _with_all_columns(table: CsvTable, columns: Columns, wanted: Mapping[str, str]) -> tuple[CsvTable, Columns]:
    """Return the table with the columns that this client needs: all of them in a new one, else what is not as it usually is."""
    missing = [name for name in COLUMNS if name not in columns.at and (table.header is None or wanted.get(name, "") not in ("", USUAL.get(name)))]
    if columns.unit and "unit" in missing and {"in": "in"}.get(columns.unit, "cm") == wanted.get("unit"):
        missing.remove("unit")
    if not missing:
        return table, columns
    table = table.with_columns(missing)
    return table, columns_of(table)


def _as_the_column_has_it(name: str, text: str, unit: str, columns: Columns) -> str:
    """Return a cell: a length with its unit behind it where its column names another one."""
    if name not in TABLE or columns.units.get(name, unit) == unit or not text:
        return text
    try:
        return with_unit(text, unit)
    except (Refused, HalfTyped):  # kept as she typed it
        return text

"""A CSV table that is given back byte for byte where nothing was changed: other people's columns, comments, quotes and all.

Comma, semicolon or tab; UTF-8 with or without its mark; quotes as in RFC 4180; rows that begin with # are
comments.  What can't be told is kept as it is: bytes that are no UTF-8, a quote that does not end its cell.
"""
from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

#: What may part two cells; the first holds where the table does not say.
SEPARATORS = (",", ";", "\t")

COMMENT = "#"
_BOM = b"\xef\xbb\xbf"
_END = re.compile(r"\r\n|\n|\r")


class Record(NamedTuple):
    """One row as it stands: its ``raw`` text with the line end, and its ``cells``; None for a comment or an empty line.

    ``line`` is where it begins in the file, counted from 1.
    """

    raw: str
    cells: tuple[str, ...] | None
    line: int


class CsvTable(NamedTuple):
    """A table: its ``records`` in order, the first with cells being the ``header``; how cells are parted, and lines end."""

    records: tuple[Record, ...]
    separator: str
    end: str
    marked: bool

    @property
    def header(self) -> Record | None:
        """The row of column names; None in a table of comments alone."""
        return next((record for record in self.records if record.cells is not None), None)

    @property
    def rows(self) -> list[Record]:
        """The rows below the header."""
        return [record for record in self.records if record.cells is not None][1:]

    @property
    def comments(self) -> list[str]:
        """The comments, without their sign."""
        raws = [record.raw.strip() for record in self.records if record.cells is None]
        return [raw.lstrip(COMMENT).strip() for raw in raws if raw.startswith(COMMENT)]

    def to_bytes(self) -> bytes:
        """Return the file."""
        text = "".join(record.raw for record in self.records)
        return (_BOM if self.marked else b"") + text.encode("utf-8", "surrogateescape")

    def with_row(self, cells: Mapping[int, str], old: Record | None = None) -> CsvTable:
        """Return the table with these ``cells`` by column in place of those of the ``old`` row, or in a new row at its end.

        The other cells of that row stay as they are, byte for byte, and so does every other row.
        """
        if old is None:
            added = Record(_written(_filled([], cells), self.separator) + self.end, None, 0)
            return self._replace(records=(*self._ended(), added))
        return self._replace(records=tuple(self._changed(record, cells) if record is old else record for record in self.records))

    def with_columns(self, names: Sequence[str]) -> CsvTable:
        """Return the table with columns added at the end of its header; rows are read as empty there."""
        header = self.header
        if header is None:
            added = Record(_written(list(names), self.separator) + self.end, tuple(names), 0)
            return self._replace(records=(*self._ended(), added))
        width = len(header.cells or ())
        return self.with_row({width + i: name for i, name in enumerate(names)}, header)

    def _changed(self, record: Record, cells: Mapping[int, str]) -> Record:
        spans = list(_spans(record.raw, self.separator))
        raws = [record.raw[start:stop] for start, stop, _ in spans]
        end = record.raw[spans[-1][1] :] or self.end
        found = _filled(raws, {column: quoted(text, self.separator) for column, text in cells.items()})
        values = _filled([text for _, _, text in spans], cells)
        return record._replace(raw=_one_cell(found, self.separator) + end, cells=tuple(values))

    def _ended(self) -> tuple[Record, ...]:
        """The records, the last one with a line end."""
        if not self.records or self.records[-1].raw.endswith(("\n", "\r")):
            return self.records
        *before, last = self.records
        return (*before, last._replace(raw=last.raw + self.end))


def read_table(data: bytes, known: Sequence[str] = ()) -> CsvTable:
    r"""Return the table in a file; never raises.

    Cells are parted by what the header holds most columns with, of those that ``known`` names: so that a
    comma in a column's name does not count.

    >>> table = read_table(b"name;bust girth\n# from spring\nAnn;92,5\n")
    >>> table.separator, [row.cells for row in table.rows], table.comments
    (';', [('Ann', '92,5')], ['from spring'])
    >>> table.to_bytes() == b"name;bust girth\n# from spring\nAnn;92,5\n"
    True
    """
    marked = data.startswith(_BOM)
    text = data[len(_BOM) :].decode("utf-8", "surrogateescape") if marked else data.decode("utf-8", "surrogateescape")
    end = _END.search(text)
    separator = _separator(text, known)
    return CsvTable(tuple(_records(text, separator)), separator, end[0] if end else "\n", marked)


def _separator(text: str, known: Sequence[str]) -> str:
    def told(separator: str) -> tuple[int, int]:
        header = next((record.cells for record in _records(text, separator) if record.cells is not None), ())
        return sum(tidy_name(cell) in known for cell in header), len(header)

    return max(SEPARATORS, key=told)


def tidy_name(cell: str) -> str:
    """Return a column's name as options are named, without a unit behind it: ``Bust girth (cm)`` is ``bust_girth``."""
    return re.sub(r"[\s_-]+", "_", re.sub(r"[(\[][^)\]]*[)\]]\s*$", "", cell).strip().lower()).strip("_")


def _records(text: str, separator: str) -> Iterator[Record]:
    start, line = 0, 1
    while start < len(text):
        end = _END.search(text, start)
        stop = end.end() if end else len(text)
        row = text[start:stop]
        cells = None
        if row.strip() and not row.lstrip().startswith(COMMENT):
            cells = []
            for _, at, value in _spans(text, separator, start):
                cells.append(value)
                stop = at
            ended = _END.match(text, stop)
            stop = ended.end() if ended else stop
        said = cells is not None and any(cell.strip() for cell in cells)
        yield Record(text[start:stop], tuple(cells or ()) if said else None, line)
        line += len(_END.findall(text, start, stop))
        start = stop


def _spans(text: str, separator: str, at: int = 0) -> Iterator[tuple[int, int, str]]:
    """Yield where each cell of the row that begins at ``at`` stands in the text, quotes and all, and what it says."""
    while True:
        start, value = at, None
        if text.startswith('"', at):
            closed = _closing(text, at)
            if closed and (closed + 1 == len(text) or text[closed + 1] in (separator, "\r", "\n")):
                value = text[at + 1 : closed].replace('""', '"')
                at = closed + 1
        while at < len(text) and text[at] not in (separator, "\r", "\n"):
            at += 1
        yield start, at, text[start:at] if value is None else value
        if at >= len(text) or text[at] != separator:
            return
        at += 1


def _closing(text: str, at: int) -> int:
    """Return where the quote that opens at ``at`` is closed, 0 where it never is."""
    at = text.find('"', at + 1)
    while at >= 0 and text.startswith('""', at):
        at = text.find('"', at + 2)
    return max(at, 0)


def quoted(text: str, separator: str) -> str:
    """Return a cell as it is written: in quotes where it must be."""
    plain = not any(mark in text for mark in ('"', "\r", "\n", separator)) and text == text.strip() and not text.startswith(COMMENT)
    return text if plain else '"' + text.replace('"', '""') + '"'


def _filled(cells: Sequence[str], changes: Mapping[int, str]) -> list[str]:
    found = [*cells, *[""] * (max(changes, default=-1) + 1 - len(cells))]
    for column, text in changes.items():
        found[column] = text
    return found


def _written(cells: Sequence[str], separator: str) -> str:
    return _one_cell([quoted(cell, separator) for cell in cells], separator)


def _one_cell(cells: Sequence[str], separator: str) -> str:
    """Join written cells; a row of one empty cell would be no row, so it is quoted."""
    joined = separator.join(cells)
    return joined if joined.strip() and not joined.lstrip().startswith(COMMENT) else f'""{joined}' if cells and not cells[0] else joined

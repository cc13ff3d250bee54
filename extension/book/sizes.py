"""Rows that stand for one client, and rows of steps that stand for a run of sizes.

A row of steps names a row of the book as its ``base`` and in ``sizes`` all sizes in order, the base among
them; its measurements are by how much each size is larger than the one before.
"""
from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from itertools import groupby
from typing import Callable, NamedTuple

from extension.book.clients import (
    USUAL,
    Client,
    Columns,
    Trouble,
    Unreadable,
    cell,
    client_of,
    columns_of,
    known_as,
    label_of_row,
    rows_named,
    unit_of_row,
)
from extension.book.csv_table import CsvTable, Record
from extension.wording import book as words
from geometry.measuring.ease import Share
from geometry.measuring.given import Given, read_given
from geometry.measuring.lengths import HalfTyped, read_length, split_sign, write_exact, write_length
from geometry.measuring.measurements import TABLE
from geometry.measuring.steps import is_run, jumps
from geometry.refusal import Refused


class Entry(NamedTuple):
    """What may be asked for: the ``line`` it stands in, its ``label``, the ``sizes`` that it stands for (none: a client), and how it is read."""

    line: int
    label: str
    sizes: tuple[str, ...]
    read: Callable[[], list[Client]]


def entries_of(table: CsvTable) -> list[Entry]:
    """Return all that a book holds, in its order; a row that is the base of a run of sizes is drafted among these."""
    columns = columns_of(table)
    width = len(table.header.cells or ()) if table.header else 0
    entries, bases = [], set()
    for row in table.rows:
        base = cell(row, columns, "base")
        if base:
            names = size_names(row, columns)
            bases.add(known_as(base))
            entries.append(Entry(row.line, label_of_row(row, columns), names, partial(sizes_of, row, table, columns, width)))
        else:
            entries.append(Entry(row.line, label_of_row(row, columns), (), partial(_one, row, columns, width)))
    return [entry for entry in entries if entry.sizes or known_as(entry.label) not in bases]


def chosen_by(entries: Sequence[Entry], name: str) -> list[Entry]:
    """Return the entries of a name: clients and runs of sizes; else the one size of a run that is called so."""
    named = [entry for entry in entries if known_as(entry.label) == known_as(name)]
    if named:
        return named
    return [entry._replace(read=partial(_of_the_run, entry, name)) for entry in entries if known_as(name) in map(known_as, entry.sizes)]


def _one(row: Record, columns: Columns, width: int) -> list[Client]:
    return [client_of(row, columns, width)]


def _of_the_run(run: Entry, name: str) -> list[Client]:
    return [client for client in run.read() if known_as(client.label) == known_as(name)]


def size_names(row: Record, columns: Columns) -> tuple[str, ...]:
    """Return the names of sizes in their order."""
    return tuple(name.strip() for name in re.split(r"[;,|]", cell(row, columns, "sizes")) if name.strip())


def sizes_of(row: Record, table: CsvTable, columns: Columns, width: int) -> list[Client]:
    """Return the sizes of a row of steps, from the first to the last.  Raises :class:`Unreadable`."""
    label, base_name, names = label_of_row(row, columns), cell(row, columns, "base"), size_names(row, columns)
    said = {name: cell(row, columns, name) for name in USUAL if cell(row, columns, name)}
    unit = unit_of_row(row, columns, said)
    troubles: list[Trouble] = []

    def trouble(column: str, refusal: Refused) -> None:
        troubles.append(Trouble(row.line, label, column, cell(row, columns, column), refusal, unit or "cm"))

    bases = rows_named(table, columns, base_name)
    if len(bases) != 1:
        trouble("base", Refused("no such base"))
    for refusal in wrong_with_the_names(names, base_name):
        trouble("sizes", refusal)
    if not unit:
        trouble("unit", Refused("no unit in the book"))
    steps = {}
    for name, text in said.items() if unit else ():
        try:
            steps[name] = read_step(name, text, columns.units.get(name, unit))
        except HalfTyped:
            trouble(name, Refused("half a number"))
        except Refused as refusal:
            trouble(name, refusal)
    if troubles:
        raise Unreadable(troubles)
    base = client_of(bases[0], columns, width)._replace(line=row.line)
    for name, refusal in wrong_with_the_steps(steps, base):
        trouble(name, refusal)
    if troubles:
        raise Unreadable(troubles)
    place = [known_as(name) for name in names].index(known_as(base_name))
    return [stepped(base, steps, k - place, name) for k, name in enumerate(names)]


def wrong_with_the_names(names: Sequence[str], base: str) -> Iterator[Refused]:
    """Yield what is wrong with the names of the sizes of a run."""
    known = [known_as(name) for name in names]
    if known_as(base) not in known:
        yield Refused("base not among the sizes")
    twice = [name for k, name in enumerate(names) if known[k] in known[:k]]
    if twice:
        yield Refused("size named twice", size=twice[0])


def wrong_with_the_steps(steps: Mapping[str, float], base: Client) -> Iterator[tuple[str, Refused]]:
    """Yield the measurements that can't grow from what the base has there, and why."""
    for name, step in steps.items():
        if "%" in base.typed[name]:
            yield name, Refused("no steps there")
        elif step and TABLE[name].zero and TABLE[name].least and not read_length(base.typed[name], base.typed["unit"]):
            yield name, Refused("no steps from 0", zero=TABLE[name].zero)


def read_step(name: str, text: str, unit: str) -> float:
    """Return by how much a measurement grows from one size to the next, millimetres, with its sign."""
    if name not in TABLE:
        raise Refused("no steps there")
    sign, size = split_sign(text)
    return sign * read_length(size, unit)


def stepped(base: Client, steps: dict[str, float], count: int, label: str) -> Client:
    """Return the size so many steps from the base; a measurement that does not change is as typed there."""
    typed = {**base.typed, "label": label}
    for name, step in steps.items():
        if step and count:
            value = read_length(typed[name], typed["unit"]) + count * step
            typed[name] = write_exact(value, typed["unit"], 6)
    return base._replace(label=label, typed=typed)


# --- from size to size ---------------------------------------------------------------------------------


def are_sizes(clients: Sequence[Client]) -> bool:
    """Return whether these, whose measurements can all be read, are a run of sizes: the bust girth grows from each to
    the next, or falls.

    A book of clients in the order in which they came is none, and says nothing by its steps.
    """
    return _is_run([read_given(client.typed, client.typed["unit"]) for client in clients])


def jumps_along(clients: Sequence[Client]) -> list[str]:
    """Return sentences on the measurements that jump between two sizes of a run; none where the clients are no run.

    A client whose measurements can't be read parts two runs.
    """
    read = [(client, _given_of(client)) for client in clients]
    runs = [[*zip(*run)] for readable, run in groupby(read, lambda each: each[1] is not None) if readable]
    return [said for sizes, given in runs if _is_run(given) for said in _jumps_in(sizes, given)]


def _is_run(given: Sequence[Given]) -> bool:
    return is_run([each.bust_girth for each in given])


def _jumps_in(sizes: Sequence[Client], given: Sequence[Given]) -> Iterator[str]:
    unit = sizes[0].typed["unit"]
    for name in Given._fields:
        values = [getattr(each, name) for each in given]
        if any(isinstance(value, Share) for value in values):
            continue  # an ease in percent grows with its girth
        for k in jumps(values):
            steps = [after - before for before, after in zip(values, values[1:])]
            beside = " and ".join(write_length(steps[j], unit) for j in (k - 1, k + 1) if 0 <= j < len(steps))
            yield words.jump(TABLE[name].label, sizes[k].label, sizes[k + 1].label, write_length(steps[k], unit), beside)


def _given_of(client: Client) -> Given | None:
    try:
        return read_given(client.typed, client.typed["unit"])
    except (HalfTyped, Refused):
        return None

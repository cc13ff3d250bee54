"""Sentences about the client book."""
from __future__ import annotations

from collections.abc import Sequence

REPORT = "Client book"


def kept(label: str, book: str, written: bool) -> str:
    """Return that a client stands in the book now, or did so already."""
    if not written:
        return f"{label} stands so in “{book}” already."
    return f"{label} is kept in “{book}”; the state before, if there was any, is beside it as .bak."


def trouble(line: int, label: str, column: str, read: str, why: str) -> str:
    """Return why a row was not drafted: where it stands, what was read, and the reason as a sentence."""
    where = f"Line {line}, {label or 'no name'}"
    where += f", column {column}" if column else ""
    said = f": “{read}” was read" if read and f"“{read}”" not in why else ""
    return f"{where}{said}: {why.rstrip('.')}."


def no_job_sheet(label: str, why: str) -> str:
    """Return why a client that was drafted has no job sheet."""
    return f"{label or 'No name'} is drafted, but has no job sheet: {why}"


def not_written(label: str, name: str, why: str) -> str:
    """Return why a client's files could not be written, though the others' could."""
    return f"{label or 'No name'} is not written: “{name}” or a file in it can’t be replaced ({why}). Close it or move it away, and draft her again."


def not_in_the_book(names: Sequence[str]) -> str:
    """Return which names stand in no row."""
    return f"Not in the book: {'; '.join(names)}."


def jump(label: str, before: str, after: str, step: str, beside: str) -> str:
    """Return which step of a measurement is out of line with its neighbours."""
    return f"{label}: from {before} to {after} it goes by {step}, beside by {beside}. Check both rows."


def tiers_as_planned(label: str) -> str:
    """Return that tier lines moved by hand were not carried to a size that has others."""
    return f"{label}: its tiers are not those of the selected sleeve, so its tier lines stand as planned; move them by hand."


def put_right(label: str, title: str, measured: str) -> str:
    """Return what is wrong with a size that has the shape of another: ``title`` and ``measured`` as in the truing report."""
    return f"{label}, to put right: {title[0].lower()}{title[1:]}: {measured}."


NEXT_AFTER_KEEPING = "Draft Sleeve starts from her by name; here, “draft clients of the book” draws one or many."
NEXT_AFTER_SLEEVES = "Select a sleeve (any line of it), and go on as with any other: 2 Re-measure After Editing, 3 Cutting Plan, 4 Print Pages."
NEXT_AFTER_NESTED = "4 Print Pages prints all sizes at true size. For strips and cloth draft a size alone; then 3 Cutting Plan."
NEXT_AFTER_FILES = "Open a drawing to edit it or to print it: 2 Re-measure After Editing, 4 Print Pages. The job sheets are there to cut by."

#: What the lines beside the names mean where sleeves stand side by side.
BESIDE_NOTE = "Each sleeve’s Cutting line is whole or has dots, as below; the Seam line has dashes and no dots in all of them."

NESTED = "Nested sizes"
NESTED_NOTE = (
    "All sizes lie on one grain line and one top edge. Cutting line wide, seam line and tier lines narrow, each size with a line of its"
    " own and named at its ends. To change one size by hand, draft it alone."
)


def drafted(count: int, of: int) -> str:
    """Return how many clients were drafted."""
    return f"{count} of {of} drafted."


def written(folder: str) -> str:
    """Return where the files are."""
    return f"In “{folder}” each has a folder of her own, with the drawing, the job sheet and the cut list; book-log.txt has a line for each."


def logged(label: str, name: str) -> str:
    """Return the line of the log for a client whose files are whole."""
    return f"{label}: {name}/{name}.svg"

"""Drafting the clients of a book: side by side in the open document, or each into files of her own."""
from __future__ import annotations

import io
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Callable, NamedTuple

import inkex
from lxml import etree

from extension.book.clients import Client, Trouble, Unreadable
from extension.book.csv_table import CsvTable
from extension.book.nested_sheet import Drafted, draw_lines_and_tables, give_pattern, nested_sheet
from extension.book.shapes import Shape, reshaped
from extension.book.sizes import chosen_by, entries_of, jumps_along
from extension.document.file_names import file_names
from extension.document.part_names import BOOK_REPORT, CUTTING_LINE
from extension.document.parts import find_parts, new_sleeve_layer
from extension.document.whole_files import write_whole
from extension.drafting.placing import move_into_view, move_rows_into_view, place_sleeve, sleeve_drawn
from extension.drafting.start import draft_as_typed
from extension.drawing.sheet import Column, Sheet
from extension.wording import book as words
from extension.wording.notes import NEXT
from extension.wording.refusals import sentence
from geometry.box import Box
from geometry.measuring.lengths import HalfTyped
from geometry.refusal import Refused
from geometry.sleeve.draft import Draft

#: The page of a client's own document, on which any sleeve finds room with its notes, as a roll of paper has it.
PAGE = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
    ' width="1100mm" height="900mm" viewBox="0 0 1100 900"/>'
)
LOG = "book-log.txt"

_REPORT_WIDTH = 180.0

#: What is done with a client's document before it is written: the job sheet, into a folder.
Finish = Callable[["inkex.SvgDocumentElement", str], None]


class Asked(NamedTuple):
    """Whom the book was asked for: the ``clients`` whose rows can be read, in sentences what is wrong with the others
    or jumps from size to size, out of how ``many``, and whose ``shape`` is carried over.

    ``files`` names the files of each by line and label: by all of the book, so that they are the same whoever is asked for.
    """

    clients: list[Client]
    said: list[str]
    many: int
    files: Mapping[tuple[int, str], str]
    shape: Shape | None = None


def asked_for(table: CsvTable, wanted: str) -> Asked:
    """Return the clients that are ``wanted``, in the order of the names, or of the book where all are."""
    entries = entries_of(table)
    everyone = [(entry.line, label) for entry in entries for label in entry.sizes or (entry.label,)]
    files = dict(zip(everyone, file_names(label for _, label in everyone)))
    chosen, unknown = entries, []
    if wanted.strip().lower() != "all":
        names = [" ".join(name.split()) for name in ([wanted] if chosen_by(entries, wanted) else wanted.split(";")) if name.strip()]
        found = [chosen_by(entries, name) for name in names]
        chosen = [entry for each in found for entry in each]
        unknown = [name for name, each in zip(names, found) if not each]
    runs: list[list[Client]] = [[]]  # what can't be read parts two runs: a step across it would be a jump
    said = [words.not_in_the_book(unknown)] if unknown else []
    seen, unreadable_rows = set(), 0
    for entry in chosen:
        try:
            read = [client for client in entry.read() if client[:2] not in seen]  # whoever is named twice is meant once
            seen.update(client[:2] for client in read)
            runs[-1] += read
        except Unreadable as unreadable:
            said += [_sentence(trouble) for trouble in unreadable.troubles]
            runs.append([])
            unreadable_rows += 1
    said += [jump for run in runs for jump in jumps_along(run)]
    return Asked([client for run in runs for client in run], said, len(seen) + unreadable_rows, files)


def drafts_of(asked: Asked, said: list[str]) -> Iterator[tuple[Client, Draft]]:
    """Yield each client with her sleeve; of one that can't be drafted the reason is added to what is ``said``."""
    for client in asked.clients:
        try:
            draft = draft_as_typed(client.typed, client.tiers)
            if asked.shape is not None:
                draft, found = reshaped(draft, asked.shape, client)
                said += found
            yield client, draft
        except HalfTyped as half:
            said.append(words.trouble(client.line, client.label, "", half.typed, sentence(Refused("half a number"), "cm")))
        except Refused as refusal:
            said.append(words.trouble(client.line, client.label, "", "", sentence(refusal, client.typed["unit"])))


def _sentence(trouble: Trouble) -> str:
    return words.trouble(trouble.line, trouble.label, trouble.column, trouble.read, sentence(trouble.refusal, trouble.unit))


def draft_beside(svg: inkex.SvgDocumentElement, asked: Asked) -> None:
    """Draw all sleeves beside what is there, in rows, and a report of what there is to say.  Raises :class:`Refused` where none can be drawn."""
    said = list(asked.said)
    drafted = list(drafts_of(asked, said))
    sheets = [sleeve_drawn(svg, draft, client.typed) for client, draft in drafted]
    for number, sheet in enumerate(sheets):
        for line in find_parts(sheet.layer, CUTTING_LINE):
            give_pattern(line, number)
    if sheets:
        move_rows_into_view(sheets, Box(*drafted[0][1].cutting.bounds()))
    report_on(svg, asked, drafted, said)


def draft_nested(svg: inkex.SvgDocumentElement, asked: Asked) -> None:
    """Draw every sleeve on one grain line and top edge; one alone as it would be drawn by itself.  Raises as :func:`draft_beside`."""
    said = list(asked.said)
    drafted = list(drafts_of(asked, said))
    if len(drafted) > 1:
        move_into_view(nested_sheet(svg, drafted))
    elif drafted:
        place_sleeve(svg, drafted[0][1], drafted[0][0].typed, replace=False)
    report_on(svg, asked, drafted, said, tabled=False)


def report_on(svg: inkex.SvgDocumentElement, asked: Asked, drafted: Sequence[Drafted], said: Sequence[str], tabled: bool = True) -> None:
    """Draw a report where there is anything to say: of several drafts, if ``tabled``, how large each is.  Raises :class:`Refused` where none is."""
    require_some(len(drafted), said)
    table = drafted if tabled and len(drafted) > 1 else ()
    if said or table:
        told = [words.drafted(len(drafted), asked.many), *said, *([words.BESIDE_NOTE] if table else [])]
        draw_report(svg, told, words.NEXT_AFTER_SLEEVES, table)


def draft_into_files(svg: inkex.SvgDocumentElement, asked: Asked, folder: str, finish: Finish) -> None:
    """Write for each client a folder with her drawing and whatever ``finish`` adds; the open document gets the report.

    Each file is written whole; a line of the log for each client as soon as all of hers are.  Whose place is taken by
    something else is told, and the others go on.  Raises :class:`Refused` where the folder can't be written to, or
    nobody can be drafted.
    """
    place = Path(folder).expanduser()
    if not folder.strip() or not place.is_dir():
        raise Refused("no folder for files", folder=folder)
    said, count = list(asked.said), 0
    try:
        with (place / LOG).open("a", encoding="utf-8") as log:
            for client, draft in drafts_of(asked, said):
                name = asked.files[client[:2]]
                try:
                    said += write_client(place / name, name, client, draft, finish)
                except (FileExistsError, IsADirectoryError, NotADirectoryError, PermissionError) as error:
                    said.append(words.not_written(client.label, name, str(error.strerror)))
                    continue
                print(words.logged(client.label, name), file=log, flush=True)
                count += 1
            for text in said:
                print(text, file=log)
    except OSError as error:
        raise Refused("folder not writable", folder=folder, reason=str(error.strerror)) from error
    require_some(count, said)
    draw_report(svg, [words.drafted(count, asked.many), words.written(folder), *said], words.NEXT_AFTER_FILES)


def write_client(place: Path, name: str, client: Client, draft: Draft, finish: Finish) -> list[str]:
    """Write a client's files into the folder ``place``, the drawing last, so that where it is all of hers are.

    Return why there is no job sheet, where none could be made.
    """
    document = etree.ElementTree(etree.fromstring(PAGE.encode(), parser=inkex.elements.SVG_PARSER))
    place_sleeve(document.getroot(), draft, client.typed, replace=False)
    drawing = io.BytesIO()
    document.write(drawing)
    place.mkdir(exist_ok=True)
    said = []
    try:
        finish(document.getroot(), str(place))
    except Refused as refusal:
        said.append(words.no_job_sheet(client.label, sentence(refusal, client.typed["unit"])))
    file = place / f"{name}.svg"
    if not file.is_file() or file.read_bytes() != drawing.getvalue():
        write_whole(place, {file.name: drawing.getvalue()}, keep_replaced=True)  # she may have moved its lines
    return said


def require_some(count: int, said: Sequence[str]) -> None:
    """Raise :class:`Refused` with all that was ``said`` where nobody was drafted."""
    if not count:
        raise Refused("nobody to draft", why="\n".join(said[:20]) or "It has no rows.")


def draw_report(svg: inkex.SvgDocumentElement, said: Sequence[str], comes_next: str, drafted: Sequence[Drafted] = ()) -> None:
    """Letter what there is to say in a layer of its own, in place of an earlier report, with lines and tables of what was ``drafted``."""
    for old in find_parts(svg, BOOK_REPORT):
        old.getparent().remove(old)
    sheet = Sheet(new_sleeve_layer(svg, words.REPORT, part=BOOK_REPORT))
    column = Column(sheet, sheet.layer, 0.0, 0.0, _REPORT_WIDTH)
    column.paragraph(words.REPORT, 5.0, bold=True)
    column.gap(1.5)
    for text in said:
        column.paragraph(text)
        column.gap(1.0)
    if drafted:
        column.gap(2.0)
        draw_lines_and_tables(sheet, sheet.layer, column, drafted)
        column.gap(3.0)
    column.paragraph(NEXT, bold=True)
    column.paragraph(comes_next)
    move_into_view(sheet)

"""The example on sheets of paper, out of the PDF that the editor exports: page by page, and taped together."""
from __future__ import annotations

import subprocess
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import pypdfium2
from lxml import etree
from PIL import Image, ImageDraw

from extension.cutting_plan import CuttingPlan
from extension.demo import BLANK, applied, drafted
from extension.print_pages import PrintPages
from extension.printing.projection import COLOURS
from extension.wording.notes import FIRST_PAGE
from tests.host import editor_environment

MARGIN = 10.0  # mm, as asked for below
OPTIONS = ["--paper=A4", f"--margin={MARGIN:g} mm", "--overlap=3/8 in"]
#: Small enough that nobody takes the pictures for patterns.
PIXELS_PER_MM = 2.2
TABLE_GREY, EDGE_GREY, GAP = "#9a9a9a", "#b8b8b8", 12
_PAGE = "{http://www.inkscape.org/namespaces/inkscape}page"
_LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"


class Sheet(NamedTuple):
    """A page of the PDF: what it is called, where it lies on the drawing (mm), and how it looks."""

    code: str
    left: float
    top: float
    picture: Image.Image


def printed_sheets(options: Sequence[str] = OPTIONS, sleeve: str = "") -> list[Sheet]:
    """Print the example, or another sleeve, let the editor export it, and return the PDF's pages, a first page first if there is one."""
    drawing = applied(PrintPages(), options, sleeve or drafted(document=BLANK))
    listed = list(etree.fromstring(drawing.encode()).iter(_PAGE))
    with tempfile.TemporaryDirectory() as workshop:
        source, pdf = Path(workshop, "pages.svg"), Path(workshop, "pages.pdf")
        source.write_text(drawing, encoding="utf-8")
        command = ["inkscape", f"--export-filename={pdf}", str(source)]
        subprocess.run(command, env=editor_environment("", Path(workshop)), check=True, capture_output=True)
        pages = pypdfium2.PdfDocument(pdf)
        pictures = [page.render(scale=PIXELS_PER_MM * 25.4 / 72).to_pil() for page in pages]
    # The blank document counts in millimetres.
    return [
        Sheet(page.get(_LABEL), float(page.get("x")), float(page.get("y")), picture) for page, picture in zip(listed, pictures)
    ]


def side_by_side(file: Path) -> None:
    """Show all pages in a row or two, small."""
    sheets = [sheet.picture.reduce(2) for sheet in printed_sheets()]
    across = (len(sheets) + 1) // 2
    width, height = (max(side) + GAP for side in zip(*(sheet.size for sheet in sheets)))
    table = Image.new("RGB", (across * width + GAP, 2 * height + GAP), TABLE_GREY)
    for number, sheet in enumerate(sheets):
        row, column = divmod(number, across)
        table.paste(sheet, (GAP + column * width, GAP + row * height))
    table.save(file, optimize=True)


def taped_together(file: Path) -> None:
    """Cut each sheet along its trim lines where a neighbour lies left of it or above, and lay it over that neighbour."""
    sheets = [sheet for sheet in printed_sheets() if sheet.code != FIRST_PAGE]
    left, top = (min(place) for place in zip(*(sheet[1:3] for sheet in sheets)))
    size = [
        round(max(sheet[axis] - start for sheet in sheets) * PIXELS_PER_MM) + sheets[0].picture.size[axis - 1] + 2 * GAP
        for axis, start in ((1, left), (2, top))
    ]
    table = Image.new("RGB", size, TABLE_GREY)
    for sheet in sheets:
        cut_x, cut_y = (MARGIN if has else 0.0 for has in _neighbours(sheet, sheets))
        shown = sheet.picture.crop((round(cut_x * PIXELS_PER_MM), round(cut_y * PIXELS_PER_MM), *sheet.picture.size))
        ImageDraw.Draw(shown).rectangle((0, 0, shown.width - 1, shown.height - 1), outline=EDGE_GREY)
        place = (round((sheet.left + cut_x - left) * PIXELS_PER_MM) + GAP, round((sheet.top + cut_y - top) * PIXELS_PER_MM) + GAP)
        table.paste(shown, place)
    table.save(file, optimize=True)


def to_project(file: Path) -> None:
    """Show the page for a projector beside itself in the other colours, small."""
    pages = [printed_sheets(["--paper=projector", f"--colours={colours}"])[0].picture.reduce(3) for colours in COLOURS]
    table = Image.new("RGB", (sum(page.width + GAP for page in pages) + GAP, pages[0].height + 2 * GAP), TABLE_GREY)
    for number, page in enumerate(pages):
        table.paste(page, (GAP + number * (page.width + GAP), GAP))
    table.save(file, optimize=True)


def small_scale(file: Path) -> None:
    """Show the sheet for the notebook, with the pieces of a cutting plan."""
    [sheet] = printed_sheets(["--paper=small_A4"], applied(CuttingPlan(), [], drafted(document=BLANK)))
    ImageDraw.Draw(sheet.picture).rectangle((0, 0, sheet.picture.width - 1, sheet.picture.height - 1), outline=EDGE_GREY)
    sheet.picture.save(file, optimize=True)


def _neighbours(sheet: Sheet, sheets: Sequence[Sheet]) -> tuple:
    """Whether this sheet would cover one of its row that lies left of it, and one of a row above."""
    wide, high = (side / PIXELS_PER_MM for side in sheet.picture.size)
    beside = any(other.top == sheet.top and sheet.left - wide < other.left < sheet.left for other in sheets)
    above = any(other.top < sheet.top and sheet.top - other.top < high and abs(sheet.left - other.left) < wide for other in sheets)
    return beside, above

"""The job as files that open anywhere: job sheet and quote as pages of HTML that print well, and a cut list of CSV."""
from __future__ import annotations

import copy
import csv
import errno
import io
from collections.abc import Sequence
from datetime import date
from html import escape
from pathlib import Path
from typing import NamedTuple

import numpy as np
from lxml import etree

from extension.cutting.end_sheet import how_cut
from extension.cutting.job_names import name_of_job, whose
from extension.cutting.job_sheet import JobSheet, Section, Steps, Terms, money, working_section
from extension.cutting.lay_sheet import Picture
from extension.document.spreadsheets import harmless
from extension.document.whole_files import write_whole
from extension.drawing.pens import SMALL_SIZE
from extension.drawing.tables import Table
from extension.wording import job
from extension.wording import working as words
from extension.wording.edges import EDGE_WORDS, TIERS_TRIM
from extension.wording.notes import CAUTIONS
from extension.wording.ways import WAYS
from geometry.cloth.cutting import CuttingPlan
from geometry.cloth.edges import trim_of
from geometry.cloth.even_gathers import gather_marks
from geometry.cloth.price import Quote
from geometry.cloth.strips import Tier
from geometry.measuring.lengths import INCH
from geometry.measuring.sums import Sum
from geometry.paper.flow import shortest_cuts
from geometry.refusal import Problem, Refused

#: What the names of the files end in; before it stands whose they are.
PAGE_NAME, LIST_NAME, QUOTE_NAME, WORKING_NAME = "job-sheet.html", "cut-list.csv", "quote.html", "working.html"

#: Room for a picture on a page, within the margins of A4 and of US letter, millimetres.
_PAGE_WIDTH, _PAGE_HEIGHT = 180.0, 250.0

_STYLE = """
@page { margin: 14mm }
body { font: 10pt/1.35 "Liberation Sans", Arial, Helvetica, sans-serif; color: #000; max-width: 182mm; margin: 0 auto }
h1 { font-size: 19pt; margin: 0 }
h2 { font-size: 12.5pt; margin: 6mm 0 1.5mm; break-after: avoid }
p { margin: 1mm 0 }
.style { font-size: 14pt; font-weight: bold }
.warning { border: 0.5mm solid #000; padding: 1.5mm 2.5mm; font-weight: bold; margin: 2mm 0 }
table { border-collapse: collapse; font-size: 9pt; margin: 1.5mm 0 2.5mm }
th, td { padding: 0.6mm 2.2mm; border-bottom: 0.2mm solid #999; text-align: left; vertical-align: bottom }
th { border-bottom: 0.4mm solid #000 }
.number { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap }
thead { display: table-header-group }
tr, li, figure, .warning, .whole { break-inside: avoid }
p { orphans: 2; widows: 2 }
ol { margin: 1mm 0; padding-left: 7mm }
figure { margin: 0 }
figure:first-of-type { margin-top: 4mm }
svg { display: block; max-width: 100%; height: auto }
@media screen {
  body { padding: 4mm; font-size: 1rem; max-width: 64rem }
  table { font-size: 0.9rem }
  .wide { overflow-x: auto }
}
"""

#: Where a picture goes on upon the next page, both show so much of what lies across, so that numbers there can be read.
_REACH = SMALL_SIZE * 0.6

#: A table of no more rows stays on one page.
_WHOLE = 20

#: UTF-8, and letters of a size to read on a phone.
_METAS = '<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'

#: The quote stays on one sheet, whatever is drawn.
_QUOTE_STYLE = """
body { font-size: 11pt }
svg { max-height: 110mm; margin: 4mm auto }
table { font-size: 11pt; min-width: 90mm }
.total td { font-weight: bold; border-top: 0.4mm solid #000; border-bottom: 0.4mm solid #000 }
"""


class Pictures(NamedTuple):
    """What is shown on the pages: the flat and every lay on the job sheet, the flat without its words on the quote."""

    of_job: Sequence[Picture]
    of_quote: Picture


def write_job_files(
    folder: str, sheet: JobSheet, plan: CuttingPlan, terms: Terms, pictures: Pictures, working: Sequence[Sum] = ()
) -> None:
    """Write job sheet and cut list into ``folder``, and a quote and the ``working`` where there is one: all or none.

    What things cost stands in the job sheet alone: the page of the working is shown to others.

    Those of an earlier plan of the same job are replaced, and kept once as ``.bak``.  Raises :class:`Refused`
    where the folder is missing or a file can't be written.
    """
    contents = {
        PAGE_NAME: html_page(sheet, pictures.of_job).encode("utf-8"),
        # The mark by which spreadsheets tell UTF-8 from older encodings.
        LIST_NAME: cut_list(sheet, plan).encode("utf-8-sig"),
    }
    if working:
        alone = JobSheet(sheet.label, [], [], [working_section([each for each in working if not each.is_money], plan.job.tape.unit)], [])
        contents[WORKING_NAME] = html_page(alone, [], words.HEADING).encode("utf-8")
    if sheet.asked:
        contents[QUOTE_NAME] = quote_page(sheet.label, plan, sheet.asked, terms, pictures.of_quote).encode("utf-8")
    place = Path(folder).expanduser()
    if not place.is_dir():
        raise Refused("job sheet folder", folder=folder, problem=Problem("no folder" if place.exists() else "missing", {}))
    name = name_of_job(place, sheet.label, PAGE_NAME)
    try:
        write_whole(place, {f"{name}-{ending}": content for ending, content in contents.items()}, keep_replaced=True)
    except OSError as error:
        meant = [f"{name}-{ending}" for ending in contents]
        file = next((Path(path).name for path in (error.filename, error.filename2) if path and Path(path).name in meant), "")
        rule = "no room" if error.errno == errno.ENOSPC else "file not writable" if file else "not writable"
        problem = Problem(rule, {"reason": str(error.strerror), "file": file})
        raise Refused("job sheet folder", folder=folder, problem=problem) from error


# --- the cut list ---------------------------------------------------------------------------------


#: The lengths of the cut list, each in millimetres and in inches.
_LENGTHS = ("line_length", "spacing", "drop", "cut_width", "cut_length")


#: Where the gathers of a strip begin, and how far its eighths lie apart on either half.
_MARKS = ("first_mark", "back_eighth", "front_eighth")


def cut_list(sheet: JobSheet, plan: CuttingPlan) -> str:
    """Return the cut list, one row for each tier and cloth that it is cut from, or that is bought gathered, as CSV (RFC 4180).

    Lengths are exact, in millimetres and in inches; ``pieces`` and ``joins`` are those of one strip, the columns
    that end in ``_in_all`` count every layer and sleeve.
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([
        "style", "tier", "cloth", "fullness", *(f"{name}_{unit}" for unit in ("mm", "in") for name in _LENGTHS),
        "layers", "pieces", "joins", "strips_in_all", "pieces_in_all", "joins_in_all",
        "back_end", "back_end_past_line_mm", "back_end_past_line_in", "front_end", "front_end_past_line_mm", "front_end_past_line_in",
        "other_line", "first_layer", *(f"{name}_{unit}" for name in _MARKS for unit in ("mm", "in")), "free_edge",
    ])  # fmt: skip
    for tier in plan.hung:
        ends = [cell for end, past in zip(tier.ends, tier.past_line) for cell in (how_cut(tier, end), _exact(past), _exact_inches(past))]
        about, last = (harmless(sheet.label), tier.number), (*ends, harmless(tier.name), tier.first_layer, *_marks(plan, tier))
        for row in plan.rows(tier):
            lengths = tier.line, tier.spacing, tier.drop, tier.cut_width, tier.cut_length(row.allowed)
            writer.writerow([
                *about, harmless(row.cloth), f"{tier.fullness:.6g}", *map(_exact, lengths), *map(_exact_inches, lengths),
                row.strips // tier.copies(plan.job.sleeves), row.joins + 1, row.joins, row.strips, row.strips + row.all_joins, row.all_joins,
                *last, EDGE_WORDS[tier.edge].name,
            ])  # fmt: skip
        if tier.is_bought:
            strips, measured = tier.layers * plan.job.sleeves, (tier.line, tier.spacing, tier.drop)
            in_mm, in_inches = ([*map(write, measured), "", write(trim_of(tier))] for write in (_exact, _exact_inches))
            writer.writerow([*about, job.BOUGHT, "", *in_mm, *in_inches, tier.layers, 1, 0, strips, strips, 0, *last, TIERS_TRIM.name])
    return out.getvalue()


def _marks(plan: CuttingPlan, tier: Tier) -> list[str]:
    """Return where the gathers of a strip begin and how far its eighths lie apart, empty where it is not gathered."""
    marks = gather_marks(tier, plan.job.style.front_share)
    if marks is None:
        return [""] * 2 * len(_MARKS)
    return [cell for each in (marks.first, marks.on_back, marks.on_front) for cell in (_exact(each), _exact_inches(each))]


def _exact(millimetres: float) -> str:
    """To the thousandth of a millimetre, which is finer than the drawing itself is kept."""
    return f"{millimetres:.3f}"


def _exact_inches(millimetres: float) -> str:
    return f"{millimetres / INCH:.4f}"


# --- the page -------------------------------------------------------------------------------------


def html_page(sheet: JobSheet, pictures: Sequence[Picture], heading: str = job.TITLE) -> str:
    """Return the page: everything in it, nothing to fetch."""
    title = f"{heading}: {sheet.label}" if sheet.label else heading
    parts = [
        "<!DOCTYPE html>",
        f'<html lang="en"><head>{_METAS}{whose(sheet.label)}<title>{escape(title)}</title>',
        f"<style>{_STYLE}{_at_the_foot(title)}</style></head><body><main>",
        f"<h1>{escape(heading)}</h1>",
        f'<p class="style">{escape(sheet.label)}</p>' if sheet.label else "",
        *(f'<p class="warning">{escape(warning)}</p>' for warning in sheet.warnings),
        *map(_html_section, sheet.tables),
        *map(_html_section, sheet.steps),
        *(_html_picture(picture, number) for number, picture in enumerate(pictures, start=1)),
        *map(_html_section, sheet.pages_only),
        "</main></body></html>\n",
    ]
    return "\n".join(filter(None, parts))


def _at_the_foot(title: str) -> str:
    """Return the style that prints whose page it is, and which, at the foot of every page, where the browser can."""
    in_css = "".join(letter if letter.isalnum() or letter == " " else f"\\{ord(letter):x} " for letter in title)
    return f'@page {{ @bottom-right {{ content: "{in_css}, page " counter(page) " of " counter(pages); font-size: 8pt }} }}'


def quote_page(label: str, plan: CuttingPlan, asked: Quote, terms: Terms, flat: Picture) -> str:
    """Return the page for the client, one sheet of paper: what is made, how it looks, what it costs; neither hours nor margin."""
    without = [f"<p><b>{escape(job.not_in_the_price(asked.left_out))}</b></p>"] if asked.left_out else []
    until = [job.valid_until(terms.valid_until)] if terms.valid_until else []
    return "\n".join([
        "<!DOCTYPE html>",
        f'<html lang="en"><head>{_METAS}{whose(label)}<title>{escape(job.QUOTE_TITLE)}: {escape(label)}</title>',
        f"<style>{_STYLE}{_QUOTE_STYLE}</style></head><body><main>",
        *([f"<p>{escape(terms.maker)}</p>"] if terms.maker else []),
        f"<h1>{escape(job.QUOTE_TITLE)}</h1>",
        *([f'<p class="style">{escape(label)}</p>'] if label else []),
        f"<p>{escape(what_is_made(plan))}</p>",
        _html_picture(flat, 1),
        html_table(client_table(asked, terms)),
        *without,
        f"<p>{escape(' '.join([job.dated(date.today()), *until]))}</p>",
        f"<p>{escape(CAUTIONS[0])}</p>",
        "</main></body></html>\n",
    ])


def what_is_made(plan: CuttingPlan) -> str:
    """Return in a sentence what the client gets."""
    layers = sorted({tier.layers for tier in plan.tiers})
    contrast = any(tier.contrast_layers for tier in plan.tiers)
    others = [line.name for line in plan.job.others.lines]
    bought = [tier.number for tier in plan.tiers if tier.is_bought]
    way = WAYS[plan.job.style.make].name if plan.cut else job.BOUGHT
    said = job.numbers(bought) if bought and plan.cut else ""
    return job.what_is_made(plan.job.sleeves, len(plan.tiers), way, layers, contrast, others, said)


def client_table(asked: Quote, terms: Terms) -> Table:
    """Return what the client pays."""
    rows = [[job.material(name), money(cost)] for name, cost in asked.materials]
    rows += [["Making", money(asked.making)], ["Price", money(asked.price)]]
    total = len(rows) - 1
    if asked.deposit:
        rows += [["Deposit, with the order", money(asked.deposit)], ["Balance", money(asked.balance)]]
    return Table(["For", terms.currency or "Sum"], rows, total=total)


def _html_section(section: Section) -> str:
    return f"<section><h2>{escape(section.heading)}</h2>\n" + "\n".join(map(_html_part, section.body)) + "</section>"


def _html_part(part: str | Table | Steps) -> str:
    if isinstance(part, Table):
        return f'<div class="whole">{html_table(part)}</div>' if len(part.rows) <= _WHOLE else html_table(part)
    if isinstance(part, Steps):
        return "<ol>" + "".join(f"<li>{escape(row)}</li>" for row in part.rows) + "</ol>"
    return f"<p>{escape(part)}</p>"


def html_table(table: Table) -> str:
    """Return the table as HTML; where it is wider than the screen it scrolls by itself, by key too."""
    head = "".join(f'<th scope="col"{_side(table, i)}>{escape(name).replace(chr(10), "<br>")}</th>' for i, name in enumerate(table.head))
    cells = ("".join(f"<td{_side(table, i)}>{escape(cell)}</td>" for i, cell in enumerate(row)) for row in table.rows)
    rows = (f"<tr{_weight(table, k)}>{row}</tr>" for k, row in enumerate(cells))
    return f'<div class="wide" tabindex="0"><table><thead><tr>{head}</tr></thead><tbody>\n{chr(10).join(rows)}\n</tbody></table></div>'


def _weight(table: Table, row: int) -> str:
    return ' class="total"' if row == table.total else ""


def _side(table: Table, column: int) -> str:
    return "" if column < table.words else ' class="number"'


def _html_picture(picture: Picture, number: int) -> str:
    """Return a part of the drawing as inline pictures at its true printed size, page by page where it is long."""
    layer = copy.deepcopy(picture.layer)
    for element in layer.iter():
        for name in [name for name in element.attrib if name.startswith("{")]:
            del element.attrib[name]
    layer.set("id", f"picture-{number}")
    etree.cleanup_namespaces(layer)
    drawn = etree.tostring(layer, encoding="unicode")
    left, top, right, bottom = picture.box
    width = right - left
    spans = np.array(picture.spans or [(top, bottom)])
    pages = shortest_cuts(spans, _PAGE_HEIGHT - 2 * _REACH)
    again_above, cloth = picture.above[1] - picture.above[0], picture.above[1]
    if again_above and any(page.top >= cloth for page in pages):
        pages = shortest_cuts(spans, _PAGE_HEIGHT - 2 * _REACH - again_above)
    figures = []

    def show(upper: float, lower: float) -> str:
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{escape(picture.title)}" width="{width:.2f}mm"'
            f' height="{lower - upper:.2f}mm" viewBox="{left:.2f} {upper:.2f} {width:.2f} {lower - upper:.2f}">{drawn}</svg>'
        )

    for page in pages:
        above, below = (0.0 if end in (top, bottom) else _REACH for end in (page.top, page.bottom))
        again = show(*picture.above) if again_above and page.top >= cloth else ""
        figures.append(f"<figure>{again}{show(page.top - above, page.bottom + below)}</figure>")
        if page.run_on:
            figures.append(f"<p>{escape(job.runs_on(page.run_on))}</p>")
        drawn = f'<use href="#picture-{number}"/>'
    note = f"<p>{escape(job.REDUCED)}</p>" if width > _PAGE_WIDTH else ""
    return note + "\n".join(figures)

"""Extensions > Tiered Sleeve > Print Pages…: the sleeve at true size on sheets of her paper."""
import datetime as dt
import math
import os
import sys

sys.path.insert(0, os.path.dirname(os.path.dirname(os.path.realpath(__file__))))

import extension.host_check  # isort: skip  # noqa: F401  says what is missing, before anything that needs it

from argparse import ArgumentParser

import inkex

from extension.command import Command
from extension.document.parts import text_of
from extension.document.reading import SleeveInDocument, decide_again
from extension.drafting.sleeve_sheet import allowance_row
from extension.editing.door import put_right_first, sleeve_to_print
from extension.printing.print_run import About, print_sleeve
from extension.printing.printed_parts import TICKS, hidden_lines, nested_sizes
from extension.printing.projection import COLOURS, print_projection
from extension.printing.small_scale import print_small
from extension.settings import Kept
from extension.wording.kept import margin_as_before
from extension.wording.notes import hidden_on_paper
from geometry.measuring.lengths import with_unit, write_length
from geometry.measuring.measurements import Measurement, read_measurements
from geometry.paper.papers import LONGEST_PAGE, ORIENTATIONS, PAPERS, Paper, Printing
from geometry.refusal import Problem, Refused

#: Margin and overlap leave the middle of the smallest paper free for lettering.
EVERY_SHEET = (
    Measurement(
        "margin", "Margin", "", 0, 25.4, "none",
        "What your printer leaves white at every side of the paper. Empty: as you typed it last; at first 3/8 in or 1 cm.",
    ),
    Measurement("overlap", "Overlap", "3/8 in or 1 cm", 0, 30, "edge to edge", "What two neighbouring sheets both show, for gluing."),
)
#: Further lengths that a choice of paper asks for; the test squares need sheets of so many millimetres at least.
OWN_PAPER = {
    "roll": (Measurement("roll_width", "Width of the roll", "36 in or 90 cm", 200, LONGEST_PAGE, "", "Width of the paper on the roll."),),
    "custom": (
        Measurement("custom_width", "Width of the sheet", "13 in or 33 cm", 160, LONGEST_PAGE, "", "The shorter side of your own paper."),
        Measurement("custom_height", "Height of the sheet", "19 in or 48 cm", 211, LONGEST_PAGE, "", "The longer side of your own paper."),
    ),
}
#: What is drawn anew on a page of its own and not laid out on paper: for a projector, or small on one sheet of a paper.
PROJECTOR, SMALL = "projector", {"small_A4": "A4", "small_letter": "letter"}
GRIDS, SMALL_SCALES = ("in", "cm", "none"), ("4", "5")
#: The margin until she types one; then hers is kept in her settings.
FIRST_MARGIN = "3/8 in or 1 cm"
DEFAULT_TICKS = ("sleeve", "pieces")


class PrintPages(Command):
    """Makes every sheet a page of the document; the editor prints and exports them."""

    def add_arguments(self, pars: ArgumentParser) -> None:
        pars.add_argument("--tab", default="paper")
        pars.add_argument("--paper", default="both", choices=(*PAPERS, *OWN_PAPER, PROJECTOR, *SMALL))
        pars.add_argument("--orientation", default="better", choices=ORIENTATIONS)
        pars.add_argument("--unit", default="sleeve", choices=("sleeve", "in", "cm"))
        for measurement in (*EVERY_SHEET, *(one for further in OWN_PAPER.values() for one in further)):
            pars.add_argument(f"--{measurement.name}", default=measurement.default)
        pars.add_argument("--colours", default="dark_on_light", choices=tuple(COLOURS))
        pars.add_argument("--grid", default="in", choices=GRIDS)
        pars.add_argument("--scale", default="4", choices=SMALL_SCALES)
        for tick in TICKS:
            pars.add_argument(f"--{tick}", type=inkex.Boolean, default=tick in DEFAULT_TICKS)

    def work(self) -> None:
        nested = nested_sizes(self.svg)
        sleeve = None if nested is not None else sleeve_to_print(self.svg)
        layer = nested if sleeve is None else sleeve.layer
        typed = vars(self.options)
        if typed["unit"] == "sleeve":
            typed["unit"] = (text_of(nested, "unit") or "in") if sleeve is None else sleeve.unit
        kept = Kept("printing")
        printing = None if typed["paper"] == PROJECTOR else printing_with_margin(typed, kept.before.get("margin", ""))
        ticked = {tick: typed[tick] for tick in TICKS}
        unit, told = typed["unit"], about(sleeve, typed["unit"], margin_kept(typed, kept) if printing else [])
        if printing is None:
            print_projection(self.svg, layer, ticked, typed["colours"], typed["grid"], unit, told.said)
        elif typed["paper"] in SMALL:
            print_small(self.svg, layer, ticked, printing, int(typed["scale"]), unit, told.said)
        else:
            print_sleeve(self.svg, layer, ticked, printing, unit, told)


def margin_kept(typed: dict, kept: Kept) -> list[str]:
    """Keep the margin where one was typed; return what is to be said of one that was kept, and of what went wrong."""
    said = []
    if typed["margin"].strip():
        kept.keep({"margin": with_unit(typed["margin"], typed["unit"])})
    elif kept.before.get("margin"):
        said.append(margin_as_before(kept.before["margin"]))
    return [*said, *filter(None, [kept.problem])]


def printing_with_margin(typed: dict, kept: str) -> Printing:
    """Return how she prints, with the margin that was ``kept`` where none is typed.  Raises as :func:`read_printing`."""
    if typed["margin"].strip():
        return read_printing(typed)
    try:
        return read_printing({**typed, "margin": kept or FIRST_MARGIN})
    except Refused as refusal:
        blamed = any("Margin" in problem.facts.values() for problem in refusal.problems)
        raise refusal.followed_by([Problem("it was kept", {})] if kept and blamed else []) from refusal


def about(sleeve: "SleeveInDocument | None", unit: str, said: list[str]) -> About:
    """Return what is told of a sleeve on its first page, ``said`` included; of nested sizes, None, little else."""
    today = dt.date.today().isoformat()
    if sleeve is None:
        return About(said, date=today)
    settled, hidden = decide_again(sleeve.typed, sleeve.given).settled, hidden_lines(sleeve.lines)
    return About([*put_right_first(sleeve), *([hidden_on_paper(hidden)] if hidden else []), *said], sleeve.label, allowance_row(settled, unit), today)


def read_printing(typed: dict) -> Printing:
    """Return paper, margin and overlap as typed; only what the chosen paper asks for is read."""
    chosen, unit = typed["paper"], typed["unit"]
    table = {one.name: one for one in (*EVERY_SHEET, *OWN_PAPER.get(chosen, ()))}
    lengths = read_measurements(typed, unit, table)
    if chosen == "roll":
        width = lengths["roll_width"]
        paper = Paper(f"paper {write_length(width, unit)} wide, off a roll", width, math.inf)
    elif chosen == "custom":
        sides = sorted((lengths["custom_width"], lengths["custom_height"]))
        paper = Paper(f"paper {write_length(sides[0], unit)} by {write_length(sides[1], unit)}", *sides)
    else:
        paper = PAPERS[SMALL.get(chosen, chosen)]
    return Printing(paper, typed["orientation"], lengths["margin"], lengths["overlap"])


if __name__ == "__main__":
    PrintPages.run_as_script()

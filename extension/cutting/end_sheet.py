"""The ends of strips: their table on the job sheet, and templates at true size to cut them by."""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from extension.drawing.panels import drop_panel, new_panel
from extension.drawing.pens import BODY_SIZE, SMALL_SIZE
from extension.drawing.sheet import FOLLOW, Sheet
from extension.drawing.tables import Table
from extension.wording import strip_ends as words
from extension.wording.job import numbers, of_tier
from geometry.cloth.cutting import CuttingPlan
from geometry.cloth.even_gathers import gather_marks
from geometry.cloth.making import TierStyle
from geometry.cloth.pleats import Pleats
from geometry.cloth.strips import Tier
from geometry.curves.curve import Curve
from geometry.curves.polyline import places_inside
from geometry.measuring.lengths import up_to_mark, write_fine, write_length
from geometry.pieces.strip_ends import StripEnd

#: Two ends that differ by less, millimetres, are cut by one template.
_ALIKE = 0.05

#: A seam that takes less of an end than this, millimetres, half a mark of her tape, is not named.
_CAUGHT = 1.6

#: A template reaches this far along the strip inside its line's end, and stands this far from the next, millimetres.
_INSIDE, _GAP = 40.0, 15.0

#: Places tried for the name of a template lie this far apart, millimetres.
_STEP = 3.0

PART = "strip ends panel"


def end_table(plan: CuttingPlan) -> Table:
    """Return the table of ends: which seam takes each, how it is cut, and what it takes of the strip past its line."""
    unit = plan.job.tape.unit

    def say(length: float) -> str:
        return write_length(length, unit) if length > _CAUGHT else ""

    rows = []
    for tier in plan.hung:
        if tier.name or _ends_as_the_layer_over(tier, plan):
            continue
        for end, past, which in ends_told(tier):
            allowance = end.along_line(plan.job.style.end_allowance) if tier.made.pattern is None else past
            name = row_name(tier) if tier.over else str(tier.number)
            rows.append([
                name, which, words.sewn_into(say(end.armhole), say(end.underarm)), how_cut(tier, end),
                write_length(allowance, unit, False), write_length(up_to_mark(past, unit), unit, False),
            ])  # fmt: skip
    return Table(["Tier", "End", "Sewn into", "Cut", f"Allowance\non the line ({unit})", "Past the line\neach end"], rows, words=4)


def how_cut(tier: Tier, end: StripEnd) -> str:
    """Return how an end is cut, for a cell: that of a piece of pattern is straight, however the seam slants under it."""
    return words.how_cut(end.follows) if tier.made.pattern is None else words.STRAIGHT


def _ends_as_the_layer_over(tier: Tier, plan: CuttingPlan) -> bool:
    """Whether both ends of a layer take as much of their strip as those of the outermost one, so that they need not be told."""
    outermost = next(each for each in plan.tiers if each.number == tier.number)
    return bool(tier.over) and max(abs(one - other) for one, other in zip(tier.past_line, outermost.past_line)) < _ALIKE


def gather_table(plan: CuttingPlan) -> list[Table | str]:
    """Return the table of marks for even gathers and how to use it, where strips are drawn up."""
    unit = plan.job.tape.unit
    even = plan.job.style.front_share == 0.5
    found = [(tier, marks) for tier in plan.cut for marks in [gather_marks(tier, plan.job.style.front_share)] if marks is not None]
    rows = [
        [
            row_name(tier), write_length(2 * marks.on_line, unit, False), write_length(marks.on_line, unit, False),
            ", ".join(write_length(at, unit, False) for at in marks.running(2)),
            *(write_length(each, unit, False) for each in ([marks.on_back] if even else [marks.on_back, marks.on_front])),
        ]
        for tier, marks in found
    ]  # fmt: skip
    eighths = ["from mark to mark,\neighths"] if even else ["eighths\non the back", "eighths\non the front"]
    head = ["Tier", f"Line: a quarter\n({unit})", "an eighth", "Strip: quarters from its back end", *eighths]
    return [Table(head, rows), words.GATHER_MARKS] if rows else []


def pleat_marks(plan: CuttingPlan) -> list[str]:
    """Return the running lists of marks by which strips are pleated, and how to use them; none where nothing is."""
    unit = plan.job.tape.unit
    found: dict[tuple[tuple[str, ...], ...], list[str]] = {}  # layers of a tier are mostly pleated alike
    for tier in plan.cut:
        if isinstance(tier.made, Pleats):
            places = tuple(tuple(write_fine(tier.past_line[0] + at, unit) for at in mark) for mark in tier.made.marks)
            found.setdefault(places, []).append(called(tier))
    said = [words.pleats(", and ".join(those), places) for places, those in found.items()]
    return [words.PLEAT_MARKS.format(unit=unit), *said] if said else []


def row_name(tier: Tier, cloth: str = "") -> str:
    """Return what a tier, or those of its layers that are cut alike, is called in a table."""
    layers = range(tier.first_layer, tier.first_layer + tier.layers) if tier.layers < tier.all_layers else ()
    return of_tier(tier.number, tier.name, layers, cloth)


def called(tier: Tier) -> str:
    """Return what a tier, or those of its layers that are cut alike, is called in a sentence."""
    return row_name(tier) if tier.name else f"tier {row_name(tier)}"


def ends_told(tier: Tier) -> list[tuple[StripEnd, float, str]]:
    """Return the ends of a tier, what each takes past its line, and its name; ends that are alike once, as "both"."""
    back, front = tier.ends
    if abs(tier.past_line[0] - tier.past_line[1]) < _ALIKE and abs(back.armhole - front.armhole) < _ALIKE:
        return [(front, tier.past_line[1], "both")]
    return [(back, tier.past_line[0], "back"), (front, tier.past_line[1], "front")]


def end_sentences(plan: CuttingPlan) -> list[str]:
    """Return how ends are cut where they are not simply square."""
    follow = any(end.follows for tier in plan.tiers if tier.made.pattern is None and not tier.is_bought for end in tier.ends)
    gathered = any(tier.gathered_in for tier in plan.tiers)
    return [*([words.SHAPED] if follow else []), *([words.GATHERED_IN] if gathered else [])]


def bare_warnings(plan: CuttingPlan) -> list[str]:
    """Return where base cloth shows beside a tier."""
    bare = [tier for tier in plan.tiers if tier.uncovered > _ALIKE]
    if not bare:
        return []
    most = max(tier.uncovered for tier in bare)
    return [words.uncovered(numbers([tier.number for tier in bare]), write_length(most, plan.job.tape.unit))]


def caught_in(tiers: Sequence[Tier], plan: CuttingPlan, seam: str) -> str:
    """Return which of these ``tiers`` a ``seam`` ("underarm" or "armhole") catches by their ends, in words; empty where it catches none."""
    found = [tier.number for tier in tiers if any(getattr(end, seam) > _CAUGHT for end in tier.ends)]
    return "every tier" if len(found) == len(plan.tiers) else numbers(found) if found else ""


# --- templates --------------------------------------------------------------------------------------


class Template(NamedTuple):
    """One template: the tiers and the end it is for, its closed cut outline and its sewn lines."""

    tiers: tuple[int, ...]
    which: str
    cut: Curve
    sewn: Curve
    stitching: Curve


def templates(plan: CuttingPlan) -> list[Template]:
    """Return a template for each end that is cut along its seam, as long as the widest layer needs it."""
    seen = [tier.number for tier in plan.tiers if not tier.is_bought]
    widest = [max((tier for tier in plan.cut if tier.number == number), key=lambda tier: tier.cut_width) for number in seen]
    return [
        template(tier, end, which, plan.job.style)
        for tier in widest
        if tier.made.pattern is None
        for end, _, which in ends_told(tier)
        if end.follows
    ]


def template(tier: Tier, end: StripEnd, which: str, style: TierStyle) -> Template:
    """Return the template of an end, the back one as it lies, to the left."""
    above, below = style.gathering_allowance, tier.hem
    cut_end = end.cut(style.end_allowance, above, below)
    inside = min(-_INSIDE, cut_end.bounds()[0] - _INSIDE / 2)
    bottom = tier.cloth_drop + below
    ring = Curve.chain([
        Curve.line((inside, -above), cut_end.start), cut_end,
        Curve.line(cut_end.end, (inside, bottom)), Curve.line((inside, bottom), (inside, -above)),
    ])  # fmt: skip
    mirror = np.array([[-1.0 if which == "back" else 1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
    stitching = Curve.line((inside, 0), (end.along_line(style.end_allowance), 0))
    return Template((tier.number,), which, *(curve.transformed(mirror) for curve in (ring, end.sewn, stitching)))


def end_panels(sleeve_layer: object, plan: CuttingPlan, label: str) -> list[Sheet]:
    """Return the panel of templates, each lettered whose it is, if any are needed; else drop that of an earlier plan."""
    found = templates(plan)
    if not found:
        drop_panel(sleeve_layer, PART)
        return []
    panel = new_panel(sleeve_layer, words.TEMPLATES, PART)
    draw_templates(panel, found, label)
    return [panel]


def draw_templates(panel: Sheet, found: Sequence[Template], label: str) -> None:
    """Draw templates side by side at true size, as sewn and as cut."""
    layer = panel.add_layer(words.TEMPLATES, "strip ends layer")
    x = 0.0
    for one in found:
        left, above, right, below = one.cut.bounds()
        move = np.array([[1.0, 0.0, x - left], [0.0, 1.0, -above]])
        name = f"End of {numbers(one.tiers)}, {one.which}"
        panel.curve(layer, one.cut.transformed(move), "cutting", f"{name}, cut", "strip end cutting line")
        panel.curve(layer, one.sewn.transformed(move), "seam", f"{name}, sewn", "strip end seam line")
        panel.curve(layer, one.stitching.transformed(move), "thin", f"{name}, stitching line", "strip end stitching line")
        rows = [*([label] if label else []), *words.template(numbers(one.tiers), one.which)]
        middle = np.array([x + (right - left) / 2, (below - above) / 2])
        places = places_inside(one.cut.transformed(move).flatten(FOLLOW), middle, _STEP)
        box = panel.text_where_free(layer, rows, places, (BODY_SIZE, SMALL_SIZE))
        if box is None:  # too small to be lettered
            box = panel.text(layer, rows, x, below - above + 2.0, size=BODY_SIZE)
        x = max(x + right - left, box[2]) + _GAP

"""The lay plans, drawn to a standard scale beside the sleeve: every piece where it is cut from its cloth."""
from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

import inkex
import numpy as np
from lxml import etree

from extension.document.names import LABEL, TEXT, TSPAN
from extension.document.part_names import LETTERING
from extension.document.parts import new_part
from extension.document.paths import quick_path_data
from extension.drawing.lettering import LEADING, text_width
from extension.drawing.pens import FONT_FAMILY, SMALL_SIZE, draw_data, fill_with_stroke, line_style
from extension.drawing.sheet import Column, Sheet
from extension.wording import job
from extension.wording.ways import WAYS
from geometry.affine import Affine
from geometry.box import Box
from geometry.cloth.beside import Placed
from geometry.cloth.buying import BORDERS, ON_BORDER, Corner, Purchase, to_buy
from geometry.cloth.cutting import CuttingPlan
from geometry.cloth.joins import HAND, Strip, hides
from geometry.cloth.lay import RIBBON, StripLay
from geometry.cloth.nesting import OutlineLay
from geometry.cloth.tape import Tape
from geometry.curves.arrays import Array
from geometry.curves.curve import Curve
from geometry.measuring.lengths import INCH, write_length
from geometry.sleeve.marks import arrowheads

#: Reduction scales of ISO 5455, the largest first.
SCALES = (5, 10, 20, 50)

#: A lay is drawn no longer than this where the lettering allows (the long side of an A2), and no wider (what
#: fits an A4 with the distances beside it), millimetres.
LONGEST, WIDEST = 594.0, 155.0

#: Beside the cloth, for the distances from its cut end or its left selvedge, millimetres.
MARGIN = 20.0

#: A band of strips is lettered where it is drawn at least this high: figures are 0.73 em, and a little clear of the lines.
LETTERED = SMALL_SIZE * 1.05

#: Between two lays, and around what belongs to one, millimetres.
GAP = 24.0

#: Pieces of odd and even tiers, light enough to print in black and white.
TINTS = ("#efe6dc", "#ffffff")
_PIECE_STYLE = "fill:{};stroke:#000000;stroke-width:0.18;stroke-linejoin:round"


#: Arrowheads of a lay are so much smaller than those of the pattern.
_ARROWS = 0.35
_SMALLER, _LARGER = (np.array([[size, 0.0, 0.0], [0.0, size, 0.0]]) for size in (_ARROWS, 1 / _ARROWS))


#: What stands over the cloth and under it reaches so far into it, millimetres, for a page to show both.
_JOINED = 0.01

#: Distances across the cloth are lettered within this height above it, millimetres.
_TOLD_ABOVE = 15.0


class Picture(NamedTuple):
    """A layer that can be shown by itself, the box that it takes in the coordinates of its panel, and from where to where
    what is in it should not be cut: (top, bottom) of each piece; empty where nothing should be.  What lies in ``above`` (top,
    bottom) is shown again above each part of what is cut: distances across the cloth.
    """

    title: str
    layer: inkex.Layer
    box: tuple[float, float, float, float]
    spans: Sequence[tuple[float, float]] = ()
    above: tuple[float, float] = (0.0, 0.0)


def draw_lays(panel: Sheet, plan: CuttingPlan, warnings: Sequence[str], label: str) -> list[Picture]:
    """Fill ``panel`` with a lay for every cloth, side by side, lettered whose they are; return them."""
    heading = panel.add_layer("Heading", "lay heading layer")
    column = Column(panel, heading, 0.0, 0.0, WIDEST + MARGIN)
    column.title(job.LAY_TITLE, label)
    for warning in warnings:
        column.paragraph(warning, bold=True)
    column.gap(4)
    drawn = [purchase for purchase in plan.purchases if not purchase.bought_with]
    scale = max((scale_of(purchase.lay) for purchase in plan.chosen.purchases or drawn), default=SCALES[0])
    pictures: list[Picture] = []
    x, y = 0.0, column.y
    for before, purchase in zip((None, *drawn), drawn):
        if before is not None and before in plan.chosen.purchases:
            x = pictures[-1].box[2] + GAP
        elif before is not None:  # sleeves stand below each other, for they take little length
            y = pictures[-1].box[3] + GAP
        pictures.append(draw_lay(panel, plan, purchase, scale, x, y))
    return pictures


def draw_lay(panel: Sheet, plan: CuttingPlan, purchase: Purchase, scale: int, x: float, top: float) -> Picture:
    """Draw the lay of one cloth with its heading, its left top corner at (x, top)."""
    unit = plan.job.tape.unit
    lay, called = purchase.lay, f"{purchase.cloth.called} and base" if purchase.among else purchase.cloth.called
    name = job.first_up(called)
    layer = panel.add_layer(f"Lay of {called}", "lay layer")
    width, length = lay.width / scale, lay.length / scale
    column = Column(panel, layer, x, top, max(150.0, width + MARGIN))
    column.paragraph(f"{name}, scale 1:{scale}", 5.0, bold=True)
    for sentence in lay_sentences(plan, purchase):
        column.paragraph(sentence)
    along = isinstance(lay, StripLay) and not all(piece.across for piece in lay.pieces)
    above = (MARGIN if along else 0.0) + SMALL_SIZE * LEADING + 2
    column.gap(above + 3)
    left, head = x + MARGIN, column.y
    corners = np.array([(0, 0), (width, 0), (width, length), (0, length), (0, 0)]) + np.array([left, head])
    if isinstance(lay, StripLay):
        draw_strips(layer, plan, lay, purchase.among, left, head, scale)
    elif lay.strips:
        draw_pieces(layer, plan, lay, left, head, scale)
    else:
        draw_sleeves(panel, layer, plan.outline_on(purchase.cloth), lay, left, head, scale)
    if purchase.among:
        draw_sleeves(panel, layer, plan.piece, purchase.among.sleeves, left, head, scale)
    panel.curve(layer, Curve.polyline(corners), "cutting", f"{name}, {write_length(lay.width, unit)} wide", "cloth")
    panel.text(layer, [f"usable width {write_length(lay.width, unit)}"], left + width / 2, head - above, size=SMALL_SIZE, anchor="middle")
    panel.text(layer, [f"length {write_length(lay.length, unit)}"], left + width / 2, head + length + 1.5, size=SMALL_SIZE, anchor="middle")
    bottom = head + length + 1.5 + SMALL_SIZE * LEADING
    pieces = (spans_on_cloth(plan, purchase) / scale + head).tolist()
    box = (x, top, max(left + width + (MARGIN if purchase.among else 2), x + column.width), bottom)
    over = head - (_TOLD_ABOVE if along else above)
    spans = [(top, over), (over, head + _JOINED), *map(tuple, pieces), (head + length - _JOINED, bottom)]
    return Picture(f"{name}, scale 1:{scale}", layer, box, spans, (over, head) if along else (0.0, 0.0))


def spans_on_cloth(plan: CuttingPlan, purchase: Purchase) -> Array:
    """Return how far down the cloth every piece begins and ends, millimetres (k, 2)."""
    lay = purchase.lay
    if purchase.among:
        return np.concatenate([[(0.0, purchase.among.long)], spans_on_cloth(plan, purchase._replace(among=None))])
    if isinstance(lay, StripLay):
        return np.array([(piece.y, piece.y + piece.height) for piece in lay.pieces])
    patterns = plan.patterns_by_layer if lay.strips else {}
    outline = [patterns[strip.tier, strip.layer].cut for strip in lay.strips] or [plan.outline_on(purchase.cloth)] * len(lay.placements)
    boxes = [placement.apply_to_box(Box(*each.bounds())) for each, placement in zip(outline, lay.placements)]
    boxes += [Box(*each.laid.bounds()) for each in lay.others]
    return np.array([(box.top, box.bottom) for box in boxes])


def scale_of(lay: StripLay | OutlineLay) -> int:
    """Return the largest scale in which the lay is not too long, or the one in which its bands can be lettered."""
    scale = next((s for s in SCALES if lay.length / s <= LONGEST and lay.width / s <= WIDEST), SCALES[-1])
    if isinstance(lay, StripLay):
        narrowest = min(min(piece.width, piece.height) for piece in lay.pieces)
        readable = [s for s in SCALES if narrowest / s >= LETTERED]
        scale = min(scale, max(readable, default=SCALES[0]))
    return scale


def lay_sentences(plan: CuttingPlan, purchase: Purchase) -> list[str]:
    """Return what stands above a lay."""
    lay, cloth, unit = purchase.lay, purchase.cloth, plan.job.tape.unit
    length, bound = write_length(lay.length, unit), write_length(purchase.bound, unit)
    said = job.plan_sentence(cloth.called, length, bound, purchase.ratio, purchase.waste)
    if purchase.bought_with:
        return [job.LINING_WITH_BASE if cloth.with_base else job.SLEEVES_WITH_TIERS]
    if purchase.among:
        among = job.among_sentence(*(write_length(side, unit) for side in (purchase.among.wide, purchase.among.long)))
        lies = [job.HEMS_ON_BORDER] if plan.job.cloths.base.use == ON_BORDER else []
        said = " ".join([said, among, *lies, *_laid_beside(plan, Purchase(cloth, purchase.among.sleeves, (), 0.0, 0.0, None))])
    if isinstance(lay, OutlineLay):
        pieces = WAYS[plan.job.style.make].pieces
        if lay.strips:
            return [said, job.PIECES_ONE_WAY if cloth.one_way else pieces.laid if pieces else ""]
        repeat = write_length(cloth.repeat, unit) if cloth.repeat else ""
        lies = job.HEMS_ON_BORDER if cloth.use == ON_BORDER else job.grain_sentence(cloth.use == "either_way", repeat)
        return [_beside(plan, purchase), *_laid_beside(plan, purchase), lies]
    shortest = write_length(min(lay.cut(piece) for piece in lay.pieces), unit)
    pleats = any(strip.folds is not None for strip in lay.strips)
    joined = [job.RIBBON] if lay.way == RIBBON else [job.remnant_sentence(lay.all_joins, shortest, pleats)]
    if not all(hides(strip, place) for strip, places in zip(lay.strips, lay.places) for place in places):
        joined.append(job.NOT_HIDDEN)
    if cloth.use in BORDERS:
        said = job.takes_sentence(cloth.name, length, write_length(lay.width, unit))
    return [said, _how_they_run(purchase, lay, plan.job.tape), *joined]


def _how_they_run(purchase: Purchase, lay: StripLay, tape: Tape) -> str:
    """Return which way strips run: on a border, with a nap, or whichever way is cheaper."""
    if purchase.cloth.use in BORDERS:
        both = any(piece.x for piece in lay.pieces)
        left = lay.width - sum(max((p.width for p in lay.pieces if bool(p.x) == side), default=0.0) for side in (False, True))
        return job.border_sentence(write_length(left, tape.unit), both)
    return job.one_way_sentence(lay.direction) if purchase.cloth.one_way else direction_sentence(purchase, lay.direction, tape)


def _beside(plan: CuttingPlan, purchase: Purchase) -> str:
    """Return how much of their cloth sleeves take."""
    lay, unit = purchase.lay, plan.job.tape.unit
    right = max(box.right for box in lay.boxes(plan.outline_on(purchase.cloth)))
    left = lay.width - right
    lengths = (write_length(each, unit) for each in (lay.length, right, lay.width))
    return job.beside_sentence(purchase.cloth.name, *lengths, write_length(left, unit) if left >= HAND else "")


def _laid_beside(plan: CuttingPlan, purchase: Purchase) -> list[str]:
    """Return what lies beside the sleeves, if anything does, and what cloth a band takes that lies along it."""
    lay, outline = purchase.lay, plan.outline_on(purchase.cloth)
    if not lay.others:
        return []
    sleeves = max(box.bottom for box in lay.boxes(outline)[: len(lay.placements)])
    lowest = max(lay.others, key=lambda other: float(other.laid.bounds()[3]))
    longer = lay.length - sleeves if lay.length - sleeves > HAND and lowest.name == "band" else 0.0
    counts = Counter(each.name for each in lay.others)
    return [job.laid_beside_sentence(list(counts.items()), write_length(longer, plan.job.tape.unit) if longer else "")]


def direction_sentence(purchase: Purchase, chosen: str, tape: Tape) -> str:
    """Return which way the strips run, and what the best plan of either way takes."""
    ways = {plan.direction: (to_buy(plan.length, purchase.cloth, tape), plan.all_joins) for plan in purchase.each_way}
    said = {way: (write_bought(bought, tape), joins) for way, (bought, joins) in ways.items()}
    rest = [taken for way, taken in ways.items() if way != chosen]
    reason = ""
    if rest and ways[chosen][0] < min(bought for bought, _ in rest):
        reason = job.CHEAPER
    elif rest and ways[chosen][1] < min(joins for _, joins in rest):
        reason = job.FEWER_JOINS
    return job.direction_sentence(purchase.cloth.called, chosen, said, reason)


def write_bought(millimetres: float, tape: Tape) -> str:
    """Return a length to buy: ``4 3/4 yd``, ``4.3 m``."""
    count = millimetres / tape.priced_by
    return f"{write_length(count * INCH, 'in', False)} yd" if tape.unit == "in" else f"{count:.1f} m"


# --- strips ---------------------------------------------------------------------------------------


def piece_codes(lay: StripLay) -> list[str]:
    """Return what every piece is called: tier, a letter for the strip, and a number where a strip has several.

    ``3b·2`` is the second piece of the second strip of tier 3.  Letters go by layer, so that those of contrast
    layers follow those of the net.
    """
    called = strip_codes(lay.strips)
    return _numbered([called[piece.strip] for piece in lay.pieces])


def strip_codes(strips: Sequence[Strip]) -> list[str]:
    """Return what every strip is called: tier and a letter, by layer and sleeve; pieces of one strip share it."""
    layers: dict[int, list[tuple[int, int]]] = {}
    for strip in strips:
        layers.setdefault(strip.tier, []).append((strip.layer, strip.sleeve))
    known: dict[tuple[int, int, int], str] = {}
    for tier, found in layers.items():
        sleeves, lowest = len({sleeve for _, sleeve in found}), min(layer for layer, _ in found)
        first = (lowest - 1) * sleeves
        known.update({(tier, *each): f"{tier}{_letters(first + i)}" for i, each in enumerate(sorted(set(found)))})
    return [known[strip.tier, strip.layer, strip.sleeve] for strip in strips]


def _numbered(codes: Sequence[str]) -> list[str]:
    """Return codes with a number behind those that come several times."""
    times, seen, numbered = Counter(codes), Counter(), []
    for code in codes:
        seen[code] += 1
        numbered.append(f"{code}·{seen[code]}" if times[code] > 1 else code)
    return numbered


def _letters(index: int) -> str:
    """A … z, aa … as columns of a spreadsheet are called."""
    text = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        text = chr(ord("a") + rest) + text
    return text


def draw_strips(
    layer: inkex.Layer, plan: CuttingPlan, lay: StripLay, corner: Corner | None, left: float, top: float, scale: int
) -> None:
    """Draw the rectangles of all strips, one path for the odd tiers and one for the even, and letter them; sleeves may lie in a ``corner``."""
    boxes = np.array([piece[1:5] for piece in lay.pieces]) / scale + (left, top, 0, 0)
    tiers = np.array([lay.strips[piece.strip].tier for piece in lay.pieces])
    for parity, name in ((1, "odd"), (0, "even")):
        chosen = boxes[tiers % 2 == parity]
        if len(chosen):
            data = " ".join(f"M {x:.3f} {y:.3f} h {w:.3f} v {h:.3f} h {-w:.3f} Z" for x, y, w, h in chosen.tolist())
            draw_data(layer, data, _PIECE_STYLE.format(TINTS[1 - parity]), f"Pieces of {name} tiers", "pieces")
    labels = strip_labels(lay, piece_codes(lay), boxes, plan.job.tape.unit)
    for across, turned in ((True, 0.0), (False, -90.0)):
        _letter(layer, [label for label, runs_across in labels if runs_across == across], "Strip codes", "middle", turned)
    draw_distances(layer, lay, corner, (left, top), scale, plan.job.tape.unit)


def strip_labels(lay: StripLay, codes: Sequence[str], boxes: Array, unit: str) -> list[tuple[tuple[str, float, float], bool]]:
    """Return the codes in the middle of the pieces, with the length where there is room, else short; and whether each runs across."""
    labels = []
    for code, piece, (x, y, w, h) in zip(codes, lay.pieces, boxes.tolist()):
        along, over = (w, h) if piece.across else (h, w)
        _, dot, order = code.partition("·")
        texts = (f"{code}: {write_length(lay.cut(piece), unit)}", code, dot + order)
        text = next((t for t in texts if text_width(t, SMALL_SIZE) <= along - 0.8), None)
        if text and over >= LETTERED:
            labels.append(((text, x + w / 2, y + h / 2), piece.across))
    return labels


def draw_distances(layer: inkex.Layer, lay: StripLay, corner: Corner | None, at: tuple[float, float], scale: int, unit: str) -> None:
    """Letter beside every band where it ends, from the cut end or from the left selvedge: what to mark with the tape.

    Bands across beside sleeves are lettered on the right; ``at`` is where the cloth has its left upper corner on the sheet.
    """
    left, top = at
    wide, long = (corner.wide, corner.long) if corner else (0.0, 0.0)
    along, across = ([piece for piece in lay.pieces if piece.across == runs] for runs in (False, True))
    if along:
        first = [p.x + p.width for p in along if p.y in {0.0, long}]  # the piece that begins a band is as wide as it
        labels = [(write_length(end, unit, False), left + end / scale, top - 1.0) for end in _apart(first + [wide] * bool(wide), scale)]
        _letter(layer, labels, "Distances from the left selvedge", "start", -90.0)
    if not across:
        return
    begins = [max(p.y + p.height for p in along)] if along else [long] * bool(long)
    beside = [p.y + p.height for p in across if corner and p.x == wide]
    below = [p.y + p.height for p in across if p.x == 0.0 and not (corner and p.x == wide)] + begins
    for ends, x, anchor in ((below, left - 1.2, "end"), (beside, left + lay.width / scale + 1.2, "start")):
        labels = [(write_length(end, unit, False), x, top + end / scale) for end in _apart(ends, scale)]
        _letter(layer, labels, "Distances from the cut end", anchor)


def _apart(ends: Sequence[float], scale: int) -> list[float]:
    """Return distances, ascending, those that can be lettered one below the other."""
    found: list[float] = []
    for end in sorted(set(np.round(ends, 3).tolist())):
        if not found or (end - found[-1]) / scale >= LETTERED:
            found.append(end)
    return found


def draw_pieces(layer: inkex.Layer, plan: CuttingPlan, lay: OutlineLay, left: float, top: float, scale: int) -> None:
    """Draw pattern pieces of tiers where they are cut, as one path, and letter them."""
    words, patterns = WAYS[plan.job.style.make].pieces, plan.patterns_by_layer
    to_panel = Affine(1 / scale, 0.0, 0.0, 1 / scale, left, top)
    drawn, labels = [], []
    for code, strip, placement in zip(_numbered(strip_codes(lay.strips)), lay.strips, lay.placements):
        pattern, place = patterns[strip.tier, strip.layer], to_panel @ placement
        drawn.append(quick_path_data(pattern.cut.transformed(place.matrix)))
        across, down = place.apply([pattern.middle])[0].tolist()
        labels.append((code, across, down))
    draw_data(layer, " ".join(drawn), line_style("thin"), f"{words.whole.capitalize()} {words.piece}s", f"{words.piece}s")
    _letter(layer, labels, "Piece codes", "middle")


# --- sleeves --------------------------------------------------------------------------------------


def draw_sleeves(panel: Sheet, layer: inkex.Layer, piece: Curve, lay: OutlineLay, left: float, top: float, scale: int) -> None:
    """Draw the sleeves where they are cut, each with its grain."""
    from_cloth = np.array([left, top])
    _, head, _, hem = piece.bounds()
    for number, placement in enumerate(lay.placements, start=1):
        matrix = placement.matrix
        to_panel = np.column_stack([matrix[:, :2] / scale, matrix[:, 2] / scale + from_cloth])
        panel.curve(layer, piece.transformed(to_panel), "thin", f"Sleeve {number}", "pieces")
        grain = Curve.line((0, head + 0.15 * (hem - head)), (0, head + 0.85 * (hem - head))).transformed(to_panel)
        panel.curve(layer, grain, "grain", f"Grain of sleeve {number}", "lay grain")
        for arrowhead in arrowheads(grain.transformed(_LARGER)):
            fill_with_stroke(panel.curve(layer, arrowhead.transformed(_SMALLER), "grain", "Grain arrowhead", "lay grain"), "grain")
        middle = (grain.start + grain.end) / 2
        _letter(layer, [(str(number), middle[0] + 2.0, middle[1])], f"Name of sleeve {number}", "start")
    _draw_beside(panel, layer, lay.others, Affine(1 / scale, 0.0, 0.0, 1 / scale, left, top))


def _draw_beside(panel: Sheet, layer: inkex.Layer, others: Sequence[Placed], to_panel: Affine) -> None:
    """Draw what is cut beside the sleeves where it is cut, each with its name along it."""
    for name, numbered, placed in zip(*_names_of(others), others):
        outline = placed.laid.transformed(to_panel.matrix)
        panel.curve(layer, outline, "thin", job.first_up(numbered), "pieces")
        box = Box(*outline.bounds())
        turned = 45.0 if name == "binding" else -90.0 if box.height > box.width else 0.0  # strips on the bias run down to the right
        if min(box.width, box.height) < LETTERED or max(box.width, box.height) < text_width(numbered, SMALL_SIZE):
            continue  # what lies there is told above the lay
        _letter(layer, [(numbered, (box.left + box.right) / 2, (box.top + box.bottom) / 2)], f"Name of the {numbered}", "middle", turned)


def _names_of(others: Sequence[Placed]) -> tuple[list[str], list[str]]:
    """Return what each is called, and that with a number behind it where several are called so."""
    names = [each.name for each in others]
    seen: Counter[str] = Counter()
    numbered = []
    for name in names:
        seen[name] += 1
        numbered.append(f"{name} {seen[name]}" if names.count(name) > 1 else name)
    return names, numbered


# --- shared ---------------------------------------------------------------------------------------


def _letter(layer: inkex.Layer, labels: Sequence[tuple[str, float, float]], name: str, anchor: str, turned: float = 0.0) -> None:
    """Letter many (text, x, y: middle of the row) as one text object, ``turned`` clockwise by so many degrees."""
    if not labels:
        return
    style = f"font-family:{FONT_FAMILY};font-size:{SMALL_SIZE:g}px;text-anchor:{anchor};fill:#000000;stroke:none"
    rotation = {"transform": f"rotate({turned:g})"} if turned else {}
    text = new_part(layer, TEXT, {"style": style, LABEL: name, **rotation}, LETTERING)
    back = Affine.turning(-math.radians(turned))
    to_baseline = SMALL_SIZE * 0.35  # half the height of a digit
    for (row, *_), (across, down) in zip(labels, back.apply([place for _, *place in labels]).tolist()):
        span = etree.SubElement(text, TSPAN, x=f"{across:.3f}", y=f"{down + to_baseline:.3f}")
        span.text = row

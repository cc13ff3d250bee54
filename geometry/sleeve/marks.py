"""What is drawn on an outline so that the pieces meet: tier lines, level lines, grain line, notches."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.bezier import left_of, norm
from geometry.curves.curve import Curve, Nearest
from geometry.sleeve.arm import Level
from geometry.sleeve.armhole import Match
from geometry.sleeve.openings import is_shaped
from geometry.sleeve.outline import AT_CORNER, Outline
from geometry.sleeve.spread import Spread

#: How far along the armhole seam from the underarm point a notch stands: 2 1/2 in, or two fifths of a
#: short seam (common practice, no source).
NOTCH_DISTANCE = 63.5
NOTCH_SHARE = 0.4

#: Between the two ticks of the back notch: 1/4 in (common practice, no source).
DOUBLE_NOTCH_GAP = 6.35

#: A notch runs in from the cut edge by this, or by half the allowance, or of what the cut leaves beside a corner, where that
#: is less, so that it never reaches the seam (common practice, no source); where there is no allowance it is drawn outside by LEAST_NOTCH.
NOTCH_DEPTH = 6.35
LEAST_NOTCH = 5.0

#: From a notch to the next that is not part of it, millimetres: plainly more than between two ticks of one.
CLEAR_OF_NOTCH = 2 * DOUBLE_NOTCH_GAP

#: A notch that stands no farther than this from another at the cut edge is left out, millimetres: two would be read as a double one.
READ_APART = 8.0

#: A place on the seam this near to a corner needs no notch, and two places this near are one, millimetres.
SAME_NOTCH = 1.0

#: An end of a line lies on the seam if it is this near to it, millimetres.
ON_EDGE = 0.05

#: The grain line stops this far from the top edge and the hem, and its arrowheads are this long and wide.
GRAIN_INSET = 4.0
ARROW_LENGTH, ARROW_WIDTH = 8.0, 4.0


class TierLine(NamedTuple):
    """A numbered line, seam to seam, along which a tier is attached."""

    number: int
    curve: Curve
    open: float = 0.0

    @property
    def length(self) -> float:
        """The finished length in millimetres, along the curve; what is ``open`` of it, over a dart or a vent, is no cloth."""
        return self.curve.length() - self.open


def _level(y: float) -> Curve:
    """A short horizontal at ``y`` on the grain line, to be extended from side to side."""
    return Curve.line((-1.0, y), (1.0, y))


def underarm_line(outline: Outline) -> Curve:
    """Return the straight line from the back underarm point to the front one."""
    return Curve.line(outline.corner("back underarm point"), outline.corner("front underarm point"))


def body_level_line(outline: Outline, level: Level) -> Curve | None:
    """Return the line across the sleeve that belongs to a ``level`` of the body, see :func:`body_level_lines`."""
    return body_level_lines(outline, [level])[0]


def body_level_lines(outline: Outline, levels: Sequence[Level]) -> list[Curve | None]:
    """Return for each of ``levels`` of the body the line across the sleeve that belongs to it, or None.

    The underarm and the hem go with their corners, however those have been moved; every other level
    stays at the height at which the body was measured, if that lies between the two.
    """
    bent = next((level.bend for level in levels if level.name == "underarm" and level.bend), None)
    ends = underarm_line(outline)
    line = ends if bent is None else _between_ends(bent, ends)
    underarm = (float(ends.nodes[:, 1].max()) if bent is None else height_at_grain(line)) - 1e-6
    lines: dict[str, Curve | None] = {"hem": hem_around(outline).reversed(), "underarm": line}
    between = [level for level in levels if level.name not in ("underarm", "hem") and level.y >= underarm]
    lines.update(zip((level.name for level in between), _across(outline, [level.bend or _level(level.y) for level in between])))
    return [lines.get(level.name) for level in levels]


def _between_ends(bent: Curve, straight: Curve) -> Curve:
    """Return a ``bent`` line turned, scaled and moved so that it runs from end to end of a ``straight`` one; the very line where it does."""
    bent = bent if bent.start[0] <= bent.end[0] else bent.reversed()
    ends, wanted = bent.nodes[[0, -1]], straight.nodes[[0, -1]]
    if np.abs(ends - wanted).max() <= AT_CORNER:
        return bent
    z, w = ends @ [1, 1j], wanted @ [1, 1j]
    ratio = (w[1] - w[0]) / (z[1] - z[0])
    shift = w[0] - ratio * z[0]
    return bent.transformed(np.array([[ratio.real, -ratio.imag, shift.real], [ratio.imag, ratio.real, shift.imag]]))


def hem_around(outline: Outline) -> Curve:
    """Return the line in which the hem goes around the arm, from front to back: the hem itself, closed over openings;
    straight across where it is scalloped, pointed or wavy.
    """
    hem = outline.bridged().edge("hem")
    return Curve.line(hem.start, hem.end) if is_shaped(outline.edge("hem"), outline.openings("hem")) else hem


def is_the_hem_itself(outline: Outline, level: Level) -> bool:
    """Whether the line that belongs to a ``level`` runs along the hem all the way, which is drawn already: where that is plain."""
    openings = outline.openings("hem")
    return level.name == "hem" and not openings and not is_shaped(outline.edge("hem"), openings)


def hem_girth(outline: Outline) -> float:
    """Return how far around the closed hem is, millimetres: openings closed, no scallops followed."""
    return hem_around(outline).length() - sum(opening.intake for opening in outline.openings("hem"))


def width_of(outline: Outline, line: Curve) -> float:
    """Return how much cloth there is along a ``line`` across, millimetres."""
    return line.length() - outline.open_length(line)


def level_width(outline: Outline, level: Level, line: Curve) -> float:
    """Return how wide the sleeve is at a ``level`` whose line is this one, millimetres."""
    return hem_girth(outline) if level.name == "hem" else width_of(outline, line)


#: A bent line that ends at a seam within this, millimetres, is not drawn on to it.
_SLIVER = 1e-6


def _across(outline: Outline, lines: Sequence[Curve]) -> list[Curve | None]:
    """Return lines from the back side to the front side, None for one that misses a side."""
    if not lines:
        return []
    try:
        return [line.tidied(_SLIVER) for line in outline.across_many(lines)]
    except ValueError:
        if len(lines) == 1:
            return [None]
        return [across for line in lines for across in _across(outline, [line])]


def top_edge_height(outline: Outline) -> float:
    """Return the y at which the grain line meets the top edge, or that of the top edge's middle if it doesn't."""
    return height_at_grain(outline.bridged().edge("top edge"))


def height_at_grain(line: Curve) -> float:
    """Return the y at which a ``line`` across the sleeve meets the grain line, x = 0; that of its middle
    where it doesn't.
    """
    heights = line.segments[..., 1]
    if (heights == heights[0, 0]).all():
        return float(heights[0, 0])  # level, as nearly every line is: no crossing need be looked for
    x = line.segments[:, :, 0]
    meeting = np.flatnonzero((x[:, 0] <= 0) != (x[:, 3] <= 0))
    if not len(meeting):
        return float(line.point(len(line) / 2)[1])
    a, b, c, d = x[meeting[0]].tolist()
    low, high, rising = 0.0, 1.0, d > a
    for _ in range(40):  # halving: the ends differ in sign, however bent the line
        u = (low + high) / 2
        v = 1 - u
        below = v * v * v * a + 3 * v * v * u * b + 3 * v * u * u * c + u * u * u * d <= 0
        low, high = (u, high) if below == rising else (low, u)
    return float(line.point(meeting[0] + u)[1])


def below_top_edge(outline: Outline, line: Curve) -> float:
    """Return how far below the top edge a ``line`` across the sleeve lies, measured along the grain line."""
    return height_at_grain(line) - top_edge_height(outline)


def level_lines(outline: Outline, heights: Sequence[float], spread: Spread | None = None) -> list[Curve]:
    """Return the horizontals at ``heights`` from side to side, bent as a ``spread`` has bent them.  ``ValueError`` for one that misses a side."""
    lines = outline.across_many([spread.across(y) if spread else _level(y) for y in heights])
    return [line.tidied(_SLIVER) for line in lines] if spread else lines


def tier_lines(outline: Outline, levels: Sequence[float], spread: Spread | None = None) -> list[TierLine]:
    """Return the level tier lines at ``levels`` (mm below the top edge, the first 0), numbered from 1 at the top.

    The first is the top edge itself, straight, raised or bent; the others as :func:`level_lines` has them.
    """
    below = level_lines(outline, levels[1:], spread)
    return [TierLine(number, curve) for number, curve in enumerate([outline.edge("top edge"), *below], start=1)]


def grain_line(outline: Outline) -> Curve:
    """Return the grain line, x = 0, from just below the top edge to just above the hem."""
    top, bottom = top_edge_height(outline), height_at_grain(outline.edge("hem"))
    return Curve.line((0, top + GRAIN_INSET), (0, bottom - GRAIN_INSET))


def arrowheads(line: Curve) -> list[Curve]:
    """Return two closed triangles that end ``line`` at its start and its end."""
    heads = []
    for tip, direction in ((line.start, -line.tangent(0)), (line.end, line.tangent(len(line)))):
        base = tip - ARROW_LENGTH * direction
        across = ARROW_WIDTH / 2 * np.array([-direction[1], direction[0]])
        heads.append(Curve.polyline([tip, base + across, base - across, tip]))
    return heads


def usual_notch_distance(armhole_length: float) -> float:
    """Return how far from the underarm point, along the seam, a notch stands by default."""
    return min(NOTCH_DISTANCE, NOTCH_SHARE * armhole_length)


class Notch(NamedTuple):
    """Where the notch of one side stands, in millimetres along the seams: from the underarm point, which
    is the same on sleeve and bodice, and from the top edge end on the sleeve and, if known, on the bodice.
    """

    side: str
    from_underarm: float
    from_top_edge: float
    from_top_edge_on_bodice: float | None


def notches(outline: Outline, matches: Sequence[Match], tiers: Sequence[TierLine] = ()) -> tuple[Notch, ...]:
    """Return the front and the back notch, clear of the ends of the ``tiers``, beside whose notches one would look like two.

    Below the notches sleeve and bodice are equally long and are sewn flat; whatever is set in lies
    between notch and top edge (common practice, no source).
    """
    bodice = {match.side: match.bodice for match in matches}
    found = []
    for side in ("front", "back"):
        length = outline.sewn_length(f"{side} armhole")
        usual = usual_notch_distance(min(length, bodice.get(side, length)))
        distance = _clear_of(usual, _ends_on_armhole(outline, side, tiers), length)
        found.append(Notch(side, distance, length - distance, bodice[side] - distance if side in bodice else None))
    return tuple(found)


def _ends_on_armhole(outline: Outline, side: str, tiers: Sequence[TierLine]) -> list[float]:
    """Return how far from the underarm point, along the armhole seam, tier lines end there."""
    armhole = outline.edge(f"{side} armhole")
    ends = [tier.curve.end if side == "front" else tier.curve.start for tier in tiers]
    places = [place.t for place in armhole.nearest_many(ends) if place.distance <= ON_EDGE] if ends else []
    from_start = [armhole.between(0, t).length() if t else 0.0 for t in places]
    return [armhole.length() - length if side == "front" else length for length in from_start]


def _clear_of(usual: float, others: Sequence[float], length: float) -> float:
    """Return the distance nearest to the usual one at which a notch, double or not, stands clear of the ``others``.

    Where they stand too close for that it is that one in the middle between two of them, no farther off than half the
    usual distance, which leaves most room.
    """

    def room(distance: float) -> float:
        return min((max(distance - other, other - distance - DOUBLE_NOTCH_GAP) for other in others), default=np.inf)

    tried = sorted(np.arange(CLEAR_OF_NOTCH, length - CLEAR_OF_NOTCH, CLEAR_OF_NOTCH / 4), key=lambda distance: abs(distance - usual))
    clear = next((distance for distance in (usual, *tried) if room(distance) >= CLEAR_OF_NOTCH), None)
    if clear is not None:
        return float(clear)
    middles = [(one + other - DOUBLE_NOTCH_GAP) / 2 for one, other in zip(sorted(others), sorted(others)[1:])]
    return float(max([usual, *(middle for middle in middles if abs(middle - usual) <= usual / 2)], key=room))


def notch_ticks(outline: Outline, side: str, distance: float, allowance: float, cut: Curve) -> list[Curve]:
    """Return the ticks of one notch, square to the armhole seam of ``side`` ("front": one, "back": two).

    ``distance`` runs along the seam from the underarm point to the first tick.  See :func:`tick`.
    """
    return [armhole_tick(outline, side, d, allowance, cut) for d in notch_distances(side, distance)]


def notch_distances(side: str, distance: float) -> list[float]:
    """Return where the ticks of one notch stand whose first is at ``distance``: one at the front, two at the back."""
    return [distance] if side == "front" else [distance, distance + DOUBLE_NOTCH_GAP]


def armhole_tick(outline: Outline, side: str, distance: float, allowance: float, cut: Curve) -> Curve:
    """Return the tick so far along the armhole seam of a ``side`` from its lower end.  See :func:`tick`."""
    armhole = outline.edge(f"{side} armhole")
    return tick(armhole, armhole.at_length(armhole.length() - distance if side == "front" else distance), allowance, cut)


def tick(edge: Curve, t: float, allowance: float, cut: Curve) -> Curve:
    """Return a notch at ``t`` on an edge of an outline: from the cutting line ``cut``, ``allowance`` outside, square in toward the seam.

    Beside a corner, or a hollow tighter than its allowance, the cut runs nearer or farther than the allowance.
    """
    point, outward = edge.point(t), left_of(edge.tangent(t))
    out = _to_the_cut(point, outward, allowance, cut) if allowance else 0.0
    depth = min(NOTCH_DEPTH, allowance / 2, out / 2) or -LEAST_NOTCH
    return Curve.line(point + out * outward, point + (out - depth) * outward)


def _to_the_cut(point: Array, outward: Array, allowance: float, cut: Curve) -> float:
    """Return how far ``outward`` from a ``point`` of the seam the cut is first met; the ``allowance`` itself where it is met there."""
    out = min(cut.along_ray(point, outward), default=allowance)
    return allowance if abs(out - allowance) <= ON_EDGE else out


class PlaceNotch(NamedTuple):
    """A place on the seam that is found again after cutting by a single notch: what it is called, and at which t of which edge."""

    name: str
    edge: str
    t: float

    @property
    def line(self) -> str:
        """What ends there, on both sides of the sleeve: a numbered tier line, say."""
        return self.name.rpartition(" ")[0]


def place_ticks(
    outline: Outline, places: Sequence[PlaceNotch], allowances: Mapping[str, float], cut: Curve, others: Sequence[Curve]
) -> list[tuple[PlaceNotch, Curve]]:
    """Return the ticks of ``places`` that can be told from the ``others`` and from each other, in their order.

    Both ends of a line have one or neither: they are found again together when the underarm is closed.
    """
    found, taken = [], [other.start for other in others]
    for _, ends in groupby(places, key=lambda place: place.line):
        ticks = [(place, place_tick(outline, place, allowances, cut)) for place in ends]
        if all(float(norm(tick.start - other)) > READ_APART for _, tick in ticks for other in taken):
            found += ticks
            taken += [tick.start for _, tick in ticks]
    return found


def place_tick(outline: Outline, notch: PlaceNotch, allowances: Mapping[str, float], cut: Curve) -> Curve:
    """Return the tick of a notch, within what is allowed at its edge.  See :func:`tick`."""
    return tick(outline.edge(notch.edge), notch.t, allowances[notch.edge], cut)


def place_notches(outline: Outline, tiers: Sequence[TierLine], levels: Sequence[Level]) -> list[PlaceNotch]:
    """Return the middle of the top edge, both ends of every tier line and the elbow on both underarm seams, each once.

    Ends at a corner, or inside the piece, have none; nor has an elbow so near to a tier line that two notches would look like one double one.
    """
    ends = [(f"tier {tier.number} {side}", end) for tier in tiers for side, end in (("front", tier.curve.end), ("back", tier.curve.start))]
    elbow = next((line for level, line in zip(levels, body_level_lines(outline, levels)) if level.name == "elbow" and line is not None), None)
    if elbow is not None:
        ends += [("elbow front", elbow.end), ("elbow back", elbow.start)]
    top = _middle_of_top_edge(outline)
    found = [PlaceNotch("top edge middle", "top edge", top.t)]
    taken = [top.point, *map(outline.corner, outline.shape.corners)]
    sides = (*outline.shape.front, *outline.shape.back)
    places = zip(*(outline.edge(edge).nearest_many([end for _, end in ends]) for edge in sides)) if ends else ()
    for (name, end), nearest in zip(ends, places):
        place, edge = min(zip(nearest, sides), key=lambda pair: pair[0].distance)
        apart = DOUBLE_NOTCH_GAP if name.startswith("elbow") else SAME_NOTCH
        if place.distance <= ON_EDGE and min(float(norm(end - other)) for other in taken) > apart:
            found.append(PlaceNotch(name, edge, place.t))
            taken.append(end)
    return found


def _middle_of_top_edge(outline: Outline) -> Nearest:
    """Return where the grain line meets the top edge, or the place of it that is nearest to that."""
    return outline.edge("top edge").nearest((0.0, top_edge_height(outline)))

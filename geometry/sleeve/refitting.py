"""The Fitting Changes: the Seam line as it stands, hand edits included, moved by a smooth field between the levels.

Down the sleeve every place goes by what the levels above and below it go, across by what its side is let out
there.  At the ends of the top edge, the underarm points and the hem corners the field only shifts, so that edges
that close without a corner still do; the grain line keeps its place.  The field is made so that a change and its
opposite take every point back to where it was: what is in between is measured by the mean of both states.
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.curve import Curve
from geometry.curves.moved import moved
from geometry.curves.roots import root_between
from geometry.measuring.lengths import HAIR, within
from geometry.measuring.toile import AMOUNTS, FITTED_LEVELS, MOST_LONGER, MOST_WIDER, FittingChange, opposite
from geometry.refusal import Refused
from geometry.sleeve.arm import Level
from geometry.sleeve.openings import is_shaped
from geometry.sleeve.outline import EDGES, Outline

#: In one change a part of the sleeve becomes at most this many times as long or wide, or as short or narrow.
MOST_TIMES = 2.0

#: Two levels nearer than this are one, millimetres.
APART = 5.0

_NEWTON = 30

#: Places along each piece of an edge by which its length is measured, and how many times as far as its length grows the
#: end of a curved edge may go across.
_PLACES, _MOST_ACROSS = 400, 3.0


class Knots(NamedTuple):
    """Places along a line that are told where to go: ``at`` rises, ``by`` is how far each goes, millimetres."""

    at: Array
    by: Array


class SideField(NamedTuple):
    """How one side moves: ``down`` by heights; ``out`` by how much it is let out, at heights between before and after."""

    down: Knots
    out: Knots


def refitted(seam: Outline, levels: Sequence[Level], changes: Sequence[FittingChange], before: Sequence[FittingChange] = ()) -> Outline:
    """Return the Seam line after ``changes``, in their order; ``levels`` are those of the block, ``before`` what has moved them already.

    The very ``seam`` where all amounts are 0.  Raises :class:`Refused` where a change names a level that the
    sleeve has not, or asks for too much.
    """
    earlier = [change.amounts for change in before]
    for change in changes:
        seam = moved_seam(seam, levels, change.amounts, earlier)
        earlier.append(change.amounts)
    return seam


def moved_seam(seam: Outline, levels: Sequence[Level], amounts: Mapping[str, float], earlier: Sequence[Mapping[str, float]] = ()) -> Outline:
    """Return the Seam line after one change of ``amounts``, after the ``earlier`` ones.  Errors as of :func:`refitted`."""
    asked = {name: amounts.get(name, 0.0) for name in AMOUNTS}
    if not any(asked.values()):
        return seam
    amounts = {**asked, **across_for(seam, asked)}
    heights = heights_now(levels, earlier)
    sides = {side: side_field(seam, heights, levels, amounts, side) for side in ("front", "back")}
    check_widths(seam, heights, amounts)
    across = across_field(seam, amounts)
    longer = amounts["longer_above_elbow"] + amounts["longer_below_elbow"]
    edges = {}
    for name in EDGES:
        side = name.split()[0]
        if side in sides:
            edges[name] = moved(seam.edge(name), partial(_move_side, field=sides[side], sign=1.0 if side == "front" else -1.0))
        else:
            edges[name] = moved(seam.edge(name), partial(_move_across, knots=across[name], down=longer if name == "hem" else 0.0))
    try:
        made = Outline(edges)
    except ValueError as error:  # it runs the other way round
        raise Refused("change crosses itself") from error
    if made.closed().self_crossings() and not seam.closed().self_crossings():
        raise Refused("change crosses itself")
    return made


def taken_back(seam: Outline, levels: Sequence[Level], changes: Sequence[FittingChange], number: int) -> Outline:
    """Return the Seam line as if of the ``changes`` that it went through one had not been made: those after it are
    undone, and made again without it.  Errors as of :func:`refitted`.
    """
    amounts = [change.amounts for change in changes]
    for k in range(len(changes) - 1, number - 1, -1):
        seam = moved_seam(seam, levels, opposite(amounts[k]), amounts[: k + 1])
    return refitted(seam, levels, changes[number + 1 :], changes[:number])


# --- the field ---------------------------------------------------------------------------------------


def heights_now(levels: Sequence[Level], earlier: Sequence[Mapping[str, float]]) -> dict[str, float]:
    """Return where the levels of the arm lie on the pattern: as drafted, and with it as it was lengthened."""
    heights = {level.name: level.y for level in levels if level.name not in ("underarm", "hem")}
    for amounts in earlier:
        heights = {name: y + shift for (name, y), shift in zip(heights.items(), lengthened(levels, amounts).values())}
    return heights


def lengthened(levels: Sequence[Level], amounts: Mapping[str, float]) -> dict[str, float]:
    """Return how far down one change takes each level between underarm and hem: as its share of the arm that was made longer."""
    drafted = {level.name: level.y for level in levels}
    above, below = amounts.get("longer_above_elbow", 0.0), amounts.get("longer_below_elbow", 0.0)
    at = [drafted["underarm"], *([drafted["elbow"]] if "elbow" in drafted else []), drafted["hem"]]
    by = [0.0, *([above] if "elbow" in drafted else []), above + below]
    return {name: float(np.interp(y, at, by)) for name, y in drafted.items() if name not in ("underarm", "hem")}


def side_field(seam: Outline, heights: Mapping[str, float], levels: Sequence[Level], amounts: Mapping[str, float], side: str) -> SideField:
    """Return how a side moves.  Errors as of :func:`refitted`."""
    top, underarm, hem = (float(seam.corner(f"{side} {corner}")[1]) for corner in ("top", "underarm point", "hem"))
    lowered, above, below = (amounts[name] for name in ("underarm_down", "longer_above_elbow", "longer_below_elbow"))
    has_elbow = "elbow" in heights and underarm + max(lowered, 0) + APART < heights["elbow"] and heights["elbow"] < hem - APART
    if not has_elbow and below:
        raise Refused("no elbow to lengthen below", amount=below)
    down = [(top, 0.0), (underarm, lowered), *([(heights["elbow"], above)] if has_elbow else []), (hem, above + below)]
    names = ["top edge", "underarm", *(["elbow"] if has_elbow else []), "hem"]
    if lowered and not above and not below:
        check_lowered(lowered, top, underarm, *((heights["elbow"], "elbow") if has_elbow else (hem, "hem")))
    check_stretch([place + by for place, by in down], [place for place, _ in down], names, MOST_LONGER)
    spread = {"top edge": (top, 0.0), "underarm": (underarm, lowered)}
    for name, shift in lengthened(levels, amounts).items():
        before, after = heights[name], heights[name] + shift
        if underarm + APART < before < hem - APART and underarm + lowered + APART < after < hem + above + below - APART:
            spread[name] = (before, shift)
    spread["hem"] = (hem, above + below)
    for name in FITTED_LEVELS:
        if name not in spread and amounts[_named(name, side)]:
            raise Refused("no such level to fit", Level=name.capitalize(), side=side, level=name, amount=amounts[_named(name, side)])
    middle = [place + by / 2 for place, by in spread.values()]
    out = [amounts[_named(name, side)] for name in spread]
    field = SideField(Knots(*map(np.array, zip(*down))), Knots(np.array(middle), np.array(out)))
    return wide_as_asked(field, seam, side, list(spread.values())[2:-1])


def wide_as_asked(field: SideField, seam: Outline, side: str, levels: Sequence[tuple[float, float]]) -> SideField:
    """Return the field by which the side goes out at each of the ``levels`` (height and shift of each) by what its knots say.

    What comes to lie at a level is not always what lay there: where the underarm is lowered, the places below it go
    down along a seam that narrows.  The field as it is where nothing else comes there, or the seam does not pass a level.
    """
    down, (at, asked) = field
    inner = slice(2, len(at) - 1)
    before = np.array([height for height, _ in levels])
    after = before + [shift for _, shift in levels]
    source = shifted(after, Knots(down.at + down.by, -down.by))
    met = [_reach(seam.edge(f"{side} underarm"), y) for y in (*before, *source)]
    if None in met or np.abs(source - before).max(initial=0.0) < HAIR:
        return field
    had, comes = np.array(met, dtype=float).reshape(2, -1)
    by = asked.copy()
    for _ in range(_NEWTON):
        lacking = had + asked[inner] - comes - let_out((source + after) / 2, Knots(at, by))
        if np.abs(lacking).max() < HAIR:
            return SideField(down, Knots(at, by))
        by[inner] += lacking
    return field


def _reach(edge: Curve, y: float) -> float | None:
    """Return how far out an underarm seam lies at a height, None where it does not pass there."""
    met = edge.at_height(y)
    return float(np.abs(edge.point(np.array(met))[:, 0]).max()) if met else None


def across_for(seam: Outline, amounts: Mapping[str, float]) -> dict[str, float]:
    """Return by how much the ends of top edge and hem go across, so that either half becomes as much longer along its curve as asked.

    A hem that is scalloped, wavy or opened is measured straight across, and goes so.
    """
    found = {}
    for edge in ("top edge", "hem"):
        curve = seam.edge(edge)
        points = curve.point(np.linspace(0, len(curve), _PLACES * len(curve) + 1))
        measured_across = is_shaped(curve, seam.openings(edge)) or seam.openings(edge)
        for side, sign in (("back", -1.0), ("front", 1.0)):
            amount = amounts[_named(edge, side)]
            if amount and not measured_across:
                found[_named(edge, side)] = _across_for_length(points * (sign, 1.0), amount)
    return found


def _across_for_length(points: Array, amount: float) -> float:
    """Return how far the end of the half at x > 0 goes across so that this half becomes longer by ``amount``; that itself where none does."""
    ahead = points[1:, 0] + points[:-1, 0] > 0
    end = float(points[:, 0].max())

    def over(by: float) -> float:
        knots = Knots(np.array([0.0, end]), np.array([0.0, by]))
        x = np.where(points[:, 0] > 0, shifted(points[:, 0], knots), points[:, 0])
        return float(_lengths(np.stack([x, points[:, 1]], axis=1))[ahead].sum() - before) - amount

    before = float(_lengths(points)[ahead].sum())
    near, far = amount / 2, float(np.clip(amount * _MOST_ACROSS, end / MOST_TIMES - end, end * MOST_TIMES - end))  # as check_stretch has it
    if over(near) * over(far) >= 0:
        return amount
    return root_between(over, min(near, far), max(near, far), accuracy=1e-9)


def _lengths(points: Array) -> Array:
    found: Array = np.hypot(*np.diff(points, axis=0).T)
    return found


def across_field(seam: Outline, amounts: Mapping[str, float]) -> dict[str, Knots]:
    """Return how top edge and hem move across: their ends as they are let out, the grain line not at all."""
    found = {}
    for edge in ("top edge", "hem"):
        corner = edge.split()[0]
        back, front = (float(seam.corner(f"{side} {corner}")[0]) for side in ("back", "front"))
        if not back < 0 < front:
            raise Refused("edge off the grain line", edge=edge)
        at, by = [back, 0.0, front], [-amounts[_named(edge, "back")], 0.0, amounts[_named(edge, "front")]]
        check_stretch(np.add(at, by).tolist(), at, [f"back end of the {edge}", "grain line", f"front end of the {edge}"], MOST_WIDER)
        found[edge] = Knots(np.array(at), np.array(by))
    return found


def check_lowered(lowered: float, top: float, underarm: float, below: float, name: str) -> None:
    """Raise :class:`Refused` where the underarm alone goes so far that the sleeve above or ``below`` it, to what has this
    ``name``, becomes too long or too short; told is how far it may go.
    """
    cap, rest = underarm - top, below - underarm
    least = max(cap / MOST_TIMES - cap, rest - rest * MOST_TIMES, -MOST_WIDER)
    most = min(cap * MOST_TIMES - cap, rest - rest / MOST_TIMES, MOST_WIDER)
    if not within(least, lowered, most):
        raise Refused("underarm moved too far", lowered=lowered, cap=cap, rest=rest, name=name, least=least, most=most)


def check_stretch(after: Sequence[float], before: Sequence[float], names: Sequence[str], one_change: float) -> None:
    """Raise :class:`Refused` where a part becomes more than :data:`MOST_TIMES` as long, or as short; told as far as ``one_change`` goes."""
    for k, (was, now) in enumerate(zip(np.diff(before).tolist(), np.diff(after).tolist())):
        if now != was and not within(was / MOST_TIMES, now, was * MOST_TIMES):
            least, most = max(was / MOST_TIMES - was, -one_change), min(was * MOST_TIMES - was, one_change)
            raise Refused("changed too much", one=names[k], other=names[k + 1], was=was, would=now, least=least, most=most)


def check_widths(seam: Outline, heights: Mapping[str, float], amounts: Mapping[str, float]) -> None:
    """Raise :class:`Refused` where front and back together become too wide or narrow, by :data:`MOST_TIMES`, at the underarm or a level below it."""
    underarm = [float(seam.corner(f"{side} underarm point")[1]) for side in ("front", "back")]
    for name, y in {"underarm": sum(underarm) / 2, **heights}.items():
        both = amounts[_named(name, "front")] + amounts[_named(name, "back")]
        if both:
            wide = seam.width_at(y)
            check_stretch([0.0, wide + both], [0.0, wide], [f"back of the {name}", f"front of the {name}"], 2 * MOST_WIDER)


def _named(level: str, side: str) -> str:
    return f"{level.replace(' ', '_')}_{side}"


def _move_side(points: Array, field: SideField, sign: float) -> Array:
    y = points[:, 1]
    below = shifted(y, field.down)
    return np.stack([points[:, 0] + sign * let_out((y + below) / 2, field.out), below], axis=1)


def _move_across(points: Array, knots: Knots, down: float) -> Array:
    return np.stack([shifted(points[:, 0], knots), points[:, 1] + down], axis=1)


def shifted(x: Array, knots: Knots) -> Array:
    """Return where places go between knots; beyond the ends as the ends do.

    Between two knots x' = x + a + (b - a) S(t), S = 3t² - 2t³, where t is measured by the mean of before and
    after: t = (x - x0 + x' - x0') / (L + L').  So x and x' may be exchanged, and the way back is the same.
    """
    at, by = knots
    x = np.asarray(x, dtype=float)
    k = np.clip(np.searchsorted(at, x, side="right") - 1, 0, len(at) - 2)
    change = by[k + 1] - by[k]
    both = 2 * (at[k + 1] - at[k]) + change
    way = 2 * (x - at[k])
    t = np.clip(way / both, 0.0, 1.0)
    for _ in range(_NEWTON):
        over = both * t - change * t * t * (3 - 2 * t) - way
        t = np.clip(t - over / (both - 6 * change * t * (1 - t)), 0.0, 1.0)
    return x + by[k] + change * t * t * (3 - 2 * t)


def let_out(y: Array, knots: Knots) -> Array:
    """Return by how much a side is let out at heights ``y``: a smooth line through the knots that overshoots none of them.

    Slopes as Fritsch and Butland 1984 (SIAM Journal on Scientific and Statistical Computing 5) have them between
    underarm and hem, none at the top edge, the underarm and the hem.
    """
    at, by = knots
    slope = _slopes(at, by)
    k = np.clip(np.searchsorted(at, y, side="right") - 1, 0, len(at) - 2)
    width = at[k + 1] - at[k]
    t = np.clip((y - at[k]) / width, 0.0, 1.0)
    s = 1 - t
    found: Array = (
        by[k] * s * s * (1 + 2 * t) + by[k + 1] * t * t * (3 - 2 * t) + width * (slope[k] * t * s * s - slope[k + 1] * t * t * s)
    )
    return found


def _slopes(at: Array, by: Array) -> Array:
    """Return the slopes at the knots: of the second, the underarm, and of both ends 0."""
    width, rise = np.diff(at), np.diff(by) / np.diff(at)
    slopes = np.zeros(len(at))
    for k in range(2, len(at) - 1):
        if rise[k - 1] * rise[k] > 0:
            one, other = 2 * width[k] + width[k - 1], width[k] + 2 * width[k - 1]
            with np.errstate(over="ignore"):  # of next to no rise there is no slope
                slopes[k] = (one + other) / (one / rise[k - 1] + other / rise[k])
    return slopes

"""The armhole seam: its curve, and its length matched to the bodice's by solving.

One side is drawn at x > 0, from the end of the top edge down to the underarm point.  Angles are radians
from the x axis down; ``run`` is how far the underarm point stands out beyond the end of the top edge.
"""
from __future__ import annotations

import math
from typing import Callable, NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.bezier import length_of_arc
from geometry.curves.curve import Curve
from geometry.curves.roots import root_between
from geometry.refusal import Problem, Refused

#: How far the armhole curve leans away from its chord at either end, where nothing else decides:
#: enough to be slightly hollow, little enough to be shallow (about 1/16 of the chord).
HOLLOW = math.radians(14)

#: An underarm seam that narrows fast pulls the armhole, which meets it square, down towards its chord; so much hollow is
#: left at that end (common practice, no source).
LEAST_HOLLOW = math.radians(6)

#: The armhole leaves the top edge no flatter than this, measured from the top edge's own direction, so that
#: the corner (180° less this) can be trued against a bodice: 120° at the most.
STEEPEST_CORNER = math.radians(60)

#: The least by which the underarm must stand out beyond the top edge on each side: less leaves no armhole.
LEAST_RUN = 5.0

#: The deepest scoop has its handles this far along to where its end tangents meet: at 1 the curve
#: would come to a point, beyond that it would bend back.
BOLDEST = 0.9

#: Seam lengths are solved to this, millimetres: a fiftieth of what a tape shows, and well inside
#: the 0.05 mm that is promised.
SOLVED = 1e-3

#: The angle at the underarm is settled to this, radians; it is a matter of looks, not of length.
_SETTLED = 1e-5

#: It is taken anew so often before it is looked for by halving.
_QUICK_ROUNDS = 5


def armhole_curve(start: tuple[float, float], end: tuple[float, float], arrival: float, scoop: float = 0.0) -> Curve:
    """Return the armhole seam from the top edge to the underarm point, where it arrives at this angle.

    ``scoop`` is how much deeper it is hollowed out than usual, in millimetres from its chord; more than
    :func:`most_scoop` counts as that.
    """
    return Curve(_cubic(start, end, arrival, scoop)[None])


def seam_length(run: float, height: float, arrival: float, scoop: float) -> float:
    """Return the length of the armhole seam, millimetres."""
    return length_of_arc(_cubic((0.0, 0.0), (run, height), arrival, scoop))


def _cubic(start: tuple[float, float], end: tuple[float, float], arrival: float, scoop: float) -> Array:
    """Return the armhole as one cubic (4, 2)."""
    (x0, y0), (x1, y1) = start, end
    share = _scoop_share(x1 - x0, y1 - y0, arrival, scoop) if scoop else 0.0
    departure, first, last = _handles(x1 - x0, y1 - y0, arrival, share)
    return np.array([
        (x0, y0),
        (x0 + first * math.cos(departure), y0 + first * math.sin(departure)),
        (x1 - last * math.cos(arrival), y1 - last * math.sin(arrival)),
        (x1, y1),
    ])


def usual_departure(chord: float) -> float:
    """Return the angle at which an armhole with this direction of chord leaves the top edge."""
    return min(max(chord + HOLLOW, STEEPEST_CORNER), math.pi / 2)


def most_scoop(run: float, height: float, arrival: float) -> float:
    """Return by how much an armhole can be scooped deeper without bending back on itself."""
    return _hollow(run, height, arrival, 1.0) - _hollow(run, height, arrival, 0.0)


def _handles(run: float, height: float, arrival: float, share: float) -> tuple[float, float, float]:
    """Return the angle of departure and the lengths of both handles.

    At a ``share`` of 0 they are those of the usual armhole: handles as of a circular arc of the same
    turn, shortened where they would make it swing back in x or y.  At 1 they are those of the deepest
    scoop, square to the top edge; between, in proportion.
    """
    chord, length = math.atan2(height, run), math.hypot(run, height)
    departure = usual_departure(chord)
    usual = length * handle_of_chord(departure - arrival)
    # The handles' points stay in order while the first takes up to 3/5 of the drop and 2/5 of the run,
    # the second the reverse; a quarter circle takes 0.55 and nothing.
    first = min(usual, 0.6 * height / max(math.sin(departure), 1e-9), 0.4 * run / max(math.cos(departure), 1e-9))
    last = min(usual, 0.6 * run / max(math.cos(arrival), 1e-9), 0.4 * height / max(math.sin(arrival), 1e-9))
    if share:
        turn = math.pi / 2 - arrival
        first += share * (BOLDEST * length * math.sin(chord - arrival) / math.sin(turn) - first)
        last += share * (BOLDEST * length * math.sin(math.pi / 2 - chord) / math.sin(turn) - last)
    return departure + share * (math.pi / 2 - departure), first, last


def _hollow(run: float, height: float, arrival: float, share: float) -> float:
    """Return how far the armhole dips below its chord at the most, millimetres."""
    chord = math.atan2(height, run)
    departure, first, last = _handles(run, height, arrival, share)
    # Heights of the handles over the chord; the curve's own is 3 v²u a + 3 v u² b.
    a, b = first * math.sin(departure - chord), last * math.sin(chord - arrival)
    half_b, square = 2 * a - b, 3 * (a - b)
    root = math.sqrt(max(half_b * half_b - square * a, 0.0))
    u = a / (half_b + root) if half_b + root else 0.0
    return 3 * (1 - u) * u * ((1 - u) * a + u * b)


def _scoop_share(run: float, height: float, arrival: float, scoop: float) -> float:
    if arrival >= math.atan2(height, run):
        return 0.0  # not hollow at all; such an angle is only tried on the way to a solution
    wanted = _hollow(run, height, arrival, 0.0) + scoop

    def short(share: float) -> float:
        return _hollow(run, height, arrival, share) - wanted

    return 1.0 if short(1.0) <= 0 else root_between(short, 0.0, 1.0, SOLVED)


def handle_of_chord(turn: float) -> float:
    """Return handle / chord of the cubic nearest to a circular arc of this turn: 1/3 when straight.

    The usual handle is 4/3 tan(turn / 4) of the radius, and the chord is 2 sin(turn / 2) of it.
    """
    return 1 / 3 if abs(turn) < 1e-9 else 2 / 3 * math.tan(turn / 4) / math.sin(turn / 2)


# --- matching --------------------------------------------------------------------------------------


class Side(NamedTuple):
    """What is known of one side: its end of the top edge (across, and down from the middle of the top edge), the
    seam to be drawn (None = not matched), scoop, and its half width at the underarm where nothing is
    matched; millimetres.
    """

    name: str
    top_half: float
    top_drop: float
    seam: float | None
    scoop: float
    usual_half: float

    def chord(self, half: float, height: float) -> float:
        """Return the direction from the end of the top edge to an underarm point ``half`` out and ``height`` down."""
        return math.atan2(height - self.top_drop, half - self.top_half)

    def length(self, half: float, height: float, arrival: float) -> float:
        """Return the length of the seam to that underarm point."""
        return seam_length(half - self.top_half, height - self.top_drop, arrival, self.scoop)


class Armholes(NamedTuple):
    """Where both sides meet the underarm: half widths, common height and common angle of arrival."""

    front_half: float
    back_half: float
    height: float
    arrival: float


class Limits(NamedTuple):
    """Between what the matching may choose, millimetres: whole width and height at the underarm.

    The least width is what the arm and its ease ask for.
    """

    least_width: float
    most_width: float
    least_height: float
    most_height: float


class Match(NamedTuple):
    """An armhole seam that was matched: which side, and how long the bodice's is, millimetres."""

    side: str
    bodice: float


#: From half widths (front, back) and height to the angle at which both armholes arrive.
Arrival = Callable[[float, float, float], float]


def run_of_length(length: float, height: float, arrival: float, scoop: float, longest: float) -> float:
    """Return the run at which the seam is so long; the nearest of :data:`LEAST_RUN` and ``longest`` where none is."""

    def over(run: float) -> float:
        return seam_length(run, height, arrival, scoop) - length

    # No seam is shorter than its chord.
    longest = min(longest, math.sqrt(max(length**2 - height**2, 0.0)))
    if longest <= LEAST_RUN or (at_least := over(LEAST_RUN)) >= 0:
        return LEAST_RUN
    at_longest = over(longest)
    return longest if at_longest <= 0 else root_between(over, LEAST_RUN, longest, SOLVED, ends=(at_least, at_longest))


def armholes_at_height(front: Side, back: Side, height: float, arrival_for: Arrival, limits: Limits, near: float = 0.0) -> Armholes:
    """Return the armholes at this height whose seams are as long as asked, as far as the runs allow; their angle is looked for
    ``near`` one first.

    A side that is not matched keeps its usual half width, or takes what the least width leaves to it.
    """

    def half(side: Side, seam: float, arrival: float) -> float:
        return side.top_half + run_of_length(seam, height - side.top_drop, arrival, side.scoop, limits.most_width / 2)

    def halves(arrival: float) -> tuple[float, float]:
        ours = None if front.seam is None else half(front, front.seam, arrival)
        theirs = None if back.seam is None else half(back, back.seam, arrival)
        if ours is None:
            ours = max(front.usual_half, limits.least_width - (back.usual_half if theirs is None else theirs))
        if theirs is None:
            theirs = max(back.usual_half, limits.least_width - ours)
        return ours, theirs

    def excess(arrival: float) -> float:
        return arrival_for(*halves(arrival), height) - arrival

    # Mostly the widths hardly change with the angle, so that taking it anew comes to rest at once.
    arrival = near
    for _ in range(_QUICK_ROUNDS):
        widths = halves(arrival)
        off = arrival_for(*widths, height) - arrival
        if abs(off) <= _SETTLED / 10:
            return Armholes(*widths, height, arrival)
        arrival += off
    # The angle depends on the widths and they on it; it is never above its chord's, less the hollow.
    arrival = root_between(excess, 0.0, math.pi / 2 - LEAST_HOLLOW, _SETTLED, _SETTLED)
    if excess(arrival) < -10 * _SETTLED:  # the rule jumps there, as where a level comes to be passed over
        arrival = arrive_level(0.0, 0.0, height)
    return Armholes(*halves(arrival), height, arrival)


def match_keeping_height(front: Side, back: Side, height: float, arrival_for: Arrival, limits: Limits) -> Armholes:
    """Return the armholes at this height with seams as long as asked; what gives is the width.

    Raises :class:`Refused` that tells by how much it can't be.
    """
    found = armholes_at_height(front, back, height, arrival_for, limits)
    _check_seams(found, front, back, Problem("height kept", {"height": height}))
    width = found.front_half + found.back_half
    if width < limits.least_width - SOLVED:
        raise Refused(
            "matched too narrow",
            height=height,
            width=width,
            needed=limits.least_width,
            missing=limits.least_width - width,
        )
    if width > limits.most_width + SOLVED:
        raise Refused("matched too wide", height=height, width=width, over=width - limits.most_width, most=limits.most_width)
    return found


def match_keeping_width(front: Side, back: Side, width: float, arrival_for: Arrival, limits: Limits) -> Armholes:
    """Return the armholes with this whole width and seams as long as asked; what gives is the height.

    How much of the width lies in front is what the two seams ask for.  Raises :class:`Refused` as
    :func:`match_keeping_height`.
    """
    wanted = width if front.seam and back.seam else width * _matched_share(front, back)
    found = _matched_at(wanted, width, front, back, arrival_for, limits)
    if found is None:  # the rule for the angle jumps just there, and level arrival, which never does, will do
        found = _matched_at(wanted, width, front, back, arrive_level, limits, last=True)
    assert found is not None
    _check_seams(found, front, back, Problem("width kept", {"width": width}))
    return found


def _matched_at(
    wanted: float, width: float, front: Side, back: Side, arrival_for: Arrival, limits: Limits, last: bool = False
) -> Armholes | None:
    """Return the armholes whose matched sides are as wide together as ``wanted``.

    None where the width jumps over that, unless this is the ``last`` try.  Raises :class:`Refused` where no height will do.
    """
    near = 0.0

    def over(height: float) -> float:
        nonlocal near
        found = armholes_at_height(front, back, height, arrival_for, limits, near)
        near = found.arrival
        return _matched_width(found, front, back) - wanted

    shallow = over(limits.least_height)
    if shallow < 0:
        raise Refused("seams too short for the width", width=width, height=limits.least_height, off=-shallow)
    deep = over(limits.most_height)
    if deep > 0:
        raise Refused("seams too long for the width", width=width, height=limits.most_height, off=deep)
    height = root_between(over, limits.least_height, limits.most_height, SOLVED, SOLVED / 10)
    if not last and abs(over(height)) > 10 * SOLVED:
        return None
    return armholes_at_height(front, back, height, arrival_for, limits, near)


def arrive_level(front_half: float, back_half: float, height: float) -> float:
    """Return the calmest angle of arrival; an :data:`Arrival`."""
    return 0.0


def _matched_share(front: Side, back: Side) -> float:
    side = front if front.seam else back
    return side.usual_half / (front.usual_half + back.usual_half)


def _matched_width(found: Armholes, front: Side, back: Side) -> float:
    return (found.front_half if front.seam else 0.0) + (found.back_half if back.seam else 0.0)


def _check_seams(found: Armholes, front: Side, back: Side, kept: Problem) -> None:
    """Raise :class:`Refused` where a seam could not be made as long as asked."""
    for side, half in ((front, found.front_half), (back, found.back_half)):
        if side.seam is None:
            continue
        off = side.length(half, found.height, found.arrival) - side.seam
        if abs(off) > 10 * SOLVED:
            rule = "armhole seam too short" if off > 0 else "armhole seam too long"
            raise Refused(rule, Side=side.name.capitalize(), seam=side.seam, kept=kept, off=abs(off))

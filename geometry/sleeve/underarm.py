"""The underarm seam as a cutter draws it: straight from level to level, what bend there is in the upper third of each
stretch, never inside the straight line between the levels, and straight into the hem, which is square to it.

One side is drawn at x > 0, from the underarm point down to the hem.  Slopes are dx/dy, above 0 where the seam leans out.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.curve import Curve
from geometry.curves.roots import root_between
from geometry.sleeve.hem import Hem, Point, hem_below, most_lean

#: No stretch of the seam leans more than this from the grain, and it turns by no more than this, either way: more makes
#: a hook that neither sews nor presses flat (common practice, no source).
STEEPEST, SHARPEST = math.radians(45), math.radians(25)

#: What is chosen between levels stays so far below both limits, since rounding a level off turns what lies beside it,
#: and the more where the seam turns in, since that moves the level out.
_SPARE_LEAN, _SPARE_OUT, _SPARE_IN = math.radians(3), math.radians(2), math.radians(4.5)

#: A turn is rounded off over this share of the stretches beside it, at most over so many millimetres, and so far that
#: the seam lies no more than this outside the corner.
ROUNDED_SHARE, ROUNDED_MOST, ROUNDED_OUT = 1 / 3, 60.0, 3.0

#: Turns and leans less than this are none.
_HAIR = 1e-9

#: Slopes that differ by less than this are the same where one of them was solved for.
_SAME_SLOPE = 1e-4

#: What was widened leans less than the limit by this, radians, so that it is not widened again.
_OVER = 1e-6

#: A hem that is no longer than its limit by more than this, millimetres, is at it: what was solved is no rounder.
_HEM_OVER = 1e-3

#: By this a hem is made longer whose seam still narrows too fast at the length that should do.
_A_LITTLE_MORE = 1.02

#: Rounding a level off moves it, which turns its neighbours: settled after a few rounds, to the last digit after these.
_ROUNDS = 15

#: Passing over and widening comes to an end after a few choices, in ten thousand strange arms; no dialog waits for more.
_MOST_CHOICES = 200


class Note(NamedTuple):
    """Something the draft decided that she should know: a kind, the level's name, and lengths (mm).

    :func:`extension.wording.notes.note` makes the sentence of it.
    """

    kind: str
    level: str
    lengths: tuple[float, ...] = ()


class Stop(NamedTuple):
    """A level that the seam should pass through: half width with the ease asked for, and y, millimetres."""

    name: str
    y: float
    half: float


class Passed(NamedTuple):
    """A level that the seam passes wider than was asked, and why: "passed over" where it would have wandered, "narrowed
    slowly" where it leans or turns as far as it may, "rounded off" where its turn alone moves it out; half widths, millimetres.
    """

    kind: str
    name: str
    asked: float
    drawn: float


class TooWide(ValueError):
    """A hem to which the seam would have to lean or turn out too far; ``most`` is how long it can be, millimetres."""

    def __init__(self, most: float) -> None:
        super().__init__(f"the hem can be {most:g} mm long")
        self.most = most


class Seam(NamedTuple):
    """An underarm seam: corners of straight stretches, over how many millimetres of height on either side each is rounded
    off, with which slope it leaves the underarm point, and its hem.
    """

    corners: tuple[Point, ...]
    rounding: tuple[float, ...]
    departure: float
    hem: Hem

    def curve(self, aside: float = 0.0) -> Curve:
        """Return the seam from the underarm point to the hem, moved sideways by ``aside``; y along it is linear in t."""
        slopes, corners = _slopes(self.corners), np.add(self.corners, (aside, 0.0))
        pieces, at, slope = [], corners[0], self.departure
        for i, (corner, arriving) in enumerate(zip(corners[1:], slopes), start=1):
            end = corner - self.rounding[i] * np.array([arriving, 1.0])
            if end[1] - at[1] > _HAIR:
                pieces.append(_hermite(at, end, slope, arriving))
                at, slope = end, arriving
            if self.rounding[i]:
                after = corner + self.rounding[i] * np.array([slopes[i], 1.0])
                pieces.append(_hermite(at, after, slope, slopes[i]))
                at, slope = after, slopes[i]
        return Curve(np.array(pieces))

    def half_at(self, y: float) -> float:
        """Return the half width at a height between underarm point and hem."""
        return x_at(self.curve(), y)


def x_at(seam: Curve, y: float) -> float:
    """Return x at a height of a seam drawn by :meth:`Seam.curve`; that of its end above or below it."""
    return float(seam.point(t_at(seam, y))[0])


def t_at(seam: Curve, y: float) -> float:
    """Return where a seam drawn by :meth:`Seam.curve` passes a height."""
    heights = seam.nodes[:, 1]
    return float(np.interp(y, heights, np.arange(len(heights))))


def _hermite(start: Array, end: Array, leaving: float, arriving: float) -> Array:
    """Return the cubic (4, 2) with these slopes at its ends, y linear in t."""
    third = (end[1] - start[1]) / 3
    return np.array([start, start + third * np.array([leaving, 1.0]), end - third * np.array([arriving, 1.0]), end])


def draw_seam(
    underarm: Stop, stops: Sequence[Stop], finished: float, length: float, flattest: float, held: str = "", aside: float = 0.0,
    usual: float = -math.inf,
) -> tuple[Seam, tuple[Passed, ...]]:
    """Return the seam from ``underarm`` through ``stops`` to a hem ``finished`` long, and which stops it passes wider.

    ``length`` is where the middle of the hem lies, ``flattest`` the slope (0 or less) beyond which the armhole can't meet
    the seam square, ``usual`` that beyond which it is no hollow that makes the seam leave so.  The stop that is ``held`` may
    be where the seam turns out again.  ``aside`` is how far the whole is moved sideways.

    Raises :class:`TooWide` where the seam can't lean and turn out so far.
    """
    line = _chosen([underarm, *stops], finished, length, flattest, held, aside)
    seam = _rounded(line, usual)
    drawn = seam.curve()
    passed = [Passed(line.why_wider(stop), stop.name, stop.half, x_at(drawn, stop.y)) for stop in stops]
    passed = [each for each in passed if each.drawn > each.asked + _HAIR]
    if line.finished > finished + _HAIR:
        passed.append(Passed("narrowed slowly", "hem", finished / 2, line.finished / 2))
    return seam, tuple(passed)


def slope_at_underarm(
    underarm: Stop, stops: Sequence[Stop], finished: float, length: float, flattest: float, held: str, usual: float
) -> float:
    """Return with which slope the seam of :func:`draw_seam` leaves the underarm point."""
    return _rounded(_chosen([underarm, *stops], finished, length, flattest, held, 0.0), usual).departure


def _chosen(stops: list[Stop], finished: float, length: float, flattest: float, held: str, aside: float) -> _Line:
    line = _Line(stops, finished, length, flattest, held, aside)
    line.choose()
    if line.finished > (most := line.widest()) + _HEM_OVER:
        raise TooWide(most)
    return line


def widest_hem(underarm: Stop, stops: Sequence[Stop], least: float, length: float, flattest: float, held: str) -> float:
    """Return how long a hem a seam can run to, as of :func:`draw_seam`, that is chosen for one ``least`` long."""
    line = _Line([underarm, *stops], least, length, flattest, held, 0.0)
    line.choose()
    return line.widest()


class _Line:
    """The broken line that a seam follows while it is being chosen: first the underarm, then the stops that are kept."""

    def __init__(self, stops: list[Stop], finished: float, length: float, flattest: float, held: str, aside: float) -> None:
        self.kept_stops, self.asked = stops, finished
        self.finished, self.length, self.flattest, self.held, self.aside = finished, length, flattest, held, aside
        self.wider: dict[str, float] = {}
        self._as_asked()

    def _as_asked(self) -> None:
        self.wider, self.finished = {stop.name: 0.0 for stop in self.kept_stops}, self.asked

    @property
    def points(self) -> list[Point]:
        """The places that the seam would pass through, without the hem."""
        return [(stop.half + self.wider[stop.name], stop.y) for stop in self.kept_stops]

    def choose(self) -> None:
        """Pass over and widen until no stretch leans or turns too much."""
        for _ in range(_MOST_CHOICES):
            points = self.points
            line = [self.bent(points), *points[1:]]
            leans = [*(math.atan(slope) for slope in _slopes(line)), self.hem_below(self.above_hem()).lean]
            over = self._first_to_pass_over(leans)
            if over is not None:
                self.kept_stops = [stop for i, stop in enumerate(self.kept_stops) if i != over]
                self._as_asked()
            elif not (self._widened(line, leans, turns=False) or self._blunted(line, leans) or self._widened(line, leans)):
                break

    def why_wider(self, stop: Stop) -> str:
        """Return why the seam may pass a stop wider than asked, as of :class:`Passed`."""
        if stop not in self.kept_stops:
            return "passed over"
        return "narrowed slowly" if self.wider[stop.name] else "rounded off"

    def bent(self, points: Sequence[Point]) -> Point:
        """Return where the first straight stretch begins: at the underarm point, or where the seam has turned from it."""
        slope = _slopes(points[:2])[0] if len(points) > 1 else 0.0
        departure = min(0.0, max(slope, self.flattest))
        return points[0] if departure == slope else bent_from(points[0], departure, points[1][1])

    def above_hem(self) -> Point:
        """Return where the stretch to the hem begins: at the last level, or where the seam has turned to it from the underarm point."""
        points = self.points
        if len(points) > 1:
            return points[-1]
        slope = math.tan(self.hem_below(points[0]).lean)
        departure = min(0.0, max(slope, self.flattest))
        return points[0] if departure == slope else bent_from(points[0], departure, self.length)

    def hem_below(self, above: Point) -> Hem:
        """Return the hem for a seam that runs straight to it from ``above``."""
        return hem_below(above, self.finished, self.length, -1.2, most_lean(above, self.length), self.aside)

    def widest(self) -> float:
        """Return how long a hem can be without a stretch or a turn that is too sharp."""
        points = self.points
        before = math.atan(_slopes([self.bent(points), *points[1:]])[-1]) if len(points) > 1 else 0.0
        above = points[-1] if len(points) > 1 else bent_from(points[0], 0.0, self.length)
        lean = min(STEEPEST, before + SHARPEST - _SPARE_OUT + 2 * _OVER, most_lean(above, self.length))
        return hem_below(above, math.inf, self.length, -1.2, lean, self.aside).finished

    def _first_to_pass_over(self, leans: Sequence[float]) -> int | None:
        """Return the index in ``kept_stops`` of a level at which the seam would wander in and out."""
        round_below = False
        for i in range(len(leans) - 1, 0, -1):
            stop, turn = self.kept_stops[i], leans[i] - leans[i - 1]
            hollow = turn > _HAIR
            turns_back = leans[i - 1] < 0 < leans[i] and stop.name != self.held
            waves = round_below and stop.name != "upper arm"
            if hollow and (turns_back or waves):
                return i
            round_below |= turn < -_HAIR
        return None

    def _blunted(self, points: Sequence[Point], leans: Sequence[float]) -> bool:
        """Widen the first level at which the seam would turn out too sharply; False where there is none."""
        for i in range(1, len(leans)):
            if leans[i] - leans[i - 1] <= SHARPEST - _SPARE_OUT + _OVER:
                continue
            (x0, y0), (x1, y) = points[i - 1 : i + 1]

            below = points[i + 1] if i + 1 < len(points) else None

            def over(x: float, x0: float = x0, y0: float = y0, y: float = y, below: Point | None = below) -> float:
                after = math.atan2(below[0] - x, below[1] - y) if below else self.hem_below((x, y)).lean
                return after - math.atan2(x - x0, y - y0) - SHARPEST + _SPARE_OUT

            if x0 <= x1 or over(x0) > 0:
                return False
            self.wider[self.kept_stops[i].name] += root_between(over, x1, x0, _OVER / 2) - x1
            return True
        return False

    def _widened(self, points: Sequence[Point], leans: Sequence[float], turns: bool = True) -> bool:
        """Widen the first level, or the hem, to which the seam would narrow too fast; False where there is none.

        Below the first stretch it may turn in as it likes unless ``turns`` count too.  Leans come first: between levels
        that lie close together, blunting turns of lines that run nearly level would creep and never arrive.
        """
        before = max(math.atan(self.flattest), leans[0])
        for i, lean in enumerate(leans):
            sharpest = SHARPEST - _SPARE_IN if turns or i == 0 else math.pi
            if i == 0 and len(leans) > 1 and leans[1] - lean > _HAIR:
                sharpest = 0.0  # round and then hollow in one stretch would be an S
            least = max(-STEEPEST + _SPARE_LEAN, before - sharpest)
            if lean < least:
                if i + 1 < len(points):
                    missing = math.tan(least + _OVER) - math.tan(lean)
                    self.wider[self.kept_stops[i + 1].name] += missing * (points[i + 1][1] - points[i][1])
                else:
                    enough = hem_below(self.above_hem(), 0.0, self.length, least + _OVER, math.pi / 4, self.aside).finished
                    # Of a short seam far beside the grain two leans make a hem of one length, and the steeper one was taken.
                    self.finished = enough if enough > self.finished + _HAIR else self.finished * _A_LITTLE_MORE
                return True
            before = lean
        return False


def bent_from(underarm: Point, departure: float, next_y: float) -> Point:
    """Return where a seam that leaves the underarm point with another slope than that of its first stretch has its corner:
    rounded off from the underarm point on, it is straight below the upper third of that stretch.
    """
    down = min((next_y - underarm[1]) * ROUNDED_SHARE / 2, ROUNDED_MOST)
    return underarm[0] + departure * down, underarm[1] + down


def _rounded(line: _Line, usual: float) -> Seam:
    """Return the seam along the chosen line, every level rounded off outside of it; ``usual`` as of :func:`draw_seam`."""
    points, chosen = line.points, line.points
    hem = line.hem_below(line.above_hem())
    first_y = points[1][1] if len(points) > 1 else line.length
    # Hollow above the upper arm only, where the arm is taken to be as full as there; below it narrows from level to level.
    hollow, bent = len(points) > 1 and line.kept_stops[1].name == "upper arm", False  # once decided they stay so, or a seam would never settle
    for _ in range(_ROUNDS):
        corners = [*points, (hem.half, hem.y)]
        slopes = _slopes(corners)
        hollow = hollow and slopes[1] - slopes[0] > _HAIR and slopes[1] <= 0 and line.flattest - _SAME_SLOPE <= slopes[0]
        departure = _hollow_departure(slopes[0], slopes[1], usual) if hollow else slopes[0]
        departure = min(0.0, max(departure, line.flattest, -1.0))
        bent = bent or (not hollow and abs(departure - slopes[0]) > _HAIR)
        if bent:
            corners.insert(1, bent_from(corners[0], departure, first_y))
            slopes = _slopes(corners)
        rounding = [0.0] * len(corners)
        if bent:
            rounding[1] = corners[1][1] - corners[0][1]
        for i in range(2 if hollow or bent else 1, len(corners) - 1):
            turn, place = slopes[i] - slopes[i - 1], i - bent
            rounding[i] = _rounding(corners, i, turn)
            points[place] = (chosen[place][0] + max(0.0, -turn) * rounding[i] / 4, points[place][1])
        before, hem = [*corners[1 + bent : -1], (hem.half, hem.y)], line.hem_below(corners[1] if bent and len(points) == 1 else points[-1])
        corners[1 + bent :] = [*points[1:], (hem.half, hem.y)]
        if all(abs(x - u) < _HAIR and abs(y - v) < _HAIR for (x, y), (u, v) in zip(before, corners[1 + bent :])):
            break
    if hollow:
        corners[1], rounding[1] = _hollow(corners, departure)
    return Seam(tuple(corners), tuple(rounding), departure, hem)


def _hollow_departure(first: float, second: float, usual: float) -> float:
    """Return the slope at which a hollow first stretch leaves: bent evenly all along it, unless it would turn too much or
    leave beyond the ``usual``; no flatter than it goes on, though levels close together, rounded off, may turn a little more.
    """
    return min(first, max(2 * first - second, usual, math.tan(math.atan(second) - SHARPEST + _SPARE_OUT)))


def _hollow(corners: Sequence[Point], departure: float) -> tuple[Point, float]:
    """Return the corner of a hollow first stretch, between how the seam leaves and how it goes on below the first level, and
    its rounding: from the underarm point on and into the upper third of the stretch below, as far as that keeps it near.
    """
    (x, y), (x1, y1), (x2, y2) = corners[:3]
    after = (x2 - x1) / (y2 - y1)
    turn = after - departure
    down = (x1 - after * (y1 - y) - x) / (departure - after)
    left, near = y1 - y - down, 4 * ROUNDED_OUT / turn
    most = left + near / 2 + math.sqrt(near**2 / 4 + near * left)  # at the level it lies ROUNDED_OUT outside
    return (x + departure * down, y + down), min(down, left + ROUNDED_SHARE * (y2 - y1), most)


def _rounding(corners: Sequence[Point], i: int, turn: float) -> float:
    """Return over how much height on either side a corner is rounded off."""
    if abs(turn) <= _HAIR:
        return 0.0
    room = min(corners[i][1] - corners[i - 1][1], corners[i + 1][1] - corners[i][1]) * ROUNDED_SHARE
    return min(room, ROUNDED_MOST, 4 * ROUNDED_OUT / abs(turn))


def _slopes(points: Sequence[Point]) -> list[float]:
    return [(x1 - x0) / (y1 - y0) for (x0, y0), (x1, y1) in zip(points, points[1:])]

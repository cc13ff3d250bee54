"""What the underarm seam does below the underarm in each shape: which levels it passes through, and how wide its hem is.

Fitted, it passes through every level to the hem girth.  Straight, it runs straight down from the elbow.  Flared, it runs
straight from the elbow or the underarm to the hem; what the seams alone can't take is left to be spread in.
"""
from __future__ import annotations

import math
from typing import NamedTuple

from geometry.measuring.lengths import HAIR, INCH
from geometry.refusal import Refused
from geometry.sleeve.hem import finished_at, most_lean
from geometry.sleeve.settling import Settled
from geometry.sleeve.underarm import Note, Seam, Stop, widest_hem

#: More than this at either seam alone makes a flare hang in two points; beyond it the fullness is spread in
#: (common practice, no source).
MOST_AT_SEAM = 2 * INCH

#: Less than this is not spread, millimetres.
NOT_WORTH_SPREADING = 0.5

#: So many slashes stand for the spread in the notes.
SLASHES = 8


class Below(NamedTuple):
    """What is asked of the underarm seam: levels to pass through, how long the hem is by the seams alone, at which level it
    may turn out again ("" nowhere).  ``flare`` is the whole hem of a flared sleeve (0: it is none), ``leaves`` at which height
    it leaves what hangs straight down; millimetres.
    """

    stops: tuple[Stop, ...]
    finished: float
    held: str = ""
    flare: float = 0.0
    leaves: float = 0.0


def below_underarm(settled: Settled, underarm: Stop, flattest: float) -> Below:
    """Return what is asked below this ``underarm`` level; ``flattest`` as of :func:`geometry.sleeve.underarm.draw_seam`.

    Raises :class:`Refused` where a flare is too narrow.
    """
    stops = tuple(Stop(level.name, level.y, level.needed) for level in settled.arm if level.y > underarm.y + HAIR)
    shape, style = settled.style.shape, settled.style
    if shape == "fitted":
        return Below(stops, 2 * settled.hem.needed)
    if shape == "straight":
        return _straight(settled, underarm, stops)
    elbow = next((i for i, stop in enumerate(stops) if stop.name == "elbow"), None)
    if style.flare_from == "underarm" or elbow is None:
        return _flared(settled, underarm, (), stops, flattest)
    return _flared(settled, underarm, stops[: elbow + 1], stops[elbow + 1 :], flattest)


def _straight(settled: Settled, underarm: Stop, stops: tuple[Stop, ...]) -> Below:
    above = next((i for i, stop in enumerate(stops) if stop.name == "elbow"), len(stops) - 1)
    kept = stops[: above + 1]
    start = kept[-1] if kept else underarm
    hem = max(settled.hem.needed, start.half, *(stop.half for stop in stops[above + 1 :]))
    return Below(kept, 2 * hem, start.name)


def _flared(settled: Settled, underarm: Stop, kept: tuple[Stop, ...], skipped: tuple[Stop, ...], flattest: float) -> Below:
    """Return a flare from the last of ``kept``, or from the underarm; the seam must cover the levels that are ``skipped``."""
    start = kept[-1] if kept else underarm
    above, length, flare = (start.half, start.y), settled.length, settled.flare_width
    if kept:
        least = 2 * max(start.half, settled.hem.needed, *(stop.half for stop in skipped))
    else:
        leans = [math.atan2(stop.half - start.half, stop.y - start.y) for stop in skipped]
        least = max(2 * settled.hem.needed, *(finished_at(above, length, lean) for lean in leans), 0.0)
    if flare < least - 1e-6:
        raise Refused("flare too narrow", flare=flare, least=least, start=start.name)
    widest = widest_hem(underarm, kept, least, length, flattest, start.name)
    at_seam = finished_at(above, length, min(math.atan(MOST_AT_SEAM / (length - start.y)), most_lean(above, length)))
    flare, most = max(flare, least), max(min(widest, at_seam) - NOT_WORTH_SPREADING, min(least, widest - NOT_WORTH_SPREADING))
    seams = flare if flare <= most + NOT_WORTH_SPREADING / 2 else most
    return Below(kept, seams, start.name, flare, start.y)


def check_flare(below: Below, seam: Seam) -> None:
    """Raise :class:`Refused` where the seam can't narrow to a flare as narrow as that."""
    if below.flare and seam.hem.finished > below.flare + HAIR:
        raise Refused("flare narrowed to too fast", flare=below.flare, least=seam.hem.finished, start=below.held)


def flare_notes(below: Below, seam: Seam) -> list[Note]:
    """Return how much of a flare went where."""
    if not below.flare:
        return []
    hanging = min(2 * seam.half_at(below.leaves), seam.hem.finished)
    each, spread = (seam.hem.finished - hanging) / 2, below.flare - seam.hem.finished
    if spread > 1e-6:
        return [Note("flare spread", below.held, (below.flare, hanging, each, spread, spread / SLASHES))]
    return [Note("flare at the seams", below.held, (below.flare, hanging, each))]

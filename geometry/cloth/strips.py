"""From tier lines to strips: what is cut for each tier.  Lengths in millimetres.

cut width = drop + gathering allowance + hem;
cut length = line length × fullness + an allowance at both ends + a seam for every join.
"""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from geometry.cloth.flounce import Flounce, TooTight, solve_flounce
from geometry.cloth.pleats import Pleats, solve_pleats
from geometry.curves.curve import Curve
from geometry.editing.retrimming import Tiers
from geometry.measuring.lengths import write_length
from geometry.refusal import Refused
from geometry.sleeve.marks import TierLine, hem_around
from geometry.sleeve.outline import Outline

#: The ways to make a tier.
MAKES = ("gathered", "knife", "box", "flounce")

#: A tier hangs over the stitching of the next by this share of the spacing (common practice, no source),
#: and by no less than the gathering allowance, which has to be hidden too.
OVERLAP_SHARE = 1 / 3

#: Lines and hem are followed to within this where their distance is taken.
_FOLLOW = 0.02


class TierStyle(NamedTuple):
    """How the tiers are made.  Sequences hold one value for each tier, from the top.

    ``drops`` and ``overlap`` are None where the rule decides; ``past_hem`` is how far the last tier hangs
    below the hem; ``flounce_ratio`` is the flounce's inner arc for each unit of line.
    """

    make: str
    fullness: Sequence[float]
    layers: Sequence[int]
    contrast_layers: Sequence[int]
    drops: Sequence[float] | None
    overlap: float | None
    past_hem: float
    gathering_allowance: float
    hem: float
    end_allowance: float
    join_allowance: float
    pleat_spacing: float
    flounce_ratio: float


class Tier(NamedTuple):
    """One tier as it is to be cut: a strip, or the sectors of a flounce.

    ``spacing`` is the greatest distance from its line down to the next line, or to the hem; ``gathered`` is
    the flat length that is taken onto the line; ``shaping`` holds pleats or flounce where there are any.
    """

    number: int
    line: float
    spacing: float
    drop: float
    fullness: float
    layers: int
    contrast_layers: int
    cut_width: float
    gathered: float
    ends: float
    join_allowance: float
    shaping: Pleats | Flounce | None

    def cut_length(self, joins: int) -> float:
        """Return the length of strip to cut, in all its pieces together, when it has this many joins."""
        return self.gathered + self.ends + joins * self.join_allowance

    @property
    def overlap(self) -> float:
        """How far the tier hangs past the next line or the hem; negative where that shows."""
        return self.drop - self.spacing


def measure_lines(tiers: Tiers) -> list[TierLine]:
    """Return re-measured tier lines from the top down.

    Raises :class:`Refused` where there are none, or one misses a side.
    """
    if not tiers.lines:
        raise Refused("This sleeve has no tier lines any more. Undo until they are back, or draft the sleeve again.")
    if tiers.adrift:
        raise Refused(
            f"Tier line {tiers.adrift[0]} does not run from one side of the sleeve to the other."
            " Move it back between the armhole or underarm seams, or delete it, then plan again."
        )
    return sorted(tiers.lines, key=lambda line: float(line.curve.nodes[:, 1].mean()))


def spacings(outline: Outline, lines: Sequence[TierLine]) -> list[float]:
    """Return for each line the greatest distance straight down to the next, from the last to the hem.

    Raises :class:`Refused` where two lines touch or cross, or one lies on or below the hem.
    """
    found = []
    followed = [_across(line.curve) for line in lines] + [_across(hem_around(outline))]
    names = [f"tier line {line.number}" for line in lines[1:]] + ["the hem"]
    for upper, other, above, below in zip(lines, names, followed, followed[1:]):
        least, greatest = _gaps(above, below)
        if least <= _FOLLOW:
            raise Refused(
                f"Tier line {upper.number} touches or crosses {other}, so that no tier fits between them."
                " Move one of the two, then plan again."
            )
        found.append(greatest)
    return found


def _across(line: Curve) -> np.ndarray:
    """Return points (k, 2) that follow a line from left to right."""
    points = line.nodes if line.is_straight(_FOLLOW).all() else line.flatten(_FOLLOW)
    return points[np.argsort(points[:, 0], kind="stable")]


def _gaps(above: np.ndarray, below: np.ndarray) -> tuple[float, float]:
    """Return the least and the greatest distance straight down from one line to another, where both run."""
    left, right = max(above[0, 0], below[0, 0]), min(above[-1, 0], below[-1, 0])
    places = np.concatenate([above[:, 0], below[:, 0], [left, right]])
    places = places[(places >= left) & (places <= right)]
    apart = np.interp(places, *below.T) - np.interp(places, *above.T)
    return float(apart.min()), float(apart.max())


def usual_overlap(spacing: float, gathering_allowance: float) -> float:
    """Return the overlap by the rule."""
    return max(OVERLAP_SHARE * spacing, gathering_allowance)


def plan_strips(lines: Sequence[TierLine], between: Sequence[float], style: TierStyle, widest: float, unit: str) -> list[Tier]:
    """Return every tier as it is to be cut.

    ``lines`` are the tier lines and ``between`` the spacings, from the top; ``widest`` is the
    usable width of the cloth that flounces must fit.  Raises :class:`Refused` with a sentence in ``unit``.
    """
    tiers = []
    for i, (line, spacing) in enumerate(zip(lines, between)):
        drop = _drop(style, i, spacing, last=i == len(lines) - 1)
        length = line.length
        if style.contrast_layers[i] > style.layers[i]:
            raise Refused(
                f"Contrast layers: tier {line.number} has {style.layers[i]} layers, so that {style.contrast_layers[i]} of them"
                " can’t be in contrast. Give fewer, or more layers."
            )
        shaping = _shaping(style, i, line.number, length, drop, widest, unit)
        tiers.append(Tier(
            number=line.number,
            line=length,
            spacing=spacing,
            drop=drop,
            fullness=style.fullness[i],
            layers=style.layers[i],
            contrast_layers=style.contrast_layers[i],
            cut_width=drop + style.gathering_allowance + style.hem,
            gathered=length * (style.flounce_ratio if style.make == "flounce" else style.fullness[i]),
            ends=2 * style.end_allowance,
            join_allowance=style.join_allowance,
            shaping=shaping,
        ))  # fmt: skip
    return tiers


def _drop(style: TierStyle, i: int, spacing: float, last: bool) -> float:
    if style.drops is not None:
        return style.drops[i]
    if last:
        return spacing + style.past_hem
    return spacing + (usual_overlap(spacing, style.gathering_allowance) if style.overlap is None else style.overlap)


def _shaping(style: TierStyle, i: int, number: int, line: float, drop: float, widest: float, unit: str) -> Pleats | Flounce | None:
    if style.make == "gathered":
        return None
    if style.make in ("knife", "box"):
        return solve_pleats(style.make, line, style.fullness[i], style.pleat_spacing)
    if style.fullness[i] <= style.flounce_ratio:
        raise Refused(
            f"Fullness: {style.fullness[i]:g} was read for tier {number}, but a circular flounce must be fuller at its edge than where"
            f" it is sewn on ({style.flounce_ratio:g}). Give a greater fullness, or a smaller inner arc."
        )
    try:
        return solve_flounce(
            line, drop, style.fullness[i], style.flounce_ratio,
            style.gathering_allowance, style.hem, max(style.end_allowance, style.join_allowance / 2), widest,
        )  # fmt: skip
    except TooTight as error:
        raise Refused(
            f"Fullness: {style.fullness[i]:g} was read for tier {number}, but with a drop of {write_length(drop, unit)} the inner"
            f" circle of the flounce would be too small to cut. What can be cut is a fullness up to {int(error.most_fullness * 10) / 10:g};"
            " for more, make the tier longer or gather it a little (inner arc above 1)."
        ) from error
    except ValueError as error:
        raise Refused(
            f"Net: {write_length(widest, unit)} of usable width is too narrow for the flounce of tier {number}."
            " Choose wider net, a greater fullness (smaller circles) or a shorter drop."
        ) from error

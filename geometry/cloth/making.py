"""What all ways to make a tier have in common: what each is asked, and what it answers.

Every way is a module of its own (:mod:`~geometry.cloth.gathers`, :mod:`~geometry.cloth.pleats`,
:mod:`~geometry.cloth.flounce`), and :mod:`~geometry.cloth.ways` lists them.  Lengths in millimetres.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple, Protocol

from geometry.curves.curve import Curve
from geometry.pieces.strip_ends import SHAPED

#: The one of :data:`geometry.cloth.edges.EDGES` that is bought already gathered and hangs below what is cut.
TRIM = "trim"


class TierStyle(NamedTuple):
    """How the tiers are made: ``make`` is one of :data:`geometry.cloth.ways.WAYS`.

    Sequences hold one value for each tier, from the top.  ``drops`` and ``overlap`` are None where the rule
    decides; ``past_hem`` is how far the last tier hangs below the hem; ``flounce_ratio`` is the flounce's
    inner arc for each unit of line; ``edge`` is one of :data:`geometry.cloth.edges.EDGES`, ``hem`` its allowance; a bought
    trim hangs ``trim_depth`` below it.
    ``end_shape`` says how ends are cut that must reach out past their line:
    :data:`~geometry.pieces.strip_ends.SHAPED` or :data:`~geometry.pieces.strip_ends.GATHERED_IN`.  Layers of strips are
    gathered or pleated ``together`` as one, else one by one; those of flounces always are one by one.

    Each layer is shorter than the one over it by ``layer_step``; ``under_fullness`` are the shares of the outermost layer's
    fullness that those under it have, from the second inward, and ``colours`` the names of the layers' colours, from the
    outermost inward: in both the last one holds for all layers below, and where there is none all are alike.  Layers under the
    outermost have the ``under_edge`` and its ``under_hem``; where that is empty, the same.  The front half of a line takes the
    ``front_share`` of its gathers.
    Pieces are cut ``upright``, none turned, where the cloth has a nap.  Of every tier so many ``inner_layers``, the innermost, are
    cut from the inner cloth (none where the sequence is empty); those whose numbers are ``bought`` (None: all) are trim that
    comes already gathered, not cut at all.
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
    end_shape: str = SHAPED
    together: bool = False
    edge: str = "cut"
    layer_step: float = 0.0
    under_fullness: Sequence[float] = ()
    colours: Sequence[str] = ()
    front_share: float = 0.5
    upright: bool = False
    trim_depth: float = 0.0
    under_edge: str = ""
    under_hem: float = 0.0
    inner_layers: Sequence[int] = ()
    bought: Sequence[int] | None = ()

    @property
    def trim(self) -> float:
        """How much of every drop is bought trim."""
        return self.trim_depth if self.edge == TRIM else 0.0

    def buys(self, number: int) -> bool:
        """Whether the tier of this number is bought already gathered."""
        return self.bought is None or number in self.bought

    def of_layer(self, under: int) -> TierStyle:
        """Return the style of the layer so far ``under`` the outermost."""
        return self._replace(edge=self.under_edge, hem=self.under_hem) if under and self.under_edge else self


class ToMake(NamedTuple):
    """One tier as it is to be, whichever way it is made: what hangs from a ``line`` of this length.

    ``widest`` is the usable width of the cloth that pattern pieces must fit; ``gathered_in`` is the length of line
    that ends cut square add, to be taken onto the line as well; ``angle`` is the widest that a sector of a ring
    may be, radians.
    """

    number: int | str
    line: float
    drop: float
    fullness: float
    style: TierStyle
    widest: float
    gathered_in: float = 0.0
    angle: float = 2 * math.pi


class Pattern(NamedTuple):
    """The pattern piece of a tier that is not cut as strips: ``pieces`` of it make one layer.

    ``sewn`` and ``cut`` are its closed outlines, laid alike; ``middle`` is a point on it for its name; ``ends`` is the
    allowance at each of its straight ends, two of which meet in a join.
    """

    sewn: Curve
    cut: Curve
    pieces: int
    middle: tuple[float, float]
    ends: float

    @property
    def size(self) -> tuple[float, float]:
        """The sides of the rectangle around the piece as cut, the shorter first."""
        left, top, right, bottom = self.cut.bounds()
        width, height = right - left, bottom - top
        return min(width, height), max(width, height)

    @property
    def area(self) -> float:
        """The area of one piece as cut, square millimetres."""
        return abs(self.cut.signed_area())


class Made(Protocol):
    """One tier as one of the ways makes it."""

    @property
    def taken(self) -> float:
        """The flat length, of one layer, that is taken onto the line."""

    @property
    def rows(self) -> int:
        """How many rows are stitched along that length before it is sewn on."""

    @property
    def edge(self) -> float:
        """The length of the free edge of one layer, between the ends of the line."""

    @property
    def pattern(self) -> Pattern | None:
        """What is cut, or None where strips are."""

    @property
    def folds(self) -> tuple[float, ...] | None:
        """Where along that length a strip may be joined so that the join hides in a fold, or None where that may be anywhere."""

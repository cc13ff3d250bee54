"""How the top edge is finished: what is turned in, stitched, sewn on or drawn through it, and how full it is."""
from __future__ import annotations

from typing import NamedTuple

from geometry.measuring.given import Given
from geometry.measuring.measurements import Style
from geometry.refusal import Refused
from geometry.sleeve.rules import (
    ELASTIC_LAP,
    ELASTIC_ROOM,
    ELASTIC_STRETCH,
    RAISED_ARMS,
    RULE_BAND,
    RULE_BINDING,
    RULE_CASING,
    RULE_ELASTIC_WIDTH,
    RULE_FULLNESS,
    TURN_UNDER,
    elastic_length,
)

#: The finishes.
BAND, ELASTIC, FACED, BOUND = "band", "elastic", "faced", "bound"


#: An edge fuller than this is gathered.
FULL = 1.001


class TopEdge(NamedTuple):
    """The top edge of one sleeve, millimetres.

    ``fullness`` is the length of the sleeve's edge for each length that it takes on the body.  ``width`` is that of
    the finished band or binding (0: none).  ``casing`` is what is turned in as a casing or a facing; ``stitched`` is
    how far below the fold the casing is stitched, where tier 1 is sewn on (0: no casing).  ``elastic`` is what one
    elastic for the whole edge measures when it is joined, ``lap`` what it is cut longer, ``elastic_width`` how wide it is.
    """

    finish: str
    fullness: float
    width: float
    casing: float
    stitched: float
    elastic: float
    elastic_width: float
    lap: float

    @property
    def binding_cut(self) -> float:
        """How wide a strip on the bias is cut for a binding: four times as wide as it is finished (common practice, no source)."""
        return 4 * self.width


def settle_top_edge(given: Given, style: Style) -> TopEdge:
    """Return what holds for the top edge.  Raises :class:`Refused` where the numbers can't be."""
    finish = style.finish
    if 0 < style.edge_fullness < 1:
        raise Refused("fullness below 1", typed=style.edge_fullness)
    cased = finish == ELASTIC
    wide = given.elastic_width or RULE_ELASTIC_WIDTH
    by_rule = wide + ELASTIC_ROOM + TURN_UNDER if cased else RULE_CASING
    casing = given.casing_allowance or by_rule
    if cased and casing < by_rule - TURN_UNDER - _HAIR:
        raise Refused("casing too narrow", casing=casing, elastic=wide, least=by_rule)
    return TopEdge(
        finish=finish,
        fullness=style.edge_fullness or RULE_FULLNESS.get(finish, 1.0),
        width=given.band_width or {BAND: RULE_BAND, BOUND: RULE_BINDING}.get(finish, 0.0) if finish in (BAND, BOUND) else 0.0,
        casing=casing,
        stitched=max(wide + ELASTIC_ROOM, casing - TURN_UNDER) if cased else 0.0,
        elastic=elastic_length(style.elastic_ratio, given.off_shoulder_girth).result if cased else 0.0,
        elastic_width=wide if cased else 0.0,
        lap=ELASTIC_LAP if cased else 0.0,
    )


#: The least length of elastic to the girth that stretches over raised arms.
LEAST_ELASTIC = RAISED_ARMS / ELASTIC_STRETCH

#: What rounding does to a width, millimetres.
_HAIR = 1e-3


class Stretch(NamedTuple):
    """Whether an elasticated edge passes over the shoulders, millimetres around arms and body: what is ``needed`` over raised
    arms, how long the edge is laid ``flat``, and how far its elastic stretches.
    """

    needed: float
    flat: float
    elastic: float

    @property
    def edge_passes(self) -> bool:
        """Whether the edge is as long as is needed."""
        return self.flat >= self.needed - _HAIR

    @property
    def elastic_passes(self) -> bool:
        """Whether the elastic stretches as far as is needed."""
        return self.elastic >= self.needed - _HAIR


def stretch_of(top: TopEdge, edge: float, body_edges: float, girth: float) -> Stretch:
    """Return how far an edge of two sleeves, each ``edge`` long with its fullness, and of the bodice's ``body_edges`` stretches."""
    return Stretch(needed=RAISED_ARMS * girth, flat=2 * edge + body_edges, elastic=ELASTIC_STRETCH * top.elastic)

"""The sewing order for what was chosen: finish of the top edge, lining, hem, which seam takes which strip; and its notions."""
from __future__ import annotations

from typing import NamedTuple

from extension.cutting.end_sheet import caught_steps
from extension.wording import sewing as words
from extension.wording.ways import WAYS
from geometry.cloth.cutting import CuttingPlan
from geometry.measuring.lengths import write_length
from geometry.pieces.band import edge_around, edge_taken
from geometry.pieces.piece import Piece
from geometry.sleeve.draft import folded_on
from geometry.sleeve.outline import Outline
from geometry.sleeve.settling import Settled
from geometry.sleeve.top_edge import BAND, BOUND, ELASTIC

#: A hem that bends by less is straight, millimetres; an edge fuller than this is gathered.
_STRAIGHT, _FULL = 0.5, 1.001


class Making(NamedTuple):
    """What is sewn: the plan, what holds for the sleeve, its Seam line as it is, and its other ``pieces``."""

    plan: CuttingPlan
    settled: Settled
    seam: Outline
    pieces: dict[str, Piece]
    bottom_up: bool

    def say(self, length: float) -> str:
        """Write a length in her unit."""
        return write_length(length, self.plan.job.tape.unit)

    @property
    def whole(self) -> str:
        """The length of the whole top edge."""
        return self.say(edge_around(self.seam, self.settled))


def sewing_steps(making: Making) -> list[str]:
    """Return the steps from cut pieces to sewn sleeves."""
    plan, settled = making.plan, making.settled
    lined = any(each.cloth.name == "lining" for each in plan.purchases)
    underarm, armhole = caught_steps(plan)
    cased = settled.top.finish == ELASTIC
    steps = [
        words.cut([*(f"the {name}" for name in making.pieces if name != "lining"), *(["the lining"] if lined else [])]),
        words.JOIN,
        words.HEM_STRIPS if plan.job.style.hem else "",
        WAYS[plan.job.style.make].sew,
        words.LAYERS if max(tier.layers for tier in plan.tiers) > 1 else "",
        words.attach(making.bottom_up, cased and plan.tiers[0].number == 1),
        underarm,
        words.line_it(settled.style.lining == "own", not settled.lining.shorter) if lined else "",
        _hem_step(making),
        armhole,
        words.ARMHOLE,
        *_top_edge_steps(making),
    ]
    return [step for step in steps if step]


def _hem_step(making: Making) -> str:
    if "hem" not in folded_on(making.seam, making.settled):
        return words.HEM_FACED
    return words.HEM if making.seam.edge("hem").is_straight(_STRAIGHT).all() else words.HEM_CURVED


def _top_edge_steps(making: Making) -> list[str]:
    top, say, settled = making.settled.top, making.say, making.settled
    if top.finish == ELASTIC:
        return [*words.casing(say(top.stitched), say(top.elastic + top.lap), say(top.elastic_width))]
    drawn, taken = making.seam.sewn_length("top edge"), edge_taken(making.seam, settled)
    steps = [words.gather_top(say(drawn), say(taken))] if top.fullness > _FULL else []
    if top.finish == BAND:
        return [*steps, words.band(making.whole, settled.style.band_cut == "two-part")]
    if top.finish == BOUND:
        return [*steps, words.bound(say(top.binding_cut), making.whole)]
    return [*steps, words.FACED if "facing" in making.pieces else words.FACED_IN_ONE]


def notions(making: Making) -> list[str]:
    """Return what else is bought or cut: elastic, binding, band and facing."""
    top, say, pieces = making.settled.top, making.say, making.pieces
    found = []
    if top.elastic:
        found.append(words.elastic_to_buy(say(top.elastic + top.lap), say(top.elastic_width)))
    if top.finish == BOUND:
        found.append(words.binding_to_buy(say(top.binding_cut), making.whole))
    if "band" in pieces:
        across, down = pieces["band"].size
        found.append(words.band_to_cut(say(across), say(down), 1 if pieces["band"].folds else 2))
    if "facing" in pieces:
        found.append(words.FACING_TO_CUT)
    return found

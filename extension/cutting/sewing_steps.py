"""The sewing order for what was chosen: finish of the top edge, lining, hem, which seam takes which strip; and its notions."""
from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from typing import NamedTuple

from extension.cutting.end_sheet import caught_in
from extension.cutting.lay_sheet import write_bought
from extension.wording import sewing as words
from extension.wording import strip_ends as words_of_ends
from extension.wording.edges import EDGE_WORDS, of_which_layers, trim_words
from extension.wording.job import LONG_UNIT, duration, numbers
from extension.wording.ways import WAYS
from geometry.cloth.beside import bias_length, dresses
from geometry.cloth.cutting import CuttingPlan, as_one
from geometry.cloth.edges import EDGES, RIBBON_WIDTH, TURNED_IN, edges_in_all, edges_used
from geometry.cloth.strips import Tier
from geometry.cloth.work import drawing_up
from geometry.measuring.lengths import read_length, write_length
from geometry.pieces.band import edge_around, edge_taken
from geometry.pieces.piece import Piece
from geometry.sleeve.draft import Decided, folded_on
from geometry.sleeve.hem import eased_share
from geometry.sleeve.outline import Outline
from geometry.sleeve.settling import Settled
from geometry.sleeve.top_edge import BAND, BOUND, ELASTIC

#: A hem that bends by less is straight, millimetres.
_STRAIGHT = 0.5


class Step(NamedTuple):
    """A step in words, and the minutes that it takes on all sleeves."""

    says: str
    minutes: float


class Making(NamedTuple):
    """What is sewn: the plan, what was decided for the sleeve, its Seam line as it is, and its other ``pieces``."""

    plan: CuttingPlan
    decided: Decided
    seam: Outline
    pieces: dict[str, Piece]
    bottom_up: bool

    @property
    def settled(self) -> Settled:
        """What holds for the sleeve."""
        return self.decided.settled

    def say(self, length: float) -> str:
        """Write a length in her unit."""
        return write_length(length, self.plan.job.tape.unit)

    def run(self, length: float) -> str:
        """Write a long length roughly, in what cloth is priced by."""
        tape = self.plan.job.tape
        return f"{length / tape.priced_by:.1f} {LONG_UNIT[tape.unit]}"

    @property
    def lined(self) -> bool:
        """Whether there is a lining."""
        return any(each.cloth.name == "lining" for each in self.plan.purchases)

    @property
    def waiting(self) -> list[Tier]:
        """The first tier where it is sewn on the stitching of a casing, after all seams."""
        return [tier for tier in self.plan.tiers[:1] if tier.number == 1 and self.settled.top.finish == ELASTIC]

    @property
    def sewn_on(self) -> list[Tier]:
        """The tiers that are sewn on before the seams are closed."""
        return self.plan.tiers[len(self.waiting) :]

    @property
    def whole(self) -> str:
        """The length of the whole top edge."""
        return self.say(edge_around(self.seam, self.settled))


def sewing_steps(making: Making) -> list[str]:
    """Return the steps from cut pieces to sewn sleeves, each with its time."""
    return [words.timed(step.says, duration(step.minutes) if step.minutes else "") for step in timed_steps(making)]


def timed_steps(making: Making) -> list[Step]:
    """Return the steps, in whole minutes; together they take as long as all operations of the plan."""
    every = [*_before_sewing_on(making), *_sewing_on(making), *_seams(making), *_top_edge_steps(making), _step(making, words.PRESS, "pressing")]
    told = [step for step in every if step.says]
    until = [0, *(round(minutes) for minutes in accumulate(step.minutes for step in told))]
    return [step._replace(minutes=end - begin) for step, begin, end in zip(told, until, until[1:])]


def _step(making: Making, says: str, *operations: str) -> Step:
    """Return a step that takes all the time of these operations."""
    taken = making.plan.whole_minutes
    return Step(says, sum(taken.get(name, 0.0) for name in operations))


def _setting(making: Making, tiers: Sequence[Tier], under: bool = False) -> float:
    """Return the share that these tiers have in the minutes told for sewing tiers on, see :meth:`CuttingPlan.setting_minutes`."""
    plan = making.plan
    exactly = plan.minutes.get("setting", 0.0)
    return plan.setting_minutes(tiers, under) * plan.whole_minutes["setting"] / exactly if exactly else 0.0


def _before_sewing_on(making: Making) -> list[Step]:
    """Return what is done to pieces and strips by themselves."""
    plan, way = making.plan, WAYS[making.plan.job.style.make]
    whole, piece = (way.pieces.whole, way.pieces.piece) if way.pieces else ("strip", "strip piece")
    cut = [f"the {name}" for name in making.pieces if name != "lining"]
    cut += [words.BIAS_STRIPS] if making.settled.top.finish == BOUND else []
    cut += ["the lining"] if making.lined else []
    counts = [sum(each.lay.piece_count for each in some) for some in (plan.purchases, plan.chosen.purchases)]
    joins = sum(plan.all_joins(tier) for tier in plan.cut)
    as_one = [words.LAYERS_AS_ONE] if any(as_one_on(plan)) else []
    drawn_up = making.plan.timing.all_taken(drawing_up(plan.seams, plan.job.sleeves, plan.job.tape.priced_by))
    shaping = _step(making, " ".join([*as_one, way.sew]) if plan.cut else "", "rows", "shaping")
    trims = plan.timing.all_taken({"cutting": float(plan.bought_pieces)}) if plan.bought else 0.0
    cutting = _step(making, words.cut(cut, *counts, piece), "cutting")
    return [
        cutting._replace(minutes=cutting.minutes - trims),
        Step(words.cut_trims(numbers([*dict.fromkeys(tier.number for tier in plan.bought)]), plan.bought_pieces) if plan.bought else "", trims),
        _step(making, words.join(joins, whole) if joins else "", "joining"),
        *_edges(making, whole),
        shaping._replace(minutes=shaping.minutes - drawn_up),
    ]


def _edges(making: Making, whole: str) -> list[Step]:
    """Return how free edges are finished, each finish by itself."""
    plan, found = making.plan, []
    used = edges_used(plan.job.style, plan.cut)
    for name, tiers in used:
        which = whole if len(used) == 1 else f"{whole} of {words.UNDER_LAYERS if tiers[0].over else words.OUTERMOST_LAYERS}"
        says = EDGE_WORDS[name].sew.format(whole=which, length=making.run(edges_in_all(tiers, plan.job.sleeves)))
        found.append(_step(making, says, EDGES[name].operation))
    return found


def as_one_on(plan: CuttingPlan) -> list[bool]:
    """Return of every tier whether its layers, if it has several, are sewn as one."""
    return [tier.layers > 1 and as_one(tier, plan.job.style) for tier in plan.tiers if not tier.is_bought]


def _sewing_on(making: Making) -> list[Step]:
    """Return how layers are laid on each other, and the tiers sewn on."""
    plan = making.plan
    layers = _setting(making, plan.hung, under=True)
    others = [tier for tier in plan.cut if tier.name and not tier.over]
    named = [f"{tier.name}, {making.say(tier.line)}" for tier in others]
    return [
        Step(words.LAYERS if layers else "", layers),
        Step(words.attach(making.bottom_up, bool(making.waiting)), _setting(making, making.sewn_on)),
        Step(words.attach_others(named) if others else "", _setting(making, others)),
    ]


def _seams(making: Making) -> list[Step]:
    """Return how underarm seam, lining, hem and armhole are sewn."""
    plan, seam, style, say = making.plan, making.seam, making.settled.style, making.say
    underarm, taken = words_of_ends.caught(say(plan.seams.underarm), caught_in(making.sewn_on, plan, "underarm")), plan.whole_minutes
    own = taken.get("seams", 0.0) / (2 if making.lined else 1)  # the lining has an underarm seam as long
    front, back = (say(seam.sewn_length(f"{side} armhole")) for side in ("front", "back"))
    caught, top = not making.settled.lining.shorter, "facing" if "facing" in making.pieces else making.settled.top.finish
    says = words.line_it(style.lining == "own", caught, top) if making.lined else ""
    lining = Step(says, taken.get("seams", 0.0) - own + taken.get("lining", 0.0))
    hem = _step(making, _hem_words(making).format(length=say(plan.seams.hem)), "hem")
    return [
        Step(underarm, own),
        *([hem, lining] if caught and style.lining == "own" else [lining, hem]),  # what it is caught in is there first
        _step(making, words.armhole(front, back, caught_in(making.sewn_on, plan, "armhole")), "setting_in"),
    ]


def _hem_words(making: Making) -> str:
    if "hem" not in folded_on(making.seam, making.settled):
        return words.HEM_FACED
    hem = making.seam.edge("hem")
    if hem.is_straight(_STRAIGHT).all():
        return words.HEM
    return words.HEM_EASED if eased_share(hem, making.settled.hem_allowance) > 0 else words.HEM_CLIPPED


def _top_edge_steps(making: Making) -> list[Step]:
    top, say, settled, plan = making.settled.top, making.say, making.settled, making.plan
    if top.finish == ELASTIC:
        casing = _step(making, words.casing(say(top.stitched), say(top.elastic + top.lap), say(top.elastic_width)), "top_edge")
        return [casing, Step(words.FIRST_ON_CASING if making.waiting else "", _setting(making, making.waiting))]
    drawn, taken = making.seam.sewn_length("top edge"), edge_taken(making.seam, settled)
    drawing = plan.timing.all_taken(drawing_up(plan.seams, plan.job.sleeves, plan.job.tape.priced_by))
    if top.finish == BAND:
        finish = words.band(making.whole, settled.style.band_cut == "two-part")
    elif top.finish == BOUND:
        finish = words.bound(say(top.binding_cut), making.whole)
    else:
        finish = words.FACED if "facing" in making.pieces else words.FACED_IN_ONE
    faced = top.finish not in (BAND, BOUND)
    gather = Step(words.gather_top(say(drawn), say(taken), faced) if drawing else "", drawing)
    return [_step(making, finish, "top_edge"), gather] if faced else [gather, _step(making, finish, "top_edge")]


def notions(making: Making) -> list[str]:
    """Return what else is bought or cut: elastic, binding, band and facing, what edges the tiers."""
    top, say, pieces, plan = making.settled.top, making.say, making.pieces, making.plan
    tops, laid = dresses(plan.job.sleeves), plan.beside
    found = []
    if top.elastic:
        found.append(words.elastic_to_buy(say(top.elastic + top.lap), say(top.elastic_width), tops))
    if top.finish == BOUND:
        each = bias_length(edge_around(making.seam, making.settled) * tops / len(laid)) if laid else 0.0
        found.append(words.binding_to_buy(say(top.binding_cut), making.whole, tops, len(laid), say(each)))
    if "band" in pieces:
        across, down = pieces["band"].size
        found.append(words.band_to_cut(say(across), say(down), tops * (1 if pieces["band"].folds else 2), bool(laid)))
    if "facing" in pieces:
        found.append(words.facing_to_cut(plan.job.sleeves, bool(laid)))
    return found + trims_to_buy(making)


def trims_to_buy(making: Making) -> list[str]:
    """Return the trims that are bought; where under-layers are edged otherwise, for which layers."""
    plan, found = making.plan, []
    for trim in plan.trims:
        said = trim_words(trim.edge).bought.format(
            length=write_bought(trim.buy, plan.job.tape),
            deep=making.say(trim.deep),
            wide=making.say(read_length(RIBBON_WIDTH, plan.job.tape.unit)),
            turned_in=making.say(TURNED_IN),
            tiers=numbers(trim.tiers) if trim.tiers else "",
        )
        some = bool(plan.job.style.under_edge) and not trim.tiers
        found.append(of_which_layers(said, trim.edge != plan.job.style.edge) if some else said)
    return found

"""The whole cutting plan of a sleeve: its strips, each cloth's lay, what to buy, and the plans to choose from."""
from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import Callable, NamedTuple

from geometry.cloth.beside import Beside, Placed
from geometry.cloth.both_ways import lay_both_ways
from geometry.cloth.buying import BORDERS, INNER, Cloth, Cloths, Corner, Purchase, purchase, usable_width, width_bought
from geometry.cloth.edges import EDGES, TrimBought, TrimTerms, edge_length, trims_bought, trims_of_tiers
from geometry.cloth.joins import Strip
from geometry.cloth.lay import StripLay, lay_on_border, lay_strips
from geometry.cloth.layers import as_seen, check_layers, colour_of, layers_of
from geometry.cloth.making import Pattern, TierStyle
from geometry.cloth.nesting import OutlineLay, nest_beside, nest_pieces
from geometry.cloth.offers import BEST, FEWEST_JOINS, FITTED, LEAST_CLOTH, ONE_RIBBON, Candidates, Offer, Worth, offer, together
from geometry.cloth.one_cloth import corners, lay_sleeves, lining_bought_with, sleeves_bought_with, strips_with, width_taken
from geometry.cloth.other_lines import Others, hung_on, ruffles
from geometry.cloth.strips import Hung, Tier, check_trim, drops_of, measure_lines, plan_strips, remade, spacings
from geometry.cloth.tape import Tape
from geometry.cloth.whole_widths import fitted_fullness
from geometry.cloth.work import Seams, TierWork, Timing, job_amounts
from geometry.curves.curve import Curve
from geometry.editing.retrimming import Tiers
from geometry.pieces.band import edge_taken
from geometry.pieces.strip_ends import Ends, ends_on
from geometry.refusal import Problem, Refused
from geometry.sleeve.marks import TierLine
from geometry.sleeve.outline import Outline
from geometry.sleeve.settling import Settled
from geometry.sleeve.spread import Spread
from geometry.sleeve.top_edge import ELASTIC, FULL

#: Each cloth as a sentence names it.
_NAMED = {
    "net": Problem("net", {}), "contrast": Problem("contrast", {}), INNER: Problem("inner cloth", {}),
    "base": Problem("base", {}), "lining": Problem("lining", {}),
}  # fmt: skip

#: The cloths of the tiers in the order in which they are told: sleeves that are cut from one of them lie on the first.
_OF_TIERS = ("net", INNER, "contrast")

#: Pattern pieces are tried in as few as can be, and no wider than these angles, which nest better, radians.
_ANGLES = (2 * math.pi, math.pi, math.pi / 3, math.pi / 6)

#: What rounding does to a sum of lengths, millimetres.
_HAIR = 1e-6

#: What a fullness may be, whichever fits the cloth.
LEAST_FULLNESS, MOST_FULLNESS = 1.0, 12.0


class Job(NamedTuple):
    """What is to be made: so many ``sleeves`` with tiers in a ``style`` from these ``cloths``, cut by a ``tape``.

    ``prefer`` is one of :data:`geometry.cloth.offers.OFFERS`, ``worth`` decides what a plan costs, and a plan
    in which fullness moves by no more than the share ``fitting`` is offered where that is above 0.  ``timed`` are a
    tier that she timed on one sleeve, and its minutes; ``others`` are lines of the dress that are ruffled as well; trim is bought
    on its ``trim_terms``.
    """

    style: TierStyle
    cloths: Cloths
    sleeves: int
    prefer: str
    tape: Tape
    worth: Worth
    fitting: float = 0.0
    timed: tuple[int, float] | None = None
    others: Others = Others()
    trim_terms: TrimTerms = TrimTerms()


class CuttingPlan(NamedTuple):
    """All that is cut for a ``job``: tiers on their lines, and the purchases by cloth.

    ``tiers`` are those of the sleeve as they are seen; ``cut`` is everything that hangs from a line, its layers that are cut
    alike as one: where all are, and no other line is ruffled, the same; ``bought`` are the layers of tiers that are bought already
    gathered, for which nothing is cut.  ``wanted`` is the fullness that was asked for, by
    number and first layer.
    ``piece`` is the cutting line of one sleeve, ``seams`` what is sewn on one; ``amounts`` say how much there is of every operation of
    :data:`geometry.cloth.work.OPERATIONS`.  ``offers`` are the plans to
    choose from, of which ``chosen`` is drawn; ``timing`` is how long things take her;
    ``lining`` is the lining's cutting line, the sleeve's own where it is cut by that.
    """

    job: Job
    lines: list[TierLine]
    tiers: list[Tier]
    cut: list[Tier]
    bought: list[Tier]
    wanted: dict[tuple[int, int], float]
    piece: Curve
    seams: Seams
    purchases: tuple[Purchase, ...]
    offers: tuple[Offer, ...]
    chosen: Offer
    timing: Timing
    lining: Curve
    amounts: dict[str, float]

    def outline_on(self, cloth: Cloth) -> Curve:
        """Return the cutting line that is laid on a cloth for the sleeve itself."""
        return self.lining if cloth.name == "lining" else self.piece

    def rows(self, tier: Tier) -> list[TierRow]:
        """Return what the table of tiers says of one: a row for every cloth from which it is cut."""
        found = []
        for each in self.purchases:
            if isinstance(each.lay, StripLay):
                mine = [i for i, strip in enumerate(each.lay.strips) if _is_of(strip, tier)]
                if mine:
                    joins = [each.lay.joins[i] for i in mine]
                    found.append(TierRow(each.cloth.called, len(mine), max(joins), sum(joins), each.lay.totals[mine[0]], each.lay.allowed[mine[0]]))
            else:
                pieces = sum(_is_of(strip, tier) for strip in each.lay.strips)
                if pieces:
                    strips, joins_each = pieces // tier.blank.pieces, tier.blank.pieces - 1
                    found.append(TierRow(each.cloth.called, strips, joins_each, strips * joins_each, tier.cut_length(joins_each), joins_each))
        return found

    def all_joins(self, tier: Tier) -> int:
        """Return how many joins all layers of the tier have together."""
        return sum(row.all_joins for row in self.rows(tier))

    @property
    def beside(self) -> tuple[Placed, ...]:
        """What is laid beside the sleeves to finish their top edge."""
        laid = next((each.lay.others for each in self.purchases if each.cloth.name == "base" and isinstance(each.lay, OutlineLay)), ())
        return tuple(each for each in laid if each.name != "lining")

    @property
    def trims(self) -> tuple[TrimBought, ...]:
        """The trims that are bought, for free edges and for whole tiers."""
        job, terms = self.job, self.job.trim_terms
        of_edges = trims_bought(job.style, self.cut, job.sleeves, terms, job.tape)
        return of_edges + trims_of_tiers(self.bought, job.sleeves, terms, job.tape)

    @property
    def hung(self) -> list[Tier]:
        """All that is cut or bought to hang from a line, tier by tier."""
        return sorted((*self.cut, *self.bought), key=lambda tier: tier.number)

    @property
    def bought_pieces(self) -> int:
        """How many lengths of trim are cut for whole tiers."""
        return sum(tier.layers for tier in self.bought) * self.job.sleeves

    @property
    def strip_lays(self) -> list[StripLay]:
        return [each.lay for each in self.purchases if isinstance(each.lay, StripLay)]

    @property
    def patterns(self) -> list[tuple[Tier, Pattern]]:
        """The pattern pieces and whose they are; none where strips are cut."""
        found = ((tier, tier.made.pattern) for tier in self.cut)
        return [(tier, pattern) for tier, pattern in found if pattern is not None]

    @property
    def patterns_by_layer(self) -> dict[tuple[int, int], Pattern]:
        """The pattern pieces by the number of their tier and their layer."""
        return {(tier.number, tier.first_layer + i): pattern for tier, pattern in self.patterns for i in range(tier.layers)}

    @property
    def taken_length(self) -> float:
        """The flat length that is gathered (or pleated, or clipped), all strips together."""
        return sum(tier.made.taken * tier.layers * tier.copies(self.job.sleeves) for tier in self.cut)

    @property
    def line_length(self) -> float:
        """The length of all lines to which strips are sewn, every layer counted."""
        return sum(tier.line * tier.layers * tier.copies(self.job.sleeves) for tier in self.cut)

    def setting_minutes(self, tiers: Sequence[Tier], under: bool) -> float:
        """Return how long it takes to sew these tiers, all their layers, on their lines or, ``under``, to set every further
        layer on the one below it.
        """
        set_on = (tier_work(tier, self.job, tier.copies(self.job.sleeves), 0).line for tier in tiers)
        one = sum(tier.line * tier.copies(self.job.sleeves) for tier in tiers if not tier.over)
        line = sum(set_on) - one if under else one
        return self.timing.all_taken({"setting": line / self.job.tape.priced_by}) if line > _HAIR else 0.0

    def counted(self) -> dict[str, float]:
        """Return its ``amounts``."""
        lined = any(each.cloth.name == "lining" for each in self.purchases)
        pieces = sum(each.lay.piece_count for each in self.purchases) + self.bought_pieces
        tiers = [tier_work(tier, self.job, tier.copies(self.job.sleeves), self.all_joins(tier)) for tier in self.hung]
        return job_amounts(pieces, tiers, self.seams, self.job.sleeves, lined, self.job.tape.priced_by)

    @property
    def minutes(self) -> dict[str, float]:
        """How long every operation takes, as far as there is any of it."""
        return self.timing.taken(self.amounts)

    @property
    def whole_minutes(self) -> dict[str, int]:
        """The same to the minute, as it is told and charged: what takes longer in all is the sum of these."""
        return {name: round(minutes) for name, minutes in self.minutes.items()}


class TierRow(NamedTuple):
    """A tier in one ``cloth``: so many ``strips``, each with at most so many ``joins`` and cut to the length ``cut``,
    which allows for ``allowed`` joins.
    """

    cloth: str
    strips: int
    joins: int
    all_joins: int
    cut: float
    allowed: int


def _is_of(strip: Strip, tier: Tier) -> bool:
    """Whether a strip is one of these layers of a tier."""
    return strip.tier == tier.number and 0 <= strip.layer - tier.first_layer < tier.layers


def tier_work(tier: Tier, job: Job, copies: int, joins: int) -> TierWork:
    """Return what is sewn for layers of a tier that is made so many times; layers that are one are sewn with the outermost."""
    strips = tier.layers * copies
    sewn = strips if not as_one(tier, job.style) else 0 if tier.over else copies
    taken = tier.made.taken * sewn
    return TierWork(joins, taken, tier.line * sewn, tier.made.rows * taken, edge_length(tier) * strips, EDGES[tier.edge].operation)


def as_one(tier: Tier, style: TierStyle) -> bool:
    """Whether the layers of a tier are gathered or pleated as one."""
    return style.together and tier.made.pattern is None


def plan_cutting(
    outline: Outline,
    tiers: Tiers,
    piece: Curve,
    job: Job,
    end: float = math.inf,
    lining: Curve | None = None,
    seams: Seams | None = None,
    beside: Sequence[tuple[Beside, ...]] = ((),),
    spread: Spread | None = None,
) -> CuttingPlan:
    """Return the plan for the sleeve as drawn now, its ``tiers`` re-measured on its ``outline``.

    ``piece`` is the cutting line of one sleeve, ``end`` the height at which tiers end where that is above the hem;
    ``lining`` is the cutting line of a lining of its own; ``seams`` say what is sewn beside the tiers where that is more
    than the outline tells, see :func:`seams_finished`; ``beside`` are the ways to cut what finishes the top edge, from the base
    cloth too, of which that is taken which takes least of it; ``spread`` is how the sleeve was, if it was.
    Raises :class:`Refused` where a tier can't be made, a cloth is too narrow, or the plan that is preferred can't
    be had.
    """
    lines, cloths = measure_lines(tiers), job.cloths
    lining = lining or piece
    with_lining = [Beside("lining", lining, job.sleeves, paired=True)] if cloths.lining.with_base else []
    with_base = _least_beside(piece, job, [(*way, *with_lining) for way in beside])
    planning = _Planning(job, lines, spacings(outline, lines, end, spread), partial(ends_on, outline))
    planning.corners = _corners(piece, job, with_base, _cloths_of(planning.tiers, job))
    offers = planning.offers()
    chosen = next((each for each in offers if job.prefer in each.names), None)
    if chosen is None:
        raise Refused("no plan one_ribbon" if job.prefer == ONE_RIBBON else "no plan fitted")
    own = () if planning.corners else ((cloths.base, piece, with_base),)
    laid = [each for each in (*own, *(() if with_lining else ((cloths.lining, lining, ()),))) if each[0].width]
    with_tiers = [sleeves_bought_with(chosen.purchases, cloths.base)] if planning.corners else []
    purchases = [*chosen.purchases, *with_tiers, *_buy_sleeves(laid, job)]
    purchases += [lining_bought_with(each, cloths.lining) for each in purchases if with_lining and each.cloth.name == "base"]
    seams, timing = seams or seams_of(outline), planning.worth.timing
    seen = [as_seen([tier for tier in (*chosen.tiers, *planning.bought) if tier.number == line.number]) for line in lines]
    wanted = {(tier.number, tier.first_layer): tier.fullness for tier in planning.tiers}
    plan = CuttingPlan(
        job, lines, seen, list(chosen.tiers), planning.bought, wanted, piece, seams, tuple(purchases), tuple(offers), chosen, timing, lining, {}
    )
    return plan._replace(amounts=plan.counted())


def seams_of(outline: Outline) -> Seams:
    """Return what is sewn on one sleeve beside its tiers: the underarm seam once, front and back together."""
    underarm, hem, top, front, back = (
        outline.sewn_length(name) for name in ("front underarm", "hem", "top edge", "front armhole", "back armhole")
    )
    return Seams(underarm, hem, top, front + back)


def seams_finished(outline: Outline, settled: Settled) -> Seams:
    """Return what is sewn on one sleeve with the finish of its top edge: half of the whole edge, drawn up first where it is full.

    An edge with elastic is stitched at its full length.
    """
    seams, bodice = seams_of(outline), (settled.front.edge + settled.back.edge) / 2
    if settled.top.finish == ELASTIC:
        return seams._replace(top_edge=seams.top_edge + bodice)
    drawn_up = seams.top_edge if settled.top.fullness > FULL else 0.0
    return seams._replace(top_edge=edge_taken(outline, settled) + bodice, drawn_up=drawn_up)


class _Planning:
    """All plans for the tiers of a job on their lines, ``between`` which there is so much, and for what hangs from other lines.

    ``corners`` are those that sleeves may take of the cloth of the tiers.
    """

    def __init__(
        self,
        job: Job,
        lines: Sequence[TierLine],
        between: Sequence[float],
        ends_of: Callable[[Curve, float], Ends],
    ) -> None:
        self.job, self.lines, self.between, self.ends_of = job, lines, between, ends_of
        self.corners: Sequence[Corner] = ()
        cloths = [job.cloths.net]
        cloths += [job.cloths.contrast] if any(job.style.contrast_layers) else []
        cloths += [job.cloths.inner] if any(job.style.inner_layers) else []
        self.widest = min(usable_width(cloth, job.tape) for cloth in cloths)
        self.worth = job.worth
        every = self._tiers()
        self.tiers, self.bought = ([tier for tier in every if tier.is_bought == bought] for bought in (False, True))

    def _tiers(self) -> list[Tier]:
        """Return everything that hangs from a line, layers that are cut alike as one: the sleeve's tiers first, from the top."""
        style, widest, others = self.job.style, self.widest, self.job.others
        numbers = [line.number for line in self.lines]
        for number in style.bought or ():
            if number not in numbers:
                raise Refused("no tier to buy", tier=number, last=numbers[-1])
        drops: list[tuple[int | str, float]] = [each for each in zip(numbers, drops_of(style, self.between)) if not style.buys(each[0])]
        drops += [(line.name, others.drop) for line in others.lines if others.drop is not None]
        check_trim(style, drops)
        if max(style.layers) > 1:
            check_trim(style.of_layer(1), drops)
        hung = [Hung(line.number, line.length, partial(self.ends_of, line.curve)) for line in self.lines]
        tiers = plan_strips(self.lines, self.between, style, widest, self.ends_of)
        lines = hung_on(others, max(line.number for line in self.lines))
        tiers += ruffles(others, lines, tiers[0], style, widest)
        check_layers(tiers, style)
        return [layer for tier, line in zip(tiers, [*hung, *lines]) for layer in layers_of(tier, line, style, widest)]

    def offers(self) -> list[Offer]:
        """Return the plans to choose from."""
        style, tape, tiers = self.job.style, self.job.tape, self.tiers
        worth = self.worth = self._as_timed(tiers)
        if not all(tier.blank.joinable for tier in tiers):
            every = [[remade(tier, style, self.widest, tier.fullness, angle) for tier in tiers] for angle in _ANGLES]
            parted = {tuple(tier.blank.pieces for tier in each): each for each in every}
            return self._of_pieces([(each, self.candidates(each)) for each in parted.values()])
        candidates = self.candidates(tiers)
        found = [offer(name, tiers, candidates, worth, tape) for name in (BEST, LEAST_CLOTH, FEWEST_JOINS, ONE_RIBBON)]
        return together([*found, self._fitted(tiers)])

    def _as_timed(self, tiers: Sequence[Tier]) -> Worth:
        """Return what decides between plans, everything as quick as the tier that she timed."""
        if self.job.timed is None:
            return self.job.worth
        number, took = self.job.timed
        timed = [tier for tier in (*tiers, *self.bought) if tier.number == number and not tier.name]
        if not timed:
            raise Refused("no tier to time", tier=number, last=self.lines[-1].number)
        amounts: Counter[str] = Counter()
        for layers in timed:
            amounts.update(tier_work(layers, self.job, 1, 0).amounts(self.job.tape.priced_by))
        return self.job.worth._replace(timing=self.job.worth.timing.paced(amounts, took))

    def candidates(self, tiers: Sequence[Tier], only_across: bool = False) -> list[Candidates]:
        """Return all plans of every cloth that tiers are cut from, or those alone that cut strips whole across the width."""
        strips, cloths = _strips(tiers, self.job), _cloths_of(tiers, self.job)
        # Only the outermost layers show their border.
        seen = next((name for name in ("contrast", "net", INNER) if any(cloth.name == name for cloth in cloths)), "")
        used = [cloth._replace(use="cheaper") if cloth.use in BORDERS and cloth.name != seen else cloth for cloth in cloths]
        taken = [self.corners, *[()] * len(cloths)]  # sleeves lie on the first
        return [
            Candidates(tuple(_lays(as_used, strips[cloth], tiers, self.job, only_across, corner)))
            for as_used, cloth, corner in zip(used, cloths, taken)
        ]

    def _of_pieces(self, cloths: Sequence[tuple[list[Tier], list[Candidates]]]) -> list[Offer]:
        """Return the offers where pattern pieces are cut: they differ in how many pieces make a whole."""
        every = [each for tiers, found in cloths for each in [offer(BEST, tiers, found, self.worth, self.job.tape)] if each is not None]
        chosen = {
            BEST: min(every, key=lambda each: (each.cost, each.joins)),
            LEAST_CLOTH: min(every, key=lambda each: (sum(p.buy for p in each.purchases), each.joins)),
            FEWEST_JOINS: min(every, key=lambda each: (each.joins, each.cost)),
        }
        return together(each._replace(names=(name,)) for name, each in chosen.items())

    def _fitted(self, tiers: Sequence[Tier]) -> Offer | None:
        """Return the offer in which fullness fits the cloth, across its width, if there is one."""
        job, used = self.job, _cloths_of(tiers, self.job)
        if not used:
            return None
        width = usable_width(used[0], job.tape)
        fullness = fitted_fullness(tiers, width, job.fitting, LEAST_FULLNESS, MOST_FULLNESS, job.tape)
        if fullness == tuple(tier.fullness for tier in tiers) or any(cloth.use not in ("cheaper", "across") for cloth in used):
            return None
        fitted = [remade(tier, job.style, self.widest, each) for tier, each in zip(tiers, fullness)]
        return offer(FITTED, fitted, self.candidates(fitted, only_across=True), self.worth, job.tape)


def _cloths_of(tiers: Sequence[Tier], job: Job) -> list[Cloth]:
    """Return the cloths that tiers are cut from, in the order of :data:`_OF_TIERS`."""
    return sorted(_strips(tiers, job), key=lambda cloth: _OF_TIERS.index(cloth.name))


def _strips(tiers: Sequence[Tier], job: Job) -> dict[Cloth, list[Strip]]:
    """Return what is cut from each cloth for every tier, each piece as the rectangle it takes; contrast layers lie outermost, those of
    the inner cloth innermost.

    What hangs from no sleeve is for sleeve 0.
    """
    strips: dict[Cloth, list[Strip]] = {}
    for tier in tiers:
        plain, blank = tier.first_layer + tier.layers - tier.contrast_layers, tier.blank
        for layer in range(tier.first_layer, tier.first_layer + tier.layers):
            cloth = job.cloths.inner if layer <= tier.inner_layers else job.cloths.net if layer < plain else job.cloths.contrast
            cut = strips.setdefault(cloth._replace(colour=colour_of(job.style, tier.all_layers - layer)), [])
            for sleeve in (0,) if tier.name else range(1, job.sleeves + 1):
                cut += [Strip(tier.number, sleeve, layer, blank.width, blank.length, blank.folds, tier.past_line)] * blank.pieces
    return strips


def _lays(
    cloth: Cloth, strips: list[Strip], tiers: Sequence[Tier], job: Job, only_across: bool, taken: Sequence[Corner]
) -> Iterator[Purchase]:
    """Yield every plan for the strips or pattern pieces of one cloth, of which sleeves may have ``taken`` one corner or another."""
    width = usable_width(cloth, job.tape)
    for strip in strips:
        if strip.width > width:
            least = width_bought(strip.width, cloth, job.tape)
            raise Refused("cloth too narrow for a strip", cloth=_NAMED[cloth.name], width=width, tier=strip.tier, strip=strip.width, least=least)
    layers = {(tier.number, tier.first_layer + i): tier for tier in tiers for i in range(tier.layers)}
    areas = {key: tier.blank.area for key, tier in layers.items()}
    area = sum(areas[strip.tier, strip.layer] for strip in strips)
    patterns = {key: tier.made.pattern for key, tier in layers.items() if tier.made.pattern is not None}
    nested = _nested(cloth, strips, patterns, width, taken) if patterns else iter(())
    for corner in taken or (None,):

        def bought(lay: StripLay | OutlineLay, corner: Corner | None = corner) -> Purchase:
            return purchase(cloth, lay, area + (corner.area if corner else 0.0), job.tape)._replace(among=corner)

        if patterns:
            yield bought(next(nested))
        elif cloth.use in BORDERS:
            yield bought(lay_on_border(strips, width, 1 + BORDERS.index(cloth.use), job.tape).moved_down(corner.long if corner else 0.0))
        elif corner:
            lays = strips_with(corner, strips, width, job.style.join_allowance, job.tape, only_across)
            yield from _either_way(cloth, lays, bought)
        else:
            lays = lay_strips(strips, width, job.style.join_allowance, job.tape, only_across)
            both = lay_both_ways(strips, width, job.style.join_allowance, job.tape, lays) if cloth.use == "cheaper" and not only_across else []
            yield from _either_way(cloth, [*lays, *both], bought)


def _nested(
    cloth: Cloth, strips: list[Strip], patterns: Mapping[tuple[int, int], Pattern], width: float, taken: Sequence[Corner]
) -> Iterator[OutlineLay]:
    """Yield the lay of pattern pieces beside and below every corner that may be ``taken``, or the one where none is."""
    if cloth.use in BORDERS:
        raise Refused("border on a curve")
    cut = {key: pattern.cut for key, pattern in patterns.items()}
    outlines = [cut[strip.tier, strip.layer] for strip in strips]
    if taken:
        yield from nest_beside(outlines, strips, width, [(corner.wide, corner.long) for corner in taken], cloth.one_way)
    else:
        yield nest_pieces(outlines, strips, width, cloth.one_way)


def _either_way(cloth: Cloth, lays: Sequence[StripLay], bought: Callable[[StripLay], Purchase]) -> Iterator[Purchase]:
    """Yield what is bought for every lay that runs as she asks for, with the best of every direction."""
    for lay in lays:
        if cloth.use in ("cheaper", lay.direction):
            alike = sorted((other for other in lays if other.way == lay.way), key=lambda other: other.length)
            yield bought(lay)._replace(each_way=tuple({other.direction: other for other in reversed(alike)}.values()))


def _least_beside(piece: Curve, job: Job, ways: Sequence[tuple[Beside, ...]]) -> tuple[Beside, ...]:
    """Return of several ways to cut what lies beside the sleeves that which takes the shortest cloth; where that is the same, the first."""
    cloth = job.cloths.net if job.cloths.base.with_tiers else job.cloths.base
    width, base = usable_width(cloth, job.tape), job.cloths.base
    if len(ways) == 1 or width < width_taken(base, piece):  # a cloth that is too narrow is refused where sleeves are laid
        return ways[0]
    return min(ways, key=lambda way: lay_sleeves(base, piece, job.sleeves, width, way).length)


def _too_narrow(cloth: Cloth, piece: Curve, tape: Tape) -> Refused:
    """Return what to say of a cloth that is narrower than the ``piece`` as it lies."""
    wide = width_taken(cloth, piece)
    least = width_bought(wide, cloth, tape)
    return Refused("cloth too narrow for a sleeve", cloth=_NAMED[cloth.name], width=usable_width(cloth, tape), sleeve=wide, least=least)


def _corners(piece: Curve, job: Job, beside: Sequence[Beside], cloths: Sequence[Cloth]) -> list[Corner]:
    """Return the corners that the sleeves may take of the first of the ``cloths`` of the tiers; none where they are not cut from that.

    Raises :class:`Refused` where it is too narrow, or there is none.
    """
    base = job.cloths.base
    if not base.with_tiers:
        return []
    if not cloths:
        raise Refused("no cloth of the tiers")
    cloth, width = cloths[0], usable_width(cloths[0], job.tape)
    try:
        return corners(piece, job.sleeves, width, base, job.tape, beside)
    except ValueError as error:
        raise _too_narrow(cloth._replace(use=base.use), piece, job.tape) from error


def _buy_sleeves(cloths: Sequence[tuple[Cloth, Curve, Sequence[Beside]]], job: Job) -> Iterator[Purchase]:
    """Yield what to buy for pieces cut from each cloth, and beside them; cloths that are alike are laid once."""
    lays: dict[tuple[object, ...], OutlineLay] = {}
    for cloth, piece, beside in cloths:
        width = usable_width(cloth, job.tape)
        alike = id(piece), width, cloth.use, cloth.one_way, cloth.repeat, len(beside)
        try:
            lays[alike] = lays.get(alike) or lay_sleeves(cloth, piece, job.sleeves, width, beside)
        except ValueError as error:
            raise _too_narrow(cloth, piece, job.tape) from error
        yield purchase(cloth, lays[alike], job.sleeves * abs(piece.signed_area()) + lays[alike].beside_area, job.tape)

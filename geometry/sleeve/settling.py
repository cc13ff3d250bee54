"""From what she typed to what holds: the style decides the length, rules stand in for a 0, and what can't be is refused.

The only place where the one becomes the other: whatever is drafted, drawn or printed later takes what holds.
"""
from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from geometry.measuring.ease import Share, on_half
from geometry.measuring.given import Given
from geometry.measuring.lengths import HAIR, MARKS, within
from geometry.measuring.measurements import TABLE, USUAL, Style
from geometry.refusal import Problem, Refused
from geometry.sleeve.arm import Level, girth_at, measured_levels, nearest_girth
from geometry.sleeve.armhole import LEAST_RUN
from geometry.sleeve.rules import (
    EASE_PRESETS,
    RULE_LINING_SHORTER,
    around_arms_and_body,
    believed_around,
    body_edge,
    halfway,
    rule_cap_half_width,
    rule_cap_height,
    top_edge_width,
    with_fullness,
)
from geometry.sleeve.top_edge import BOUND, ELASTIC, FACED, TopEdge, settle_top_edge

#: The least sleeve below the underarm level, millimetres.
LEAST_BELOW_UNDERARM = 10.0

#: The top edge rises at most this share of its width, so that its slope stays gentle, and of the cap height,
#: so that the armhole keeps most of it.
MOST_RAISE_BY_WIDTH, MOST_RAISE_BY_HEIGHT = 1 / 8, 1 / 3


class BodiceSide(NamedTuple):
    """What one side of the bodice asks of the sleeve, millimetres.

    ``edge`` is its top edge, ``armhole_seam`` its armhole seam (0: not matched), ``ease`` by how much the
    sleeve's seam is longer, ``scoop`` how much deeper it is hollowed out.
    """

    name: str
    edge: float
    armhole_seam: float
    ease: float
    scoop: float


class LiningAsked(NamedTuple):
    """What is asked of a lining of its own, millimetres: ``ease`` on each half, and how much ``shorter`` its hem is (0: caught in the sleeve's)."""

    ease: float
    shorter: float


class Settled(NamedTuple):
    """What holds for one sleeve, millimetres, made by :func:`settle` and by nothing else.

    ``top_edge_width`` is what the girth as
    measured leaves for one sleeve, ``top_edge_body`` the same by the arm and the shoulders, an estimate to judge that by.
    ``cap`` is the underarm level by rule or hers (``cap_measured``, ``cap_width_typed``), ``arm_at_underarm`` the girth of the
    arm there, ``arm`` the levels that the sleeve covers, from the top
    down, ``below`` those below its end, ``hem`` the level where it ends; ``hem_asked`` is the girth asked for there, which the arm may
    exceed.  ``hand`` is what the closed hem must pass (0: nothing).  ``top`` is how the top edge is finished,
    ``folded`` names the edges along which the cloth is folded, ``lining`` is for one of its own.  ``lettered`` tells by the table's names
    what is lettered as measured, see :func:`worth_lettering`: as typed, but with the length and hem girth that hold.
    """

    style: Style
    bust_girth: float
    off_shoulder_girth: float
    front: BodiceSide
    back: BodiceSide
    top_edge_width: float
    top_edge_body: float
    top_edge_raise: float
    cap: Level
    cap_measured: bool
    cap_width_typed: bool
    arm_at_underarm: float
    arm: tuple[Level, ...]
    below: tuple[Level, ...]
    length: float
    hem: Level
    hem_asked: float
    flare_width: float
    hand: float
    seam_allowance: float
    hem_allowance: float
    top: TopEdge
    folded: tuple[str, ...]
    lining: LiningAsked
    lettered: Mapping[str, float]

    @property
    def top_edge_drawn(self) -> float:
        """The length of the sleeve's own top edge: what it takes on the body, and its fullness."""
        return with_fullness(self.top_edge_width, self.top.fullness).result

    @property
    def allowances(self) -> dict[str, float]:
        """How far out every edge of the outline is cut, millimetres."""
        seams = ("front armhole", "front underarm", "back underarm", "back armhole")
        top = self.top.casing if "top edge" in self.folded else 0.0 if self.top.finish == BOUND else self.seam_allowance
        return {**dict.fromkeys(seams, self.seam_allowance), "top edge": top, "hem": self.hem_allowance}


def settle(given: Given, style: Style = USUAL) -> Settled:
    """Return what holds for the measurements as ``given`` in a ``style``.

    Raises :class:`Refused` where measurements are at odds with each other, or the style needs one that
    was not given.
    """
    given = with_preset(given, style)
    rule = body_edge(given.shoulder_width, given.body_edge_reduction).result
    front = BodiceSide("front", given.front_body_edge or rule, given.front_armhole_seam, given.armhole_ease / 2, given.front_scoop)
    back = BodiceSide("back", given.back_body_edge or rule, given.back_armhole_seam, given.armhole_ease / 2, 0.0)
    cap = rule_cap(given)
    check_pairs(given)
    check_around(given, cap, front.edge + back.edge, style.edge_fullness or 1.0)
    measured = measured_levels(given)
    check_order(measured)
    check_hem_girth(given, style, measured)
    length = style_length(given, style, cap.y)
    asked = given.hem_girth or girth_known_at(measured, length, bool(given.wrist_level))
    hem_girth = max(asked, girth_at(measured, length) or 0.0)
    hem = Level("hem", length, hem_girth, on_half(given.ease_hem, hem_girth))
    settled = Settled(
        style=style,
        bust_girth=given.bust_girth,
        off_shoulder_girth=given.off_shoulder_girth,
        front=front,
        back=back,
        top_edge_width=top_edge_width(given.off_shoulder_girth, front.edge, back.edge).result,
        top_edge_body=top_edge_width(around_arms_and_body(given.shoulder_width, given.upper_arm_girth), front.edge, back.edge).result,
        top_edge_raise=given.top_edge_raise,
        cap=cap,
        cap_measured=bool(given.cap_height),
        cap_width_typed=bool(given.cap_width),
        arm_at_underarm=nearest_girth(measured, cap.y),
        arm=tuple(level for level in measured if level.y < length),
        below=tuple(level for level in measured if level.y > length),
        length=length,
        hem=hem,
        hem_asked=asked,
        flare_width=given.flare_width,
        hand=given.hand_girth if hand_must_pass(given, style, length) else 0.0,
        seam_allowance=given.seam_allowance,
        hem_allowance=given.hem_allowance,
        top=settle_top_edge(given, style),
        folded=folded_edges(given, style),
        lining=LiningAsked(given.lining_ease, given.lining_shorter or RULE_LINING_SHORTER if style.lining_hem == "shorter" else 0.0),
        lettered=worth_lettering(given._replace(sleeve_length=length, hem_girth=asked), [cap, *measured, hem]),
    )
    settled = with_fullness_that_fits(settled)
    check_proportions(given, settled)
    if style.length_style == "as measured":
        check_above_hem(measured, length)
    return settled


def with_preset(given: Given, style: Style) -> Given:
    """Return the measurements with the eases of the preset that was chosen, if one was."""
    if style.ease == "typed":
        return given
    preset = EASE_PRESETS[style.wearer][style.ease]
    return given._replace(
        ease_cap=Share(preset.underarm), ease_upper_arm=Share(preset.upper_arm), ease_elbow=Share(preset.elbow), ease_hem=Share(preset.hem)
    )


#: The rows of the table that ask for ease, by the level at which they do.
_EASE_AT = {"underarm": "ease_cap", "upper arm": "ease_upper_arm", "elbow": "ease_elbow", "hem": "ease_hem"}


def worth_lettering(given: Given, levels: Sequence[Level]) -> dict[str, float]:
    """Return measurements by name, without those that a 0 leaves out or to a rule; of each ease what it comes to."""
    lengths = {**given._asdict(), **dict.fromkeys(_EASE_AT.values(), 0.0)}
    lengths.update({_EASE_AT[level.name]: level.ease for level in levels if level.name in _EASE_AT})
    return {name: length for name, length in lengths.items() if length or not TABLE[name].zero}


def rule_cap(given: Given) -> Level:
    """Return the underarm level: hers, or by the rules."""
    half = given.cap_width / 2 or rule_cap_half_width(given.bust_girth).result
    height = given.cap_height or rule_cap_height(given.bust_girth).result
    return Level("underarm", height, 2 * half, on_half(given.ease_cap, nearest_girth(measured_levels(given), height)))


def style_length(given: Given, style: Style, cap_height: float) -> float:
    """Return where the hem of a length style lies (common practice, no source)."""
    elbow, wrist = given.elbow_level, given.wrist_level
    missing = {"short": not elbow, "elbow": not elbow, "three-quarter": not (elbow and wrist), "full": not wrist}
    if missing.get(style.length_style):
        wanted = "elbow" if not elbow and style.length_style != "full" else "wrist"
        raise Refused("length needs a level", style=style.length_style, wanted=wanted)
    return {
        "as measured": given.sleeve_length,
        "short": halfway(cap_height, "cap height", elbow, "elbow level").result,
        "elbow": elbow,
        "three-quarter": halfway(elbow, "elbow level", wrist, "wrist level").result,
        "full": wrist,
    }[style.length_style]


def girth_known_at(measured: Sequence[Level], length: float, wrist_known: bool) -> float:
    """Return the girth of the arm at the hem.  Raises :class:`Refused` where it is not known so far down."""
    girth = girth_at(measured, length)
    if girth is None:
        last = measured[-1]
        if wrist_known:
            raise Refused("hem girth unknown", length=length, last=last.name, level=last.y)
        raise Refused("hem girth or wrist unknown", length=length, last=last.name, level=last.y)
    return girth


def hand_must_pass(given: Given, style: Style, length: float) -> bool:
    """Whether the closed hem is checked against the hand: at the wrist or below, or where that is not known."""
    if not given.hand_girth or style.length_style in ("short", "elbow", "three-quarter"):
        return False
    return not given.wrist_level or length >= given.wrist_level


def folded_edges(given: Given, style: Style) -> tuple[str, ...]:
    """Return the edges along which the cloth is folded: the hem, and the top edge for a casing or a facing in one.

    Raises :class:`Refused` for a casing on a raised top edge, which would not lie flat.
    """
    if style.finish == ELASTIC and given.top_edge_raise:
        raise Refused("casing on a raised top edge", rise=given.top_edge_raise)
    return ("hem", "top edge") if style.finish in (ELASTIC, FACED) and not given.top_edge_raise else ("hem",)


# --- what can't be ---------------------------------------------------------------------------------


def check_pairs(given: Given) -> None:
    """Raise :class:`Refused` where of girth and level one was given and the other not."""
    for name, girth, level in (
        ("elbow", given.elbow_girth, given.elbow_level),
        ("wrist", given.wrist_girth, given.wrist_level),
    ):
        if bool(girth) != bool(level):
            raise Refused("girth or level missing", name=name, Name=name.capitalize())


def check_around(given: Given, cap: Level, edges: float, fullness: float) -> None:
    """Raise :class:`Refused` where the off-shoulder girth can't go around this body, or is far too long for it; told is the most that
    leaves an armhole above the ``cap`` too, beside the body ``edges`` and with the ``fullness`` of the top edge.
    """
    around = around_arms_and_body(given.shoulder_width, given.upper_arm_girth)
    least, most = believed_around(around, given.bust_girth)
    if not within(least, given.off_shoulder_girth, most):
        armhole = edges + 2 * (cap.girth - 2 * LEAST_RUN) / fullness
        told = min(most, armhole) if armhole >= least + max(MARKS.values()) else most  # else no girth leaves one: that is told next
        raise Refused(
            "off-shoulder girth out of range",
            girth=given.off_shoulder_girth, bust=given.bust_girth, shoulder=given.shoulder_width, arm=given.upper_arm_girth,
            least=least, most=told,
        )  # fmt: skip


def check_order(measured: Sequence[Level]) -> None:
    """Raise :class:`Refused` where the levels of the arm are out of order."""
    for above, level in zip(measured, measured[1:]):
        if level.y <= above.y:
            raise Refused("levels out of order", Name=level.name.capitalize(), level=level.y, above=above.name, above_level=above.y)


def check_hem_girth(given: Given, style: Style, measured: Sequence[Level]) -> None:
    """Raise :class:`Refused` where the arm would be wider at a fitted hem than anywhere above: a slip, or a sleeve meant to flare."""
    widest = max(measured, key=lambda level: level.girth)
    if style.shape == "fitted" and not within(0.0, given.hem_girth, widest.girth):
        raise Refused("hem wider than the arm", hem=given.hem_girth, widest=widest.girth, name=widest.name)


def check_above_hem(measured: Sequence[Level], length: float) -> None:
    """Raise :class:`Refused` where a level that must lie above the hem does not."""
    for level in measured:
        if level.name != "wrist" and level.y >= length:
            raise Refused("level below the hem", Name=level.name.capitalize(), level=level.y, length=length)


def least_cap_width(top_edge: float) -> float:
    """Return how wide the sleeve must be at the underarm, before ease, for an armhole to be left below this top edge."""
    return top_edge + 2 * LEAST_RUN


def most_fullness(settled: Settled) -> float:
    """Return the greatest fullness of the top edge, to the hundredth, that leaves an armhole."""
    return math.floor(100 * (settled.cap.girth - 2 * LEAST_RUN) / settled.top_edge_width + HAIR) / 100


def with_fullness_that_fits(settled: Settled) -> Settled:
    """Return what holds with the fullness by the rule as near to it, in steps, as leaves an armhole; her own stays as it is."""
    top = settled.top
    if settled.style.edge_fullness or top.fullness <= 1 or settled.top_edge_width <= 0:
        return settled
    fits = math.floor(most_fullness(settled) / _FULLNESS_STEP + HAIR) * _FULLNESS_STEP
    return settled if fits >= top.fullness else settled._replace(top=top._replace(fullness=max(1.0, round(fits, 2))))


#: The fullness by the rule is lessened in steps of this, so that it is a number to remember.
_FULLNESS_STEP = 0.05


def check_proportions(given: Given, settled: Settled) -> None:
    """Raise :class:`Refused` unless the measurements make a sleeve together."""
    front, back, top, cap = settled.front.edge, settled.back.edge, settled.top_edge_drawn, settled.cap
    if min(front, back) <= 0:
        raise Refused("no body edge", width=given.shoulder_width, reduction=given.body_edge_reduction)
    if top <= 0:
        by_rule = Problem("edges as measured", {}) if given.front_body_edge and given.back_body_edge else Problem(
            "edges by the rule", {"reduction": given.body_edge_reduction}
        )  # fmt: skip
        raise Refused("no top edge", girth=given.off_shoulder_girth, edges=front + back, by_rule=by_rule)
    if settled.top.fullness > 1 and least_cap_width(settled.top_edge_width) <= cap.girth < least_cap_width(top) - HAIR:
        most = most_fullness(settled)
        raise Refused("no armhole with this fullness", fullness=settled.top.fullness, top=top, underarm=cap.girth, most=most)
    if cap.girth < least_cap_width(top) - HAIR:
        raise Refused("no armhole", top=top, underarm=cap.girth, girth=given.off_shoulder_girth)
    if settled.length < cap.y + LEAST_BELOW_UNDERARM - HAIR:
        raise Refused("sleeve too short", length=settled.length, cap=cap.y)
    most_raise = min(MOST_RAISE_BY_WIDTH * top, MOST_RAISE_BY_HEIGHT * cap.y)
    if given.top_edge_raise > most_raise + HAIR:
        raise Refused("top edge too high", rise=given.top_edge_raise, top=top, cap=cap.y, most=most_raise)

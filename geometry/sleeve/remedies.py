"""What would do instead: for a sleeve that can't be made, the nearest lengths with which it can, found by making it."""
from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from itertools import islice
from typing import Callable, NamedTuple

from geometry.measuring.ease import Share
from geometry.measuring.given import Given
from geometry.measuring.lengths import MARKS
from geometry.measuring.measurements import TABLE, Style
from geometry.refusal import Problem, Refused
from geometry.sleeve.rules import EASE_PRESETS
from geometry.sleeve.settling import rule_cap
from geometry.sleeve.top_edge import BAND, BOUND, FACED

#: From her value to the first that is tried, millimetres, and how much longer every further step away is.
STEP, LONGER = 5.0, 1.5

#: How far from her value one is looked for, millimetres.
FARTHEST = 200.0

#: The span around the first that does is followed to its ends, in steps of this and then in longer ones, millimetres.
FOLLOWED, EVER_LONGER = 10.0, 2.0

#: The ends of a span are found to this, millimetres, or to this share of how far off they are.
FOUND, FOUND_SHARE = 0.05, 0.002

#: A span is at least so wide: then a mark of her tape lies in it, whichever unit she works in.
LEAST_SPAN = max(MARKS.values())


class Asked(NamedTuple):
    """What was asked for: measurements, style, number of tiers."""

    given: Given
    style: Style
    tiers: int


#: Makes the sleeve or a part of it, or raises Refused.
Make = Callable[[Asked], object]

#: What may mend a match with the bodice's armhole seams.
_MATCHING = ("cap_height", "cap_width", "front_armhole_seam", "back_armhole_seam")

#: By the rule that refuses: the measurements that may mend it, each alone.
MENDED_BY: Mapping[str, tuple[str, ...]] = {
    "sleeve too short": ("sleeve_length", "cap_height"),
    "level below the hem": ("sleeve_length",),
    "level above the underarm": ("elbow_level", "wrist_level", "cap_height"),
    "no armhole": ("cap_width",),
    "top edge too high": ("top_edge_raise",),
    "second tier line above the ends": ("top_edge_raise",),
    "hem too narrow for the hand": ("hem_girth", "flare_width"),
    "hem too wide for its seam": ("hem_girth", "ease_hem", "sleeve_length"),
    "raised and spread top edge": ("flare_width", "top_edge_raise"),
    "flare narrowed to too fast": ("flare_width",),
    **dict.fromkeys(("flare too narrow", "flare beyond the circle", "casing on a spread top edge", "spread lines are level"), ("flare_width",)),
    "scooped too deep": ("front_scoop",),
    "front and back too unlike": ("front_armhole_seam", "back_armhole_seam"),
    "allowances too wide": ("seam_allowance", "hem_allowance"),
    **dict.fromkeys(("matched too narrow", "matched too wide"), _MATCHING),
    **dict.fromkeys(("seams too short for the width", "seams too long for the width"), _MATCHING),
    **dict.fromkeys(("armhole seam too short", "armhole seam too long"), _MATCHING),
}

#: More than so many lengths that would do are no help.
MOST_TOLD = 2

#: What fewer tiers mend, what of that level lines do, what no raise and another finish of the top edge, and what keeping the
#: other one of cap height and width does.
_TOO_MANY_TIERS = (
    "snapped past the hem", "spaced past the hem", "tier lines on each other", "second tier line above the ends",
    "last tier line past the ends of the hem", "last tier line through the hem", "no room aslant",
)
_BY_LAYOUT = ("no room aslant", "last tier line through the hem")
_BY_RAISE = ("raised and spread top edge", "casing on a raised top edge")
_BY_FINISH = ("casing on a raised top edge", "casing on a spread top edge")
_OTHER_KEPT = {"width": "height", "height": "width"}

#: What is solved for the bodice's armhole seams, and has no say where both are matched, by what is kept.
_SOLVED_FOR = {"width": "cap_height", "height": "cap_width"}


def with_remedies(refusal: Refused, asked: Asked, decide: Make, draft: Make) -> Refused:
    """Return the refusal, and after it what would do instead, if anything does; all that is told has been tried.

    ``decide`` makes all but what is drawn on the Seam line, in less time than ``draft``, which makes it all.
    Lengths come as a span whose ends both do, at least a mark of her tape wide.  Of what is wrong in two ways
    nothing is told, since no one length mends that.
    """
    if len(refusal.problems) > 1:
        return refusal
    rule = refusal.problems[0].rule
    lengths = islice(_lengths(rule, asked, draft if rule == "allowances too wide" else decide, draft), MOST_TOLD)
    return refusal.followed_by([*_choices(refusal.problems[0], asked, draft), *lengths])


def _does(make: Make, asked: Asked) -> bool:
    try:
        make(asked)
    except Refused:
        return False
    return True


def _lengths(rule: str, asked: Asked, decide: Make, draft: Make) -> Iterator[Problem]:
    """Yield the measurements that would do with another value, and between which."""
    for name in MENDED_BY.get(rule, ()):
        if not is_asked(asked, name):
            continue
        row, with_value = TABLE[name], _with_value(asked, name)
        least, most = 0.0 if row.zero and not row.least else float(row.least), float(row.most)
        spans = (span_that_does(_does_with(make, with_value), _as_drafted(asked.given, name), least, most) for make in (decide, draft))
        span = next((span for span in spans if span and all(map(_does_with(draft, with_value), span))), None)
        if span:
            yield _would_do(row.label, span, least, most)


def _would_do(label: str, span: tuple[float, float], least: float, most: float) -> Problem:
    """Return what would do: of a span that reaches an end of what may be typed only where it begins or ends."""
    if span[1] >= most > span[0] > least:
        return Problem("or more would do", {"label": label, "least": span[0]})
    if span[0] <= least < span[1] < most:
        return Problem("or less would do", {"label": label, "most": span[1]})
    return Problem("would do", {"label": label, "least": span[0], "most": span[1]})


def _does_with(make: Make, with_value: Callable[[float], Asked]) -> Callable[[float], bool]:
    return lambda value: _does(make, with_value(value))


def is_asked(asked: Asked, name: str) -> bool:
    """Whether a measurement has a say in this sleeve, so that another value could mend it."""
    given, style = asked.given, asked.style
    if name == "sleeve_length":
        return style.length_style == "as measured"
    if name == _SOLVED_FOR[style.armhole_keep] and given.front_armhole_seam and given.back_armhole_seam:
        return False
    if name == "ease_hem":
        return style.ease == "typed" and not isinstance(given.ease_hem, Share) and given.ease_hem > 0
    if name in ("hem_girth", "flare_width") and not (name == "hem_girth" and not given.hem_girth):
        return (style.shape == "flared") == (name == "flare_width")
    return bool(_as_drafted(given, name))


def _with_value(asked: Asked, name: str) -> Callable[[float], Asked]:
    return lambda value: asked._replace(given=asked.given._replace(**{name: value}))


def _as_drafted(given: Given, name: str) -> float:
    """Return the value of a measurement, or what the rule puts for it."""
    cap = rule_cap(given)
    return float({"cap_height": cap.y, "cap_width": cap.girth}.get(name, getattr(given, name)))


def _choices(problem: Problem, asked: Asked, draft: Make) -> Iterator[Problem]:
    """Yield what else would do: fewer tiers, another choice, less ease at the hem."""
    rule = problem.rule
    if rule in _TOO_MANY_TIERS:
        tiers = next((count for count in range(asked.tiers - 1, 0, -1) if _does(draft, asked._replace(tiers=count))), 0)
        if tiers:
            yield Problem("tiers would do", {"tiers": tiers})
    if rule in _BY_LAYOUT and asked.style.tier_layout != "level" and _does(draft, asked._replace(style=asked.style._replace(tier_layout="level"))):
        yield Problem("level would do", {})
    if rule in ("flare too narrow", "flare narrowed to too fast"):
        shapes = (shape for shape in ("fitted", "straight") if _does(draft, asked._replace(style=asked.style._replace(shape=shape))))
        yield from (Problem("shape would do", {"shape": shape}) for shape in shapes)
    if rule in _BY_RAISE and _does(draft, asked._replace(given=asked.given._replace(top_edge_raise=0.0))):
        yield Problem("no raise would do", {})
    if rule in _BY_FINISH:
        finishes = (finish for finish in (BAND, FACED, BOUND) if _does(draft, asked._replace(style=asked.style._replace(finish=finish))))
        yield from (Problem("finish would do", {"finish": finish}) for finish in finishes)
    if rule == "hem too narrow for the hand" and _does(draft, asked._replace(given=asked.given._replace(hand_girth=0.0))):
        yield Problem("no hand would do", {})
    if rule == "hem too wide for its seam":
        hem = problem.facts["hem"]
        assert isinstance(hem, float)
        yield from _narrower_hem(asked, hem, draft)
    if MENDED_BY.get(rule) is _MATCHING:
        other = _OTHER_KEPT[asked.style.armhole_keep]
        if _does(draft, asked._replace(style=asked.style._replace(armhole_keep=other))):
            yield Problem("keeping the height would do" if other == "height" else "keeping the width would do", {})


def _narrower_hem(asked: Asked, hem: float, draft: Make) -> Iterator[Problem]:
    """Yield what would do for a ``hem`` too wide for its seam: less of an ease in percent, a closer preset, or a flare."""
    given, style = asked.given, asked.style
    if style.ease != "typed":
        closer = [preset for preset in reversed(EASE_PRESETS[style.wearer]) if _hem_percent(style, preset) < _hem_percent(style, style.ease)]
        preset = next((each for each in closer if _does(draft, asked._replace(style=style._replace(ease=each)))), "")
        if preset:
            yield Problem("preset would do", {"preset": preset})
    elif isinstance(given.ease_hem, Share):
        percent = _most_percent(asked, given.ease_hem.percent, draft)
        if percent:
            yield Problem("percent would do", {"label": TABLE["ease_hem"].label, "percent": percent})
    row, flared = TABLE["flare_width"], asked._replace(style=style._replace(shape="flared"))
    span = span_that_does(_does_with(draft, _with_value(flared, "flare_width")), hem, float(row.least), float(row.most))
    if span:
        yield Problem("flare would do", {"least": span[0], "most": span[1]})


def _hem_percent(style: Style, preset: str) -> float:
    return EASE_PRESETS[style.wearer][preset].hem


def _most_percent(asked: Asked, percent: float, draft: Make) -> int:
    """Return the most whole percent of ease at the hem, below ``percent``, that does; 0 for none."""
    does, most = 0, math.ceil(percent)
    while most - does > 1:
        middle = (does + most) // 2
        fits = _does(draft, asked._replace(given=asked.given._replace(ease_hem=Share(float(middle)))))
        does, most = (middle, most) if fits else (does, middle)
    return does


def span_that_does(does: Callable[[float], bool], start: float, least: float, most: float) -> tuple[float, float] | None:
    """Return a span between ``least`` and ``most`` near ``start`` whose ends both do, or None.

    >>> low, high = span_that_does(lambda x: 40 <= x <= 70, 100, 0, 500)
    >>> round(low, 1), round(high, 1)
    (40.0, 70.0)
    >>> span_that_does(lambda x: 40 <= x <= 41, 100, 0, 500)
    """
    first = next((value for value in _away_from(start, least, most) if does(value)), None)
    if first is None:
        return None
    low, high = (_end_of_span(does, first, limit) for limit in (least, most))
    return (low, high) if high - low >= LEAST_SPAN else None


def _away_from(start: float, least: float, most: float) -> Iterator[float]:
    """Yield values to try, from ``start`` away to both sides, and the ends of the range where they are passed."""
    step, ends = STEP, {-1: least, 1: most}
    if least <= start <= most:
        yield start
    reach = 0.0
    while reach < FARTHEST and ends:
        reach, step = reach + step, step * LONGER
        for side, end in list(ends.items()):
            value = start + side * reach
            if (value - end) * side >= 0:
                del ends[side]
                value = end
            if least <= value <= most:
                yield value


def _end_of_span(does: Callable[[float], bool], inside: float, limit: float) -> float:
    """Return the last value that does on the way from ``inside``, which does, to ``limit``."""
    step, tried, first = FOLLOWED, inside, inside
    while inside != limit:
        tried = inside + math.copysign(min(step, abs(limit - inside)), limit - inside)
        tried = limit if abs(limit - tried) < FOUND else tried
        if not does(tried):
            break
        inside, step = tried, step * EVER_LONGER
    while abs(tried - inside) > max(FOUND, FOUND_SHARE * abs(inside - first)):
        middle = (inside + tried) / 2
        inside, tried = (middle, tried) if does(middle) else (inside, middle)
    return inside

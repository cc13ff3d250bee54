"""Advice that is printed holds when it is typed exactly as printed: hundreds of drafts that can't be, in inches and in cm."""
from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from random import Random

import pytest

from extension.drafting.fit_sheet import fullness_sentence
from extension.wording.refusals import sentence
from geometry.measuring.given import Given, read_given
from geometry.measuring.lengths import read_length, write_length
from geometry.measuring.measurements import CHOICES, DEFAULTS, EXAMPLE, TABLE, read_style
from geometry.pieces.all_pieces import pieces_of
from geometry.refusal import Refused
from geometry.sleeve.draft import Draft, draft_sleeve
from tests.bodies import measurements_of, women

BY_LABEL = {row.label: row.name for row in TABLE.values()}

#: A girl of two (invented), as a share of a woman: what shoulders, girths and lengths shrink to.
CHILD = 0.56

#: What a body that drafts is asked for beside, so that by lot it can't be: (lowest, highest) in mm, or words to choose from.
TROUBLE = {
    "short": {"sleeve_length": (60, 200)},
    "short, no elbow": {"sleeve_length": (60, 140), "elbow_girth": (0, 0), "elbow_level": (0, 0), "upper_arm_level": (40, 60)},
    "elbow above the underarm": {"elbow_level": (60, 150), "upper_arm_level": (20, 50), "cap_height": (80, 200), "armhole_keep": ("width", "height")},
    "raised": {"top_edge_raise": (8, 25), "cap_height": (30, 70)},
    "hand": {"hand_girth": (200, 380), "hem_girth": (120, 200)},
    "hand through a flare": {"hand_girth": (300, 380), "flare_width": (200, 300), "shape": ("flared",)},
    "flare": {"flare_width": (100, 300), "shape": ("flared",)},
    "flare beyond": {"flare_width": (1200, 2500), "shape": ("flared",), "flare_from": ("elbow", "underarm")},
    "flare and casing": {"flare_width": (500, 1200), "shape": ("flared",), "finish": ("elastic",)},
    "flare and raise": {"flare_width": (500, 1200), "shape": ("flared",), "top_edge_raise": (5, 12)},
    "wide straight hem": {"hem_girth": (500, 1200), "shape": ("straight", "fitted")},
    "easy short hem": {"length_style": ("short",), "ease_hem": ("80 %", "60 %", "7 in"), "upper_arm_level": (95, 130), "tiers": ("1",)},
    "loose short hem": {"length_style": ("short",), "ease": ("loose",), "upper_arm_level": (95, 130), "tiers": ("1",)},
    "scoop": {"front_scoop": (5, 30), "front_armhole_seam": (0, 160), "armhole_keep": ("width", "height")},
    "narrow cap": {"cap_width": (120, 200), "body_edge_reduction": (60, 150)},
    "matched": {"front_armhole_seam": (60, 330), "back_armhole_seam": (60, 330), "armhole_keep": ("width", "height")},
    "matched, alike": {"front_armhole_seam": (60, 90), "armhole_keep": ("width", "height"), "alike": (0, 0)},
    "front only": {"front_armhole_seam": (60, 350), "armhole_keep": ("width", "height")},
    "allowances": {"seam_allowance": (20, 80), "hem_allowance": (0, 150)},
    "many tiers": {"tiers": ("30", "40"), "spacing_snap": ("1/2in", "1cm"), "sleeve_length": (250, 400)},
    "off the shoulder": {"off_shoulder_girth": (450, 1600)},
}  # fmt: skip


def typed_for(body: Given, unit: str) -> dict[str, str]:
    """The measurements of a body as she would type them from her tape."""
    lengths = {name: write_length(value, unit, with_unit=False) for name, value in body._asdict().items() if isinstance(value, float)}
    return {**DEFAULTS, **{name: text for name, text in lengths.items() if name in TABLE}, "tiers": "6", "spacing_snap": "none", "unit": unit}


def troubled(lot: Random) -> tuple[str, dict[str, str]]:
    """A body and what is asked of it, by lot."""
    body, unit = measurements_of(lot.choice(women())), lot.choice(("in", "cm"))
    if lot.random() < 0.3:
        small = body._asdict()
        names = [row for row in small if row.endswith(("girth", "level", "width", "length")) and row != "hand_girth"]
        body = body._replace(**{name: CHILD * small[name] for name in names}, body_edge_reduction=25.0)
    typed = typed_for(body, unit)
    name, trouble = lot.choice(list(TROUBLE.items()))
    for option, between in trouble.items():
        if option == "alike":
            typed["back_armhole_seam"] = typed["front_armhole_seam"]
        elif isinstance(between[0], str):
            typed[option] = lot.choice(between)
        else:
            typed[option] = write_length(lot.uniform(*between), unit, with_unit=False)
    return name, typed


def draft(typed: dict[str, str]) -> Draft:
    given, style = read_given(typed, typed["unit"]), read_style(typed)
    drafted = draft_sleeve(given, int(typed["tiers"]), typed["spacing_snap"], typed["unit"], style, rest=pieces_of)
    pieces_of(drafted)
    return drafted


def advice_in(text: str) -> Iterator[dict[str, str]]:
    """What the sentences tell her to type instead, each by option."""
    for label, least, most in re.findall(r"^(.+?): ([^:]+? (?:in|cm)) to ([^:]+? (?:in|cm)) would do", text, re.MULTILINE):
        for end in (least, most):
            yield {BY_LABEL[label]: end}
            yield {BY_LABEL[label]: end.rpartition(" ")[0]}  # the unit is the dialog's
    for label, end, way in re.findall(r"^(.+?): ([^:]+? (?:in|cm)) or (less|more) would do, with", text, re.MULTILINE):
        row, value = TABLE[BY_LABEL[label]], read_length(end, "in")
        far = row.most if way == "more" else 0.0 if row.zero and not row.least else row.least
        for length in (end, f"{far} mm", f"{(value + far) / 2} mm"):  # and all the way to what may be typed at all
            yield {BY_LABEL[label]: length}
    for flare in re.findall(r"(?:^|takes |\. )([0-9][^.:]*? (?:in|cm)) (?:or less would do|or more|makes a full circle)", text):
        if text.startswith("Hem width of a flared sleeve"):
            yield {"flare_width": flare}
    yield from choices_in(text)


def choices_in(text: str) -> Iterator[dict[str, str]]:
    """What the sentences tell her to choose instead of a length, each by option."""
    for percent in re.findall(r"^Ease at the hem: up to (\d+) % would do", text, re.MULTILINE):
        yield {"ease_hem": f"{percent} %"}
    for preset in re.findall(r"^Ease: “(.+?)” would do", text, re.MULTILINE):
        yield {"ease": preset}
    for ends in re.findall(r"^Shape: flared, with a hem width of (.+?) to (.+?), would do", text, re.MULTILINE):
        yield from ({"shape": "flared", "flare_width": end} for end in ends)
    for tiers in re.findall(r"^Tiers: (\d+) would do", text, re.MULTILINE):
        yield {"tiers": tiers}
    for shape in re.findall(r"^Shape: (\w+) would do", text, re.MULTILINE):
        yield {"shape": shape}
    for finish in re.findall(r"^Finish of the top edge: (\w+) would do", text, re.MULTILINE):
        yield {"finish": finish}
    if re.search(r"^Hand girth: 0 would do", text, re.MULTILINE):
        yield {"hand_girth": "0"}
    if re.search(r"^Raise of the top edge: 0 would do", text, re.MULTILINE):
        yield {"top_edge_raise": "0"}
    if re.search(r"^Tier lines: level would do", text, re.MULTILINE):
        yield {"tier_layout": "level"}
    for most in re.findall(r"^Front end lower by: .* Between these lines (.+?) is the most", text):
        yield {"slant": most}
    keep = next(choice for choice in CHOICES if choice.name == "armhole_keep")
    for words in re.findall(r"^Choosing to keep (.+?) would do", text, re.MULTILINE):
        yield {"armhole_keep": next(value for value, word in keep.words.items() if word == words)}


@pytest.mark.parametrize("seed", range(6))
def test_advice_holds_when_it_is_typed_as_printed(seed):
    lot, told, rules = Random(seed), 0, Counter()
    for _ in range(40):
        name, typed = troubled(lot)
        try:
            draft(typed)
            continue
        except Refused as refusal:
            rule, text = refusal.problems[0].rule, sentence(refusal, typed["unit"])
        rules[rule] += 1
        for advice in advice_in(text):
            told += 1
            try:
                draft({**typed, **advice})
            except Refused as again:
                pytest.fail(f"{name}: {text}\n{advice} is refused: {again}")
    assert told > 20 and len(rules) > 4, rules


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"ease_hem": "80 %", "length_style": "short", "upper_arm_level": "4"}, "ease_hem"),
        ({"ease_hem": "7 in", "length_style": "short", "upper_arm_level": "4"}, "ease_hem"),
        ({"hem_girth": "30", "shape": "straight"}, "flare_width"),
    ],
)
def test_a_hem_too_wide_is_told_what_she_typed_and_what_would_do(typed, told):
    """And nothing that she did not type: a hem girth that the arm exceeds, or of 0, mends nothing."""
    typed = {**DEFAULTS, **EXAMPLE, "hand_girth": "0", "tiers": "1", "spacing_snap": "none", "unit": "in", **typed}
    with pytest.raises(Refused) as refusal:
        draft(typed)
    assert refusal.value.problems[0].rule == "hem too wide for its seam"
    advice = list(advice_in(sentence(refusal.value, "in")))
    assert any(told in each for each in advice)
    assert not any("hem_girth" in each for each in advice)
    for each in advice:
        draft({**typed, **each})


@pytest.mark.parametrize(("unit", "typed", "widest"), [("in", "19 1/8", "12 7/8 in"), ("in", "30", "12 7/8 in"), ("cm", "33", "32.7 cm")])
def test_a_fitted_hem_wider_than_the_arm_is_asked_about(unit, typed, widest):
    """A slip for 9 1/8, or a sleeve meant to flare: the widest girth of the example's arm is its upper arm, 12 7/8 in (32.7 cm)."""
    body = {**DEFAULTS, **EXAMPLE, "hand_girth": "0", "tiers": "1", "spacing_snap": "none", "unit": unit}
    with pytest.raises(Refused) as refusal:
        draft({**body, "hem_girth": typed})
    said = sentence(refusal.value, unit)
    assert f"(the upper arm, {widest})" in said and "choose “flared, to the hem width below”" in said
    draft({**body, "hem_girth": widest})
    draft({**body, "hem_girth": "9 in", "shape": "flared", "flare_width": f"{typed} {unit}"})


@pytest.mark.parametrize(
    "typed",
    [
        {"elbow_level": "5", "cap_height": "5"},
        {"elbow_girth": "0", "elbow_level": "0", "wrist_girth": "7", "wrist_level": "4", "cap_height": "4"},
    ],
)
def test_a_level_above_the_underarm_is_told_what_would_do(typed):
    """No arm has its elbow or its wrist above its underarm: one of both was misread, and it can't be told which."""
    typed = {**DEFAULTS, **EXAMPLE, "hand_girth": "0", "upper_arm_level": "3", "tiers": "3", "spacing_snap": "none", "unit": "in", **typed}
    with pytest.raises(Refused) as refusal:
        draft(typed)
    text = sentence(refusal.value, "in")
    (least,) = re.findall(r"lies below it: at (.+? in) or more", text)
    level = next(name for name in ("elbow_level", "wrist_level") if typed.get(name, "0") != "0")
    advice = [*advice_in(text), {level: least}]
    assert {name for each in advice for name in each} == {level, "cap_height"}
    for each in advice:
        draft({**typed, **each})


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"shape": "flared", "flare_width": "8", "flare_from": "underarm"}, {"shape": "straight"}),
        ({"shape": "flared", "flare_width": "30", "top_edge_raise": "1/2"}, {"top_edge_raise": "0"}),
        ({"finish": "elastic", "top_edge_raise": "1/2"}, {"top_edge_raise": "0"}),
        ({"finish": "elastic", "top_edge_raise": "1/2"}, {"finish": "faced"}),
        ({"shape": "flared", "flare_width": "30", "finish": "elastic"}, {"finish": "band"}),
        ({"hand_girth": "15"}, {"hand_girth": "0"}),
    ],
)
def test_another_choice_is_told_where_it_does(typed, told):
    typed = {**DEFAULTS, **EXAMPLE, "hand_girth": "0", "tiers": "1", "spacing_snap": "none", "unit": "in", **typed}
    with pytest.raises(Refused) as refusal:
        draft(typed)
    advice = list(advice_in(sentence(refusal.value, "in")))
    assert told in advice
    for each in advice:
        draft({**typed, **each})


@pytest.mark.parametrize("tiers", [6, 9, 12, 20])
@pytest.mark.parametrize("slant", ["0", "1", "4"])
def test_lines_with_no_room_aslant_are_told_what_would_do(tiers, slant):
    """Fewer lines or level ones, or a slant that may be typed."""
    typed = {**DEFAULTS, **EXAMPLE, "tiers": str(tiers), "spacing_snap": "none", "unit": "in", "tier_layout": "aslant", "spacing": "growing 0.8"}
    try:
        draft({**typed, "slant": slant})
    except Refused as refusal:
        advice = list(advice_in(sentence(refusal, "in")))
        assert advice
        for each in advice:
            draft({**typed, "slant": slant, **each})


@pytest.mark.parametrize("seed", range(4))
def test_an_off_shoulder_girth_that_is_printed_goes_around(seed):
    lot, told = Random(seed), 0
    for _ in range(25):
        _, typed = troubled(lot)
        with pytest.raises(Refused) as refusal:
            draft({**typed, "off_shoulder_girth": "220 cm"})
        text = sentence(refusal.value, typed["unit"])
        limits = re.search(r"it measures about (.+? (?:in|cm)) to (.+? (?:in|cm))\.", text)
        if limits is None:
            assert "Off-shoulder" not in text
            continue
        told += 1
        for limit in limits.groups():
            try:
                draft({**typed, "off_shoulder_girth": limit})
            except Refused as again:
                assert again.problems[0].rule != "off-shoulder girth out of range", (text, limit)
                if again.problems[0].rule.startswith("no armhole"):  # then no girth of that range leaves one, but for a mark of the tape
                    least = read_length(limits[1], "in")
                    with pytest.raises(Refused, match=r"^no armhole"):
                        draft({**typed, "off_shoulder_girth": f"{least + 4.0} mm"})
    assert told > 15


@pytest.mark.parametrize("unit", ["in", "cm"])
def test_the_cap_width_below_the_fit_chart_gives_the_ease_that_was_asked_for(unit):
    """To a mark of her tape, or what the widest level of the arm asks for."""
    told = 0
    for woman in women()[::6]:
        for share in (1.0, CHILD):
            body = measurements_of(woman)
            wearer = "child" if share < 1 else "adult"
            names = [name for name in body._fields if name.endswith(("girth", "level", "width", "length")) and name != "hand_girth"]
            body = body._replace(**{name: share * getattr(body, name) for name in names})
            typed = {**typed_for(body, unit), "wearer": wearer, "body_edge_reduction": "1 in"}
            try:
                full = draft(typed).fullness
            except Refused:
                continue
            if not full or not full.cap_width:
                continue
            told += 1
            printed = re.search(r"A cap width of (.+? (?:in|cm)) would", fullness_sentence(full, unit)).group(1)
            mended = draft({**typed, "cap_width": printed})
            row = next(row for row in mended.fit if "underarm" in row.name.split(", "))
            asked = max(full.asked, 2 * max(level.needed for level in mended.block.levels[1:-1]) - row.body)
            assert asked - 0.01 <= row.ease <= asked + 3.2 and row.verdict == "good"
    assert told > 15

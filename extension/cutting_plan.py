"""Extensions > Tiered Sleeve > Cutting Plan…: what to cut for the sleeve as it stands, and how much to buy."""
import os
import sys

sys.path.insert(0, os.path.dirname(os.path.dirname(os.path.realpath(__file__))))

import extension.host_check  # isort: skip  # noqa: F401  says what is missing, before anything that needs it

from argparse import ArgumentParser
from functools import partial

import inkex

from extension.command import Command
from extension.cutting.job_sheet import Terms, price_sums
from extension.cutting.plan_sheets import draw_plan, fill_panels
from extension.cutting.sewing_steps import Making
from extension.cutting.source import cut_now, cutting_line_now, pieces_now, sleeve_now, tiers_end, tiers_now
from extension.document.reading import decide_again
from extension.settings import Kept
from geometry.cloth import job_choices
from geometry.cloth.beside import ALONG, LEAST, cut_beside
from geometry.cloth.buying import BORDERS, ON_BORDER
from geometry.cloth.cutting import Job, plan_cutting, seams_finished
from geometry.cloth.cutting_working import cutting_sums
from geometry.cloth.edges import CUT, EDGES
from geometry.cloth.job_choices import TYPED_TO_KEEP, check_currencies, kept_now, read_bench
from geometry.cloth.offers import OFFERS
from geometry.cloth.tape import TAPES
from geometry.cloth.tier_choices import (
    AS_OUTERMOST,
    BASE_CLOTHS,
    BY_RULE_LENGTHS,
    LENGTHS,
    NUMBERS,
    ONE_BY_ONE,
    PRICES,
    TEXTS,
    TOGETHER,
    TRIM_PRICES,
    UNDER_EDGES,
    read_cloths,
    read_others,
    read_tier_style,
    read_trim_terms,
)
from geometry.cloth.ways import WAYS
from geometry.measuring.measurements import read_count
from geometry.pieces.strip_ends import GATHERED_IN, SHAPED
from geometry.sleeve.spacing import MOST_TIERS
from geometry.sleeve.working import drafting_sums


class CuttingPlan(Command):
    """Plans strips, net, base and lining, and draws lay plans and a job sheet beside the sleeve."""

    #: Whether the document is nobody's: then nothing is put where it belongs in it, for that takes time.
    files_only = False

    def add_arguments(self, pars: ArgumentParser) -> None:
        pars.add_argument("--tab", default="tiers")
        pars.add_argument("--unit", default="sleeve", choices=("sleeve", "in", "cm"))
        pars.add_argument("--make", default="gathered", choices=tuple(WAYS))
        for table in (LENGTHS, BY_RULE_LENGTHS, NUMBERS, TEXTS, PRICES, TRIM_PRICES, job_choices.LENGTHS, job_choices.NUMBERS, job_choices.EVERY_SUM):
            for asked in table.values():
                pars.add_argument(f"--{asked.name}", default=asked.default)
        pars.add_argument("--strip_edge", default=CUT, choices=tuple(EDGES))
        pars.add_argument("--under_edge", default=AS_OUTERMOST, choices=UNDER_EDGES)
        pars.add_argument("--end_shape", default=SHAPED, choices=(SHAPED, GATHERED_IN))
        pars.add_argument("--sleeves", default="2")
        pars.add_argument("--strip_direction", default="cheaper", choices=("cheaper", "across", "along", *BORDERS))
        pars.add_argument("--base_cloth", default="own", choices=BASE_CLOTHS)
        pars.add_argument("--band_way", default=ALONG, choices=(ALONG, LEAST))
        pars.add_argument("--net_way", default="any_way", choices=("any_way", "one_way"))
        pars.add_argument("--prefer", default="best", choices=OFFERS)
        pars.add_argument("--timed_tier", default="1")
        pars.add_argument("--currency", default="")
        pars.add_argument("--maker", default="")
        pars.add_argument("--valid_until", default="")
        pars.add_argument("--base_way", default="either_way", choices=("either_way", "one_way", ON_BORDER))
        pars.add_argument("--lining_way", default="either_way", choices=("either_way", "one_way"))
        pars.add_argument("--attach", default="bottom_up", choices=("bottom_up", "top_down"))
        pars.add_argument("--layers_sewn", default=ONE_BY_ONE, choices=(ONE_BY_ONE, TOGETHER))
        pars.add_argument("--job_sheet_folder", default="")
        pars.add_argument("--show_working", type=inkex.Boolean, default=False)

    def work(self) -> None:
        typed = vars(self.options)
        sleeve = sleeve_now(self.svg)
        self.unit = unit = sleeve.unit if typed["unit"] == "sleeve" else typed["unit"]
        decided = decide_again(sleeve.typed, sleeve.given)
        settled = decided.settled
        tiers = tiers_now(sleeve)
        kept = Kept(f"hours and prices, {unit}")  # for a yard and for a metre apart
        bench = read_bench(typed, kept.before, read_count("which was tier", typed["timed_tier"], 1, MOST_TIERS), unit)
        job = Job(
            style=read_tier_style(typed, max(1, len(tiers.lines)), settled.seam_allowance, unit),
            cloths=read_cloths({**typed, **({"lining_width": "0"} if settled.style.lining == "none" else {})}, unit),
            sleeves=read_count("Sleeves", typed["sleeves"], 1, 20),
            prefer=typed["prefer"],
            tape=TAPES[unit],
            worth=bench.worth,
            fitting=bench.fitting,
            timed=bench.timed,
            others=read_others(typed, unit),
            trim_terms=read_trim_terms(typed, unit),
        )
        check_currencies(typed, kept.before)
        others = pieces_now(sleeve, decided)
        piece = cutting_line_now(sleeve, settled)
        cut, seams = cut_now(sleeve, others), seams_finished(sleeve.outline, settled)
        beside = cut_beside(sleeve.outline, settled, cut, job.sleeves, typed["band_way"] == LEAST)
        plan = plan_cutting(sleeve.outline, tiers, piece, job, tiers_end(sleeve, decided), cut.get("lining"), seams, beside, decided.block.spread)
        now = {**kept_now(typed, kept.before), "pace": f"{plan.timing.pace:.6g}"}
        if any(typed[name].strip() for name in TYPED_TO_KEEP):
            kept.keep(now)
        terms = Terms(bench.rates, now["currency"], typed["valid_until"].strip(), now["maker"], kept.problem)
        making = Making(plan, decided, sleeve.outline, others, typed["attach"] == "bottom_up")
        sums = [*drafting_sums(sleeve.given, decided, unit), *cutting_sums(plan), *price_sums(making, bench.rates)] if typed["show_working"] else []
        draw = partial(fill_panels, lettered=False) if self.files_only else draw_plan
        draw(sleeve, making, typed["job_sheet_folder"], terms, sums)


if __name__ == "__main__":
    CuttingPlan.run_as_script()

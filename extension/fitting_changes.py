"""Extensions > Tiered Sleeve > Fitting Changes…: what the toile taught, done to the Seam line as it stands."""
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import extension.host_check  # isort: skip  # noqa: F401  says what is missing, before anything that needs it

import datetime as dt
from argparse import ArgumentParser

from extension.command import Command
from extension.document.reading import find_sleeve, read_sleeve
from extension.document.record import write_record
from extension.drawing.lettering import printable
from extension.editing.bringing_back import ask_for_the_astray
from extension.editing.fitting import fitted, which_change
from extension.editing.remeasuring import draw_again
from geometry.measuring.toile import AMOUNTS, read_change, read_changes


class FittingChanges(Command):
    """Lets out, takes in, lengthens and shortens a sleeve, drafted or edited, and measures it again."""

    def add_arguments(self, pars: ArgumentParser) -> None:
        pars.add_argument("--tab", default="widths")
        for amount in AMOUNTS.values():
            pars.add_argument(f"--{amount.name}", default=amount.default)
        pars.add_argument("--reason", default="")
        pars.add_argument("--take_back", default="0")

    def work(self) -> None:
        ask_for_the_astray(self.svg)
        sleeve = read_sleeve(find_sleeve(self.svg))
        self.unit = sleeve.unit
        made = read_changes(sleeve.typed.get("fitting_changes", ""))
        today = dt.date.today().isoformat()
        change = read_change({name: getattr(self.options, name) for name in AMOUNTS}, sleeve.unit, today, printable(self.options.reason))
        taken_back = which_change(self.options.take_back, len(made))
        if not change.written and taken_back is None:
            return
        now = fitted(sleeve, made, taken_back, change)
        write_record(draw_again(self.svg, now), {"typed": now.sleeve.typed})


if __name__ == "__main__":
    FittingChanges.run_as_script()

"""Extensions > Tiered Sleeve > Fitting Changes…: what the toile taught, done to the Seam line as it stands."""
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import extension.host_check  # isort: skip  # noqa: F401  says what is missing, before anything that needs it

import datetime as dt
from argparse import ArgumentParser
from collections.abc import Iterable, Iterator
from contextlib import suppress

import inkex

from extension.command import Command
from extension.document.part_names import SLEEVE
from extension.document.parts import find_parts
from extension.document.reading import find_sleeve, read_sleeve
from extension.document.record import typed_for, write_record
from extension.drawing.lettering import printable
from extension.editing.bringing_back import ask_for_the_astray
from extension.editing.fitting import fitted, which_change
from extension.editing.remeasuring import draw_again
from geometry.measuring.toile import AMOUNTS, FittingChange, read_change, read_changes
from geometry.refusal import Refused


class FittingChanges(Command):
    """Lets out, takes in, lengthens and shortens a sleeve, drafted or edited, and measures it again."""

    def add_arguments(self, pars: ArgumentParser) -> None:
        pars.add_argument("--tab", default="widths")
        for amount in AMOUNTS.values():
            pars.add_argument(f"--{amount.name}", default=amount.default)
        pars.add_argument("--reason", default="")
        pars.add_argument("--again", type=inkex.Boolean, default=False)
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
        if taken_back is not None:
            refuse_both(change, self.options.take_back)
        if not self.options.again:
            refuse_leftovers(change, last_changes(self.svg))
        now = fitted(sleeve, made, taken_back, change)
        write_record(draw_again(self.svg, now), {"typed": now.sleeve.typed})


def refuse_both(change: FittingChange, typed: str) -> None:
    """Raise :class:`Refused` where one change is to be made and another taken back: either may be left over in the dialog."""
    if change.written:
        raise Refused("change beside take back", typed=typed.strip(), changes=as_typed(change.written))


def refuse_leftovers(change: FittingChange, last: Iterable[tuple[str, FittingChange]]) -> None:
    """Raise :class:`Refused` where an amount is just the one that was made ``last`` on a sleeve (name and change): the dialog keeps
    what was typed, and nobody sees it on the other page.
    """
    for whose, before in last:
        same = [pair for pair in change.written if pair in before.written]
        if same:
            raise Refused("made before", changes=as_typed(same), whose=whose or "this sleeve")


def last_changes(svg: inkex.SvgDocumentElement) -> Iterator[tuple[str, FittingChange]]:
    """Yield the name of every sleeve of the document with the change that was made on it last, if any was."""
    for layer in find_parts(svg, SLEEVE):
        typed = typed_for(layer)
        with suppress(Refused):  # another sleeve than hers may be damaged
            for change in read_changes(str(typed.get("fitting_changes", "")))[-1:]:
                yield printable(str(typed.get("label", ""))), change


def as_typed(written: Iterable[tuple[str, str]]) -> str:
    """Return amounts as the dialog shows them."""
    return "; ".join(f"{AMOUNTS[name].label} {text}" for name, text in written)


if __name__ == "__main__":
    FittingChanges.run_as_script()

"""Extensions > Tiered Sleeve > Draft Sleeve…: from measurements to a sleeve in the open document."""
import os
import sys

sys.path.insert(0, os.path.dirname(os.path.dirname(os.path.realpath(__file__))))

import extension.host_check  # isort: skip  # noqa: F401  says what is missing, before anything that needs it

from argparse import ArgumentParser
from collections.abc import Mapping

import inkex

from extension.command import Command
from extension.drafting.bodice import SELECTED, selected_seams
from extension.drafting.placing import place_sleeve
from extension.drafting.start import HERS, STARTS, draft_as_typed, whose
from geometry.measuring.lengths import write_exact
from geometry.measuring.measurements import CHOICES, DEFAULTS, EXAMPLE, NUMBERS, TABLE, read_count
from geometry.sleeve.spacing import MOST_TIERS, SPACING_SNAPS


class DraftSleeve(Command):
    """Drafts a sleeve beside what is there, or in place of an earlier one when she ticks so."""

    def add_arguments(self, pars: ArgumentParser) -> None:
        pars.add_argument("--tab", default="client")
        pars.add_argument("--unit", default="in", choices=("in", "cm"))
        pars.add_argument("--label", default="")
        pars.add_argument("--start", default=next(iter(STARTS)), choices=tuple(STARTS))
        pars.add_argument("--book", default="")
        for typed in (*TABLE.values(), *NUMBERS):
            # The host sends the default for an emptied field, so no field of the body may have one.
            pars.add_argument(f"--{typed.name}", default="" if typed.name in EXAMPLE else typed.default)
        for choice in CHOICES:
            pars.add_argument(f"--{choice.name}", default=DEFAULTS[choice.name], choices=tuple(choice.words))
        pars.add_argument("--selected_armholes", default="no", choices=tuple(SELECTED))
        pars.add_argument("--tiers", default="6")
        pars.add_argument("--spacing", default=DEFAULTS["spacing"])
        pars.add_argument("--tier_part", default=DEFAULTS["tier_part"])
        pars.add_argument("--spacing_snap", default="none", choices=tuple(SPACING_SNAPS))
        pars.add_argument("--show_working", type=inkex.Boolean, default=False)
        pars.add_argument("--replace", type=inkex.Boolean, default=False)
        pars.add_argument("--replace_other", type=inkex.Boolean, default=False)

    def work(self) -> None:
        typed = from_the_book(vars(self.options)) if self.options.start == "book" else whose(self.svg, vars(self.options))
        self.unit = typed["unit"]
        for side, length in selected_seams(self.svg, typed["selected_armholes"]).items():
            typed[f"{side}_armhole_seam"] = write_exact(length, typed["unit"], 6)
        tiers = read_count("Tiers", typed["tiers"], 1, MOST_TIERS)
        draft = draft_as_typed(typed, tiers)
        place_sleeve(self.svg, draft, typed, self.options.replace, self.options.replace_other)


def from_the_book(typed: Mapping[str, str]) -> dict[str, str]:
    """Return what was typed with all that is the client's own from the book, found by her name.  Raises :class:`Refused`."""
    from extension.book.clients import client_named  # rarely needed
    from extension.settings import BOOK_FILE, BOOK_SECTION, read_settings

    book = typed["book"].strip() or read_settings().get(BOOK_SECTION, BOOK_FILE, "")
    found = client_named(book, typed["label"]).typed
    return {**typed, **{name: found[name] for name in HERS if name in found}}


if __name__ == "__main__":
    DraftSleeve.run_as_script()

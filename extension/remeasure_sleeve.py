"""Extensions > Tiered Sleeve > Re-measure After Editing…: makes every line and number true again."""
import os
import sys

sys.path.insert(0, os.path.dirname(os.path.dirname(os.path.realpath(__file__))))

import extension.host_check  # isort: skip  # noqa: F401  says what is missing, before anything that needs it

import copy
from argparse import ArgumentParser

import inkex
from lxml import etree

from extension.command import Command
from extension.document.part_names import SLEEVE
from extension.document.parts import find_parts
from extension.document.reading import Lines, find_lines, lines_of, unit_of
from extension.editing.bringing_back import astray, bring_back
from extension.editing.remeasuring import draw_again, mark_trouble, measure_again
from extension.wording.refusals import sentence
from geometry.editing.refinding import Broken
from geometry.refusal import Refused


class RemeasureSleeve(Command):
    """Trims the lines of an edited sleeve to its Seam line again, and trues it."""

    def add_arguments(self, pars: ArgumentParser) -> None:
        pars.add_argument("--tab", default="edited")
        pars.add_argument("--mirror", default="none", choices=("none", "front_to_back", "back_to_front"))
        pars.add_argument("--truing_tolerance", default="1/32 in or 1 mm")
        pars.add_argument("--scaled", default="ask", choices=("ask", "meant", "undo"))

    def work(self) -> None:
        before = copy.deepcopy(self.document) if astray(self.svg) else None
        bring_back(self.svg)
        lines = find_lines(self.svg)
        try:
            now = measure_again(lines, self.options.mirror, self.options.truing_tolerance, self.options.scaled)
        except Broken as broken:
            # She has to see where: the marks are drawn, and the host shows the message beside them.
            if before is not None:  # nothing but the marks may be changed
                lines, self.document = self._as_in(before, lines), before
            mark_trouble(lines, broken)
            inkex.errormsg(sentence(Refused("seam line marked", what=broken.problems[0]), unit_of(lines)))
            return
        draw_again(self.svg, now)

    def _as_in(self, before: etree._ElementTree, lines: Lines) -> Lines:
        """Return the lines of the same sleeve in the document ``before`` anything was brought back."""
        place = find_parts(self.svg, SLEEVE).index(lines.layer)
        return lines_of(before.getroot(), find_parts(before.getroot(), SLEEVE)[place])


if __name__ == "__main__":
    RemeasureSleeve.run_as_script()

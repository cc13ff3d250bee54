"""What every command has in common: how it says no, and that it then leaves the document alone."""
from __future__ import annotations

import io
import os
import sys
from contextlib import redirect_stderr
from typing import IO

import inkex
from inkex.elements import SVG_PARSER
from lxml import etree

from extension.document.part_names import SHEETS
from extension.document.parts import find_parts
from extension.wording import notes
from geometry.measuring.lengths import MARKS, HalfTyped
from geometry.measuring.measurements import StillToType
from geometry.refusal import Refused


def _remove_stale_pages(svg: inkex.SvgDocumentElement) -> None:
    """Take away pages that show a sleeve as it is no more."""
    if find_parts(svg, SHEETS):
        from extension.document.pages import remove_stale  # rarely needed

        remove_stale(svg)


def _no(refusal: Refused, unit: str) -> inkex.AbortExtension:
    """Return what opens the host's message box and stops the command."""
    from extension.wording.refusals import sentence  # rarely needed

    return inkex.AbortExtension(sentence(refusal, unit))


class Command(inkex.EffectExtension):
    """An effect whose :meth:`work` reads everything before it draws anything."""

    #: Her unit, where the options do not name it: set by :meth:`work` once it is known, else that of the sleeve.
    unit = ""

    def load(self, stream: IO) -> etree._ElementTree:
        """Return the document.  One that can't be read to its end is refused: what could be read of it would replace all of hers."""
        try:
            with redirect_stderr(io.StringIO()):  # inkex would say what it finds and go on
                document = super().load(stream)
        except (etree.XMLSyntaxError, AttributeError, KeyError) as error:  # no XML at all, or of another kind
            raise _no(Refused("no drawing"), "cm") from error
        lost = [error for error in SVG_PARSER.error_log if error.domain != etree.ErrorDomains.NAMESPACE]
        if lost:
            raise _no(Refused("drawing half read", problem=lost[0].message), "cm")
        return document

    def effect(self) -> None:
        """Run the command; a refusal becomes the host's message box and nothing is drawn."""
        # Of an element that nobody holds lxml asks inkex anew, whenever it is looked at, of which class it is.
        self._held = tuple(self.svg.iter())
        try:
            self.work()
            _remove_stale_pages(self.svg)
        except StillToType as missing:
            raise inkex.AbortExtension(notes.still_to_type(missing.labels)) from missing
        except HalfTyped as half:
            raise inkex.AbortExtension(notes.half_typed(half.label, half.typed)) from half
        except Refused as refusal:
            raise _no(refusal, self._her_unit()) from refusal

    def _her_unit(self) -> str:
        """Return the unit in which to say no: the one that holds or was chosen, else that of the sleeve as far as it can be told."""
        asked = self.unit or getattr(self.options, "unit", "")
        if asked in MARKS:
            return asked
        from extension.document.reading import find_lines, unit_of  # rarely needed

        try:
            return unit_of(find_lines(self.svg))
        except Refused:
            return "cm"

    @classmethod
    def run_as_script(cls) -> None:
        """Run the command as the host's script, and end the process at once.

        Taking the interpreter down piece by piece, with inkex and numpy in it, would take as long as all
        that we do.  A refusal has left before, by ``SystemExit``.
        """
        cls().run()
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(0)

    def work(self) -> None:
        """Read the options, ask geometry once, draw."""
        raise NotImplementedError

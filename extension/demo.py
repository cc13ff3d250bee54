"""Draws the example sleeve (an invented client, the dialogs' defaults) without the editor.

    uv run python -m extension.demo

Writes build/demo-sleeve.svg and, where Inkscape is installed, a PNG and a PDF of it.
"""
from __future__ import annotations

import io
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

import inkex

from extension.command import Command
from extension.document.extents import drawn_boxes
from extension.document.names import GROUP
from extension.document.scale import affine_of, own_transform, written
from extension.draft_sleeve import DraftSleeve
from extension.drafting.start import EXAMPLE_LABEL
from geometry.affine import Affine
from geometry.box import Box
from geometry.measuring.measurements import EXAMPLE

#: A page on which the example finds room, as a roll of paper has it.
BLANK = '<svg xmlns="http://www.w3.org/2000/svg" width="920mm" height="560mm" viewBox="0 0 920 560"/>'
OUTPUT = Path("build")
PICTURE_WIDTH = 2400  # px
MARGIN = 10.0  # mm, between what is drawn and the page's edge


def drafted(options: Sequence[str] = (), document: str = BLANK) -> str:
    """Return ``document`` with the example drafted in it; ``options`` as on the command line change it."""
    example = [f"--{name}={text}" for name, text in {**EXAMPLE, "label": EXAMPLE_LABEL}.items()]
    return applied(DraftSleeve(), [*example, *options], document)


def applied(command: Command, options: Sequence[str], document: str) -> str:
    """Return what a command makes of ``document``."""
    drawing = io.BytesIO()
    command.parse_arguments(list(options))
    command.options.input_file = io.BytesIO(document.encode())
    command.load_raw()
    command.effect()
    command.save(drawing)
    return drawing.getvalue().decode()


def on_a_page_that_holds_it(document: str) -> str:
    """Return ``document``, one user unit a millimetre as :data:`BLANK` is, with its page around all that is drawn."""
    svg = inkex.load_svg(document).getroot()
    page = Box.united(drawn_boxes(svg)).grown(MARGIN, MARGIN)
    svg.attrib.update({"width": f"{page.width:g}mm", "height": f"{page.height:g}mm", "viewBox": f"0 0 {page.width:g} {page.height:g}"})
    for layer in svg.iterchildren(GROUP):
        layer.attrib["transform"] = written(Affine.moving(-page.left, -page.top) @ affine_of(own_transform(layer)))
    return svg.tostring().decode()


def main() -> None:
    """Write the example sleeve and its pictures into :data:`OUTPUT`, and say where they are."""
    OUTPUT.mkdir(exist_ok=True)
    drawing = OUTPUT / "demo-sleeve.svg"
    drawing.write_text(on_a_page_that_holds_it(drafted()), encoding="utf-8")
    print(f"The drafted sleeve, to open and edit in Inkscape: {drawing.resolve()}")
    if shutil.which("inkscape") is None:
        print("Inkscape is not installed here, so there is no picture of it.")
        return
    for kind, word, extra in (
        ("png", "A picture of it", [f"--export-width={PICTURE_WIDTH}", "--export-background=white"]),
        ("pdf", "Its page as a PDF", []),
    ):
        picture = drawing.with_suffix(f".{kind}")
        subprocess.run(
            ["inkscape", "--export-area-page", *extra, f"--export-filename={picture}", str(drawing)], check=True, capture_output=True
        )
        print(f"{word}: {picture.resolve()}")


if __name__ == "__main__":
    main()

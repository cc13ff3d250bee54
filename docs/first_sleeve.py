"""The guide's "Your first sleeve in ten minutes", done in the real editor's window by keys and mouse, with its pictures.

    uv run python -m docs.first_sleeve [FOLDER]

Every step is checked in the document that the editor then saves.  Needs what :mod:`docs.in_the_window` needs.
All clients are invented.
"""
from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

import inkex
import numpy as np

from docs.in_the_window import Desk, desk
from extension.document.free_room import page_boxes, view_attribute
from extension.document.names import LABEL
from extension.document.parts import find_parts
from extension.document.paths import curve_from_path
from extension.document.scale import transform_within, viewport
from geometry.measuring.measurements import EXAMPLE

PICTURES = Path(__file__).resolve().parent / "pictures"
SCREEN = (1280, 720)

BLANK = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"/>'

#: How far below the last entry of the editor's own menu ours stands: Up from the first goes to the last.
_UP_TO_OURS = 5
#: The commands in our menu, from the top.
_IN_MENU = ("1 Draft Sleeve", "2 Re-measure After Editing", "3 Cutting Plan", "4 Print Pages")
#: The tabs of the first dialog that are used, and the place of the first row, px from the corner of the window; rows
#: are so far apart.
_CLIENT, _BODY, _ARM = (52.0, 32.0), (120.0, 32.0), (183.0, 32.0)
_FIRST_ROW, _APART = (255.0, 77.0), 38.0
_BODY_FIELDS = ["bust_girth", "off_shoulder_girth", "shoulder_width", "cap_height", "upper_arm_girth", "upper_arm_level"]
#: Where on that screen a page is the first thing from the left that is white: left, top, right, bottom.
_DRAWING = (60, 130, 1200, 640)
#: How often Tab is pressed from the name to the tick for Replace.
_TABS_TO_REPLACE = 5
_ARM_FIELDS = ["elbow_girth", "elbow_level", "sleeve_length", "hem_girth", "hand_girth"]


class Seen(NamedTuple):
    """What stands in the saved document: sleeves by label, and how many reports and pages."""

    sleeves: list[str]
    seams: list[float]
    parts: dict[str, int]
    pages: int


class Lesson:
    """One sitting at the editor, from an empty page to printed sheets."""

    def __init__(self, place: Desk, file: Path, pictures: Path) -> None:
        self.place, self.file, self.pictures = place, file, pictures
        place.start("inkscape", str(file))
        self.editor = place.wait_for(f"\\*?{file.name}.*Inkscape")
        place.until(lambda: self.editor in place.managed(), "the frame of the window")
        place.wait_until_still(self.editor)
        self.middle = (0.0, 0.0)  # of the drawing on the screen, once it was looked for

    def _middle_of_the_drawing(self) -> tuple[float, float]:
        """The key 5 shows the page as large as can be; so its middle is that of the drawing, px of the screen."""
        self.to_the_drawing()
        self.place.key("Escape", "5")
        self.place.wait_until_still(self.editor)
        left, top, right, bottom = _DRAWING
        white = (self.place.look()[top:bottom, left:right] == 255).all(axis=2)
        columns = np.flatnonzero(white.sum(axis=0) > (bottom - top) / 2)
        page = np.split(columns, np.flatnonzero(np.diff(columns) > 10) + 1)[0]  # lines part it; right of it there may be dialogs, white too
        rows = np.flatnonzero(white[:, page].mean(axis=1) > 0.5)
        return left + (page[0] + page[-1]) / 2, top + (rows[0] + rows[-1]) / 2

    # --- what hands do --------------------------------------------------------------------------------

    def picture(self, name: str, window: str = "root") -> None:
        self.place.tool("mousemove", 0, 0)  # a pointer that rests on a field brings up its hint
        self.place.picture(self.pictures / f"first-sleeve-{name}.png", window, frame=window != "root")

    def choose(self, command: str, picture: str = "") -> str:
        """Choose a command from the menu by its keys; return its dialog."""
        self.to_the_drawing()
        self.place.key("alt+n", *["Up"] * _UP_TO_OURS, "Right", *["Down"] * _IN_MENU.index(command))
        if picture:
            self.picture(picture)
        self.place.key("Return")
        dialog = self.place.wait_for(command)
        self.place.wait_until_still(dialog)
        return dialog

    def to_the_drawing(self) -> None:
        self.place.tool("windowactivate", "--sync", self.editor)

    def see_all(self) -> None:
        """The key 4 in the drawing."""
        self.to_the_drawing()
        self.place.key("Escape", "4")
        self.place.wait_until_still(self.editor)

    def turn_to(self, dialog: str, tab: tuple[float, float], row: int = 0) -> None:
        """Turn to a page of a dialog, and set the hand on a row of it."""
        self.place.tool("windowactivate", "--sync", dialog)
        self.place.click(*tab, dialog)
        self.place.click(_FIRST_ROW[0], _FIRST_ROW[1] + row * _APART, dialog)

    def fill(self, texts: Sequence[str]) -> None:
        """Write into one field after the other."""
        for text in texts:
            self.place.key("ctrl+a")
            self.place.type(text) if text else self.place.key("BackSpace")
            self.place.key("Tab")

    def measurements(self, dialog: str, typed: dict[str, str]) -> None:
        """Fill in the name and the body."""
        self.turn_to(dialog, _CLIENT, row=1)
        self.fill([typed["label"]])
        for page, names in ((_BODY, _BODY_FIELDS), (_ARM, _ARM_FIELDS)):
            self.turn_to(dialog, page)
            self.fill([typed[name] for name in names])

    def apply(self, dialog: str) -> None:
        self.place.tool("windowactivate", "--sync", dialog)
        self.place.key("alt+a")
        self.place.wait_until_still()

    def close(self, dialog: str, title: str) -> None:
        self.place.tool("windowactivate", "--sync", dialog)
        self.place.key("alt+c")
        self.place.wait_until_gone(title)

    def run_as_it_is(self, command: str, picture: str) -> None:
        """Run a command with what its dialog says, and see what it has drawn."""
        dialog = self.choose(command)
        self.apply(dialog)
        self.place.until(lambda: not self.boxes(), "the end of the work")  # a box asks to wait; a refusal would stay
        self.close(dialog, command)
        self.see_all()
        self.picture(picture)

    def boxes(self) -> list[str]:
        """Return the message boxes that stand on the screen; the editor gives them no name."""
        return [window for window in self.place.managed() if not self.place.tool("getwindowname", window).strip()]

    def dismiss_the_box(self, picture: str) -> None:
        """Take a picture of the message box that stands there, and close it."""
        box = self.boxes()[-1]  # above the one that asks to wait
        self.picture(picture)
        self.place.tool("windowactivate", "--sync", box)
        self.place.key("Escape")
        self.place.until(lambda: not self.boxes(), "the end of the box")
        self.place.wait_until_still()

    # --- what stands there ------------------------------------------------------------------------------

    def saved(self) -> inkex.SvgDocumentElement:
        """Save the document, and read it."""
        self.to_the_drawing()
        before, changed = self.file.stat().st_mtime_ns, bool(self.place.windows(r"\*"))
        self.place.key("ctrl+s")
        if changed:  # the editor writes nothing where all is saved
            self.place.until(lambda: self.file.stat().st_mtime_ns != before, "the saved file")
        self.place.wait_until_still(self.editor)
        return inkex.load_svg(self.file.read_bytes()).getroot()

    def seen(self) -> Seen:
        svg = self.saved()
        kinds = ("truing report", "lay panel", "job sheet panel", "first page layer")
        return Seen(
            sleeves=[layer.get(LABEL) for layer in find_parts(svg, "sleeve")],
            seams=[sum(curve.length() for curve in curve_from_path(seam, inkex.Transform())) for seam in find_parts(svg, "seam line")],
            parts={kind: len(find_parts(svg, kind)) for kind in kinds},
            pages=len(page_boxes(svg)),
        )

    def on_screen(self, svg: inkex.SvgDocumentElement, point: np.ndarray) -> tuple[float, float]:
        """Return where a point (user units) is on the screen."""
        view, zoom = viewport(svg), view_attribute(svg, "zoom")
        x, y = point[0] * view.scale_x + view.shift_x, point[1] * view.scale_y + view.shift_y
        return self.middle[0] + (x - view_attribute(svg, "cx")) * zoom, self.middle[1] + (y - view_attribute(svg, "cy")) * zoom

    def drag_a_node(self, to: tuple[float, float]) -> None:
        """Take the front corner of the first sleeve's hem, the lowest node to the right, and drag it so many px."""
        self.middle = self._middle_of_the_drawing()
        self.see_all()
        svg = self.saved()
        seam = find_parts(svg, "seam line")[0]
        (curve,) = curve_from_path(seam, transform_within(seam, svg))
        corner = int(curve.nodes.sum(axis=1).argmax())
        node = self.on_screen(svg, curve.nodes[corner])
        self.to_the_drawing()
        self.place.key("Escape", "F2")
        halfway = np.array([1, 3, 3, 1]) / 8 @ curve.segments[corner - 1]
        self.place.click(*self.on_screen(svg, halfway))
        self.place.wait_until_still(self.editor)
        self.place.click(*node)  # once more where the first click was taken for another's end
        self.place.wait_until_still(self.editor)
        self.place.drag(node, (node[0] + to[0], node[1] + to[1]))
        self.place.wait_until_still(self.editor)


# --- the lesson -----------------------------------------------------------------------------------------

ADA = {**EXAMPLE, "label": "Ada (invented)", "cap_height": "0"}
BEA = {**ADA, "label": "Bea (invented)", "bust_girth": "40", "upper_arm_girth": "14 1/4"}


def first_sleeve(sitting: Lesson) -> None:
    dialog = sitting.choose("1 Draft Sleeve", picture="menu")
    sitting.measurements(dialog, ADA)
    sitting.turn_to(dialog, _BODY)
    sitting.picture("body", dialog)
    sitting.apply(dialog)
    sitting.place.until(lambda: not sitting.boxes(), "the end of the work")
    sitting.close(dialog, "1 Draft Sleeve")
    sitting.see_all()
    sitting.picture("drawn")
    seen = sitting.seen()
    assert seen.sleeves == ["Sleeve – Ada (invented)"], seen


def slip(sitting: Lesson) -> None:
    """A bust of 365 inches: a box says what was read and what makes sense, and nothing is changed."""
    dialog = sitting.choose("1 Draft Sleeve")
    sitting.turn_to(dialog, _BODY)
    sitting.fill(["365"])
    sitting.apply(dialog)
    sitting.dismiss_the_box(picture="slip")
    sitting.close(dialog, "1 Draft Sleeve")
    assert sitting.seen().sleeves == ["Sleeve – Ada (invented)"]


def wrong_client(sitting: Lesson) -> None:
    """Replace is ticked, and the sleeve there is another client's: a box says both names, and nothing is changed."""
    dialog = sitting.choose("1 Draft Sleeve")
    sitting.measurements(dialog, BEA)
    sitting.turn_to(dialog, _CLIENT, row=1)
    sitting.place.key(*["Tab"] * _TABS_TO_REPLACE, "space")
    sitting.apply(dialog)
    sitting.dismiss_the_box(picture="wrong-client")
    sitting.turn_to(dialog, _CLIENT, row=1)
    sitting.place.key(*["Tab"] * _TABS_TO_REPLACE, "space")
    sitting.close(dialog, "1 Draft Sleeve")
    assert sitting.seen().sleeves == ["Sleeve – Ada (invented)"]


def edit(sitting: Lesson) -> None:
    """A node of the seam line is dragged, and nothing else."""
    sitting.see_all()
    before = sitting.seen()
    sitting.drag_a_node((14.0, 4.0))
    sitting.picture("edited")
    after = sitting.seen()
    assert abs(after.seams[0] - before.seams[0]) > 1.0, (before, after)


def re_measure(sitting: Lesson) -> None:
    sitting.run_as_it_is("2 Re-measure After Editing", "re-measured")
    assert sitting.seen().parts["truing report"] == 1


def plan(sitting: Lesson) -> None:
    sitting.run_as_it_is("3 Cutting Plan", "planned")
    seen = sitting.seen()
    assert seen.parts["lay panel"] == seen.parts["job sheet panel"] == 1


def print_pages(sitting: Lesson) -> None:
    sitting.run_as_it_is("4 Print Pages", "sheets")
    seen = sitting.seen()
    assert seen.parts["first page layer"] == 1, seen
    assert seen.pages > 5, seen


def second_sleeve(sitting: Lesson) -> None:
    """The next client's, beside all that is there by now."""
    dialog = sitting.choose("1 Draft Sleeve")
    sitting.measurements(dialog, BEA)
    sitting.apply(dialog)
    sitting.place.until(lambda: not sitting.boxes(), "the end of the work")
    sitting.close(dialog, "1 Draft Sleeve")
    sitting.see_all()
    sitting.picture("second")
    assert sitting.seen().sleeves == ["Sleeve – Ada (invented)", "Sleeve – Bea (invented)"]


STEPS = (first_sleeve, slip, wrong_client, edit, re_measure, plan, print_pages, second_sleeve)


@contextlib.contextmanager
def lesson(pictures: Path) -> Iterator[Lesson]:
    """Sit down at an empty page; pictures go to that folder, also one of the screen where a step fails."""
    with desk({}, SCREEN) as place:
        file = Path(place.environment["HOME"], "first-sleeve.svg")
        file.write_text(BLANK, encoding="utf-8")
        sitting = Lesson(place, file, pictures)
        try:
            yield sitting
        except BaseException:
            place.picture(pictures / "stopped.png")
            raise


def main(folder: str = "") -> None:
    with lesson(Path(folder) if folder else PICTURES) as sitting:
        for step in STEPS:
            step(sitting)
            print(f"{step.__name__}: {sitting.seen()}", flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])

"""Takes the pictures in docs/pictures from the real editor; run it again when a dialog changes.

    uv run python -m docs.take_pictures [FILENAME ...]

Needs inkscape, xvfb, openbox, xdotool and imagemagick (see .ci/run).  Dialogs are shown on a display of
their own, in a fresh profile, so that they look the same whoever takes them.
"""
from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Callable, NamedTuple

from docs.after_editing_pictures import before_and_after, truing_report
from docs.book_pictures import before_and_after_fitting, nested
from docs.cutting_pictures import flounces, job_sheet, lay_plan
from docs.fit_pictures import fit_chart, matched, shapes
from docs.flat_pictures import flats
from docs.pieces_pictures import band_and_lining, casing_and_lining, facing_and_lining
from docs.printed_pages import side_by_side, small_scale, taped_together, to_project
from docs.seam_pictures import eight_clients
from extension.demo import drafted, on_a_page_that_holds_it
from tests.host import action, editor_environment, lay_out_profile, virtual_display

PICTURES = Path(__file__).resolve().parent / "pictures"

#: Seconds until a window must be there, and for which it must stand still before it is taken.
PATIENCE, STILL = 60.0, 1.0
DRAWING_WIDTH = 1600  # px

BLANK = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"/>'


class Dialog(NamedTuple):
    """The dialog of an effect: the window's title and, where it has tabs, the tab to be seen."""

    filename: str
    effect: str
    title: str
    tab: str = ""


class Drawing(NamedTuple):
    """A drawing, exported by the editor: ``draw()`` returns an SVG document."""

    filename: str
    draw: Callable[[], str]


class Print(NamedTuple):
    """Paper as it comes out of the printer: ``make(file)`` makes the picture."""

    filename: str
    make: Callable[[Path], None]


DIALOGS = [
    Dialog("draft-sleeve-measurements.png", "org.tieredsleeve.draft_sleeve", "1 Draft Sleeve", "body"),
    Dialog("draft-sleeve-arm.png", "org.tieredsleeve.draft_sleeve", "1 Draft Sleeve", "arm"),
    Dialog("draft-sleeve-bodice.png", "org.tieredsleeve.draft_sleeve", "1 Draft Sleeve", "bodice"),
    Dialog("remeasure.png", "org.tieredsleeve.remeasure_sleeve", "2 Re-measure After Editing", "edited"),
    Dialog("cutting-plan-tiers.png", "org.tieredsleeve.cutting_plan", "3 Cutting Plan", "tiers"),
    Dialog("cutting-plan-layers.png", "org.tieredsleeve.cutting_plan", "3 Cutting Plan", "more"),
    Dialog("cutting-plan-net.png", "org.tieredsleeve.cutting_plan", "3 Cutting Plan", "cloth"),
    Dialog("fitting-changes-dialog.png", "org.tieredsleeve.fitting_changes", "Fitting Changes", "widths"),
    Dialog("client-book-dialog.png", "org.tieredsleeve.client_book", "Client Book", "book"),
    Dialog("print-pages-paper.png", "org.tieredsleeve.print_pages", "4 Print Pages", "paper"),
    Dialog("print-pages-what.png", "org.tieredsleeve.print_pages", "4 Print Pages", "what"),
    Dialog("print-pages-projector.png", "org.tieredsleeve.print_pages", "4 Print Pages", "other"),
]
DRAWINGS = [
    Drawing("drafted-sleeve.png", lambda: on_a_page_that_holds_it(drafted())),
    Drawing("matched-armholes.png", matched),
    Drawing("shapes-and-top-edges.png", shapes),
    Drawing("eight-clients.png", eight_clients),
    Drawing("fit-chart.png", fit_chart),
    Drawing("after-editing.png", before_and_after),
    Drawing("truing-report.png", truing_report),
    Drawing("lay-plan.png", lay_plan),
    Drawing("job-sheet.png", job_sheet),
    Drawing("flats.png", flats),
    Drawing("flounce-pieces.png", flounces),
    Drawing("pieces-band.png", band_and_lining),
    Drawing("pieces-casing.png", casing_and_lining),
    Drawing("pieces-facing.png", facing_and_lining),
    Drawing("fitting-changes.png", before_and_after_fitting),
    Drawing("nested-sizes.png", nested),
]


PRINTS = [
    Print("printed-pages.png", side_by_side),
    Print("taped-together.png", taped_together),
    Print("to-project.png", to_project),
    Print("small-scale.png", small_scale),
]


def take_dialog(dialog: Dialog, folder: Path) -> None:
    """Open the effect's dialog in the editor and take its window, frame and all."""
    with tempfile.TemporaryDirectory() as workshop, virtual_display() as display:
        profile, blank = Path(workshop, "profile"), Path(workshop, "blank.svg")
        lay_out_profile(profile, {f"{dialog.effect}.tab": dialog.tab} if dialog.tab else {})
        blank.write_text(BLANK, encoding="utf-8")
        environment = editor_environment(display, profile)
        started = [_start(["openbox"], environment)]
        try:
            # Windows opened before the window manager is ready stay unframed.
            _wait_for(["xdotool", "get_desktop"], environment)
            show = ["inkscape", "--with-gui", f"--actions={action(dialog.effect)}", str(blank)]
            started.append(_start(show, environment))
            search = ["xdotool", "search", "--onlyvisible", "--name", f"^{dialog.title}"]
            window = _wait_for(search, environment).split()[-1]
            # A pointer that rests on a field would bring up its tooltip.
            subprocess.run(["xdotool", "mousemove", "0", "0"], env=environment, check=True)
            subprocess.run(["xdotool", "windowactivate", "--sync", window], env=environment, check=True)
            _wait_until_still(window, environment)
            picture = ["import", "-window", window, "-frame", str(folder / dialog.filename)]
            subprocess.run(picture, env=environment, check=True)
        finally:
            for process in reversed(started):
                os.killpg(process.pid, signal.SIGKILL)
                process.wait()


def take_drawing(drawing: Drawing, folder: Path) -> None:
    """Export a drawing, its page on white."""
    with tempfile.TemporaryDirectory() as workshop:
        source = Path(workshop, "drawing.svg")
        source.write_text(drawing.draw(), encoding="utf-8")
        command = ["inkscape", "--export-area-page", f"--export-width={DRAWING_WIDTH}", "--export-background=white"]
        out = f"--export-filename={folder / drawing.filename}"
        subprocess.run([*command, out, str(source)], env=editor_environment("", Path(workshop)), check=True)


def take_print(printed: Print, folder: Path) -> None:
    """Make a picture of printed paper."""
    printed.make(folder / printed.filename)


def _start(command: list[str], environment: dict[str, str]) -> subprocess.Popen:
    quiet = subprocess.DEVNULL
    return subprocess.Popen(command, env=environment, stdout=quiet, stderr=quiet, start_new_session=True)


def _wait_for(question: list[str], environment: dict[str, str]) -> str:
    """Ask until there is an answer, and return it."""
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until:
        asked = subprocess.run(question, env=environment, capture_output=True, text=True, check=False)
        if asked.returncode == 0 and asked.stdout.strip():
            return asked.stdout
        time.sleep(0.2)
    sys.exit(f"{' '.join(question)} had no answer within {PATIENCE:g} s.")


def _wait_until_still(window: str, environment: dict[str, str]) -> None:
    """Wait until the window has looked and measured the same for a while."""
    until, before, since = time.monotonic() + PATIENCE, b"", time.monotonic()
    while time.monotonic() < until:
        now = subprocess.run(["import", "-window", window, "rgb:-"], env=environment, capture_output=True, check=False).stdout
        if now != before:
            before, since = now, time.monotonic()
        elif time.monotonic() - since >= STILL:
            return
        time.sleep(0.2)
    sys.exit("The window never came to rest.")


def main(wanted: list[str]) -> None:
    PICTURES.mkdir(exist_ok=True)
    for pictures, take in ((DIALOGS, take_dialog), (DRAWINGS, take_drawing), (PRINTS, take_print)):
        for picture in pictures:
            if not wanted or picture.filename in wanted:
                take(picture, PICTURES)
                print(f"Took {PICTURES / picture.filename}")


if __name__ == "__main__":
    main(sys.argv[1:])

"""Dialogs as they stand on a small screen: none higher than 620 px, no row of tabs that scrolls; and the guide's first lesson."""
from __future__ import annotations

import shutil
import subprocess

import pytest
from lxml import etree

from docs.first_sleeve import STEPS, lesson
from docs.in_the_window import desk
from tests.host import REPOSITORY, action, missing

INX = "{http://www.inkscape.org/namespace/inkscape/extension}"
DIALOGS = sorted(path.stem for path in (REPOSITORY / "extension").glob("*.inx") if path.stem != "open_guide")
BLANK = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"/>'

SCREEN = (1280, 720)
#: Where a dialog's second tab stands, px of its window: left, top, width, height.
SECOND_TAB = "60x20+95+20"


@pytest.fixture(autouse=True)
def _a_desk():
    for tool in ("inkscape", "Xvfb", "openbox", "xdotool", "import", "xwininfo", "xprop"):
        if shutil.which(tool) is None:
            missing(tool)


@pytest.mark.parametrize("name", DIALOGS)
def test_a_dialog_fits_a_small_screen_and_shows_all_its_tabs(name, tmp_path):
    root = etree.parse(str(REPOSITORY / "extension" / f"{name}.inx")).getroot()
    pages = len(root.findall(f"./{INX}param/{INX}page"))
    (tmp_path / "blank.svg").write_text(BLANK, encoding="utf-8")
    with desk({}, SCREEN) as place:
        place.start("inkscape", "--with-gui", f"--actions={action(root.findtext(f'{INX}id'))}", str(tmp_path / "blank.svg"))
        dialog = place.wait_for(root.findtext(f"{INX}name"))
        place.tool("mousemove", 0, 0)
        place.wait_until_still(dialog)
        width, height = place.size(dialog)
        assert width <= SCREEN[0], "wider than the screen"
        assert height <= 620
        if pages < 3:
            return
        first = tab_strip(place, dialog)
        place.tool("windowactivate", "--sync", dialog)
        place.key(*["ctrl+Next"] * (pages - 1))
        place.wait_until_still(dialog)
        assert tab_strip(place, dialog) == first, "the row of tabs has scrolled, or the last page was not turned to"


def tab_strip(place, dialog) -> bytes:
    """The second tab as it looks when another one is turned to."""
    taken = subprocess.run(["import", "-window", dialog, "-crop", SECOND_TAB, "rgb:-"], env=place.environment, capture_output=True, check=True)
    return taken.stdout


def test_the_first_lesson_of_the_guide(tmp_path):
    """By keys and mouse, each step checked in the file that the editor saves; see :mod:`docs.first_sleeve`."""
    with lesson(tmp_path) as sitting:
        for step in STEPS:
            step(sitting)
    taken, shown = (sorted(file.name for file in folder.glob("first-sleeve-*.png")) for folder in (tmp_path, REPOSITORY / "docs" / "pictures"))
    assert taken == shown

"""Dialogs as they stand on a small screen: none higher than 620 px, no row of tabs that scrolls; and the guide's first lesson."""
from __future__ import annotations

import shutil

import pytest
from lxml import etree

from docs.first_sleeve import STEPS, lesson
from docs.in_the_window import desk
from tests.host import REPOSITORY, action, missing

INX = "{http://www.inkscape.org/namespace/inkscape/extension}"
DIALOGS = sorted(path.stem for path in (REPOSITORY / "extension").glob("*.inx") if path.stem != "open_guide")
BLANK = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"/>'

SCREEN = (1280, 720)
#: Where a dialog's second tab stands, px of its window: left, top, right, bottom.
SECOND_TAB = (95, 20, 155, 40)


@pytest.fixture(autouse=True)
def _a_desk():
    for tool in ("inkscape", "Xvfb", "openbox", "xdotool", "import", "xwininfo", "xprop"):
        if shutil.which(tool) is None:
            missing(tool)


@pytest.mark.parametrize("name", DIALOGS)
def test_a_dialog_fits_a_small_screen_and_shows_all_its_tabs(name, tmp_path):
    root = etree.parse(str(REPOSITORY / "extension" / f"{name}.inx")).getroot()
    pages = [page.get("name") for page in root.findall(f"./{INX}param/{INX}page")]
    (width, height), first = opened(root, pages[0], tmp_path)
    assert width <= SCREEN[0], "wider than the screen"
    assert height <= 620
    if len(pages) > 2:
        assert opened(root, pages[-1], tmp_path)[1] == first, "the row of tabs has scrolled"


def opened(root, page: str, folder) -> tuple[tuple[int, int], bytes]:
    """Open a dialog on one of its pages; return its size, frame and all, and how its second tab looks, which is turned to by neither."""
    effect = root.findtext(f"{INX}id")
    (folder / "blank.svg").write_text(BLANK, encoding="utf-8")
    with desk({f"{effect}.tab": page}, SCREEN) as place:
        place.start("inkscape", "--with-gui", f"--actions={action(effect)}", str(folder / "blank.svg"))
        dialog = place.wait_for(root.findtext(f"{INX}name"))
        place.tool("mousemove", 0, 0)
        place.wait_until_still(dialog)
        place.wait_until_still()

        def strip() -> bytes:
            x, y, *_ = place.place(dialog)
            left, top, right, bottom = SECOND_TAB
            return place.look()[y + top : y + bottom, x + left : x + right].tobytes()

        place.until(lambda: len(set(strip())) > 3, "the painted row of tabs")  # a busy machine shows windows black at first
        return place.size(dialog), strip()


def test_the_first_lesson_of_the_guide(tmp_path):
    """By keys and mouse, each step checked in the file that the editor saves; see :mod:`docs.first_sleeve`."""
    with lesson(tmp_path) as sitting:
        for step in STEPS:
            step(sitting)
    taken, shown = (sorted(file.name for file in folder.glob("first-sleeve-*.png")) for folder in (tmp_path, REPOSITORY / "docs" / "pictures"))
    assert taken == shown

"""The fonts that the editor letters with in tests: the same few on every machine, whatever it has.

DejaVu Sans, which must be installed, for all but Chinese; for that a font made here, whose every
ideograph fills the em box.  So do those of the fonts that editors fall back to: OpenType 1.9, table
BASE, tag "ideo" (0.88 em above the baseline and 0.12 below are the usual place of that box).
"""
from __future__ import annotations

import atexit
import shutil
import subprocess
import tempfile
from functools import cache
from pathlib import Path

from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen

LATIN = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")

#: What tests write in Chinese and Japanese.
IDEOGRAPHS = "袖子日本"
EM, ABOVE, BELOW = 1000, 880, 120

_CONFIGURATION = """<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">
<fontconfig>
  <dir>{folder}/fonts</dir>
  <cachedir>{folder}/cache</cachedir>
  <match><edit name="family" mode="append_last"><string>DejaVu Sans</string></edit></match>
</fontconfig>
"""


def installed_latin() -> list[Path]:
    """Where DejaVu Sans is on this machine, upright and bold; empty where it is missing."""
    try:
        asked = subprocess.run(["fc-list", "DejaVu Sans", "file"], check=False, capture_output=True, text=True, timeout=60)
    except FileNotFoundError:
        return []
    found = (Path(line.rstrip(": ")) for line in asked.stdout.splitlines())
    return [file for file in found if file.name in LATIN]


@cache
def configuration() -> Path:
    """A configuration of fontconfig that knows these fonts only; gone when this Python ends."""
    folder = Path(tempfile.mkdtemp(prefix="fonts-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    (folder / "fonts").mkdir()
    for file in installed_latin():
        (folder / "fonts" / file.name).symlink_to(file)
    write_ideographs(folder / "fonts" / "ideographs.ttf")
    (folder / "fonts.conf").write_text(_CONFIGURATION.format(folder=folder), encoding="utf-8")
    return folder / "fonts.conf"


def write_ideographs(file: Path) -> None:
    """Write a font of :data:`IDEOGRAPHS`."""
    pen = TTGlyphPen(None)
    pen.moveTo((0, -BELOW))
    for corner in ((0, ABOVE), (EM, ABOVE), (EM, -BELOW)):
        pen.lineTo(corner)
    pen.closePath()
    square = pen.glyph()
    names = {ord(letter): f"uni{ord(letter):04X}" for letter in IDEOGRAPHS}
    glyphs = [".notdef", *names.values()]
    font = FontBuilder(EM, isTTF=True)
    font.setupGlyphOrder(glyphs)
    font.setupCharacterMap(names)
    font.setupGlyf(dict.fromkeys(glyphs, square))
    font.setupHorizontalMetrics(dict.fromkeys(glyphs, (EM, 0)))
    font.setupHorizontalHeader(ascent=ABOVE, descent=-BELOW)
    font.setupNameTable({"familyName": "Ideographs of the tests", "styleName": "Regular"})
    font.setupOS2(sTypoAscender=ABOVE, sTypoDescender=-BELOW, usWinAscent=ABOVE, usWinDescent=BELOW)
    font.setupPost()
    font.save(file)

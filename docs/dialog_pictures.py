"""Draws where to measure, for the dialogs: black on white, so that it reads on a dark theme too.

    uv run python -m docs.dialog_pictures

Writes the PNG files in extension/pictures that the dialogs name.  The figures are our own, from no body and
no book; the words are those of the fields.  Needs inkscape.
"""
from __future__ import annotations

import subprocess
import tempfile
from collections.abc import Iterable
from pathlib import Path

from geometry.measuring.measurements import TABLE

PICTURES = Path(__file__).resolve().parent.parent / "extension" / "pictures"

_STYLE = """
svg { font: 11px "DejaVu Sans", Arial, sans-serif; fill: none; stroke-linejoin: round; stroke-linecap: round }
.body { stroke: #8a8a8a; stroke-width: 1.4; fill: #f1f1f1 }
.tape { stroke: #000; stroke-width: 2 }
.behind { stroke: #000; stroke-width: 1.6; stroke-dasharray: 4 3.5 }
.level { stroke: #000; stroke-width: 0.9 }
.thin { stroke: #000; stroke-width: 0.6; stroke-dasharray: 1.5 2 }
.leader { stroke: #555; stroke-width: 0.7 }
text { fill: #000; stroke: none }
"""
_ARROW = 4.0  # px


def _tape(data: str, kind: str = "tape") -> str:
    return f'<path class="{kind}" d="{data}"/>'


def _word(name: str, x: float, y: float, side: str = "start") -> str:
    """The label of a measurement; words of our own where no measurement has the name."""
    word = TABLE[name].label if name in TABLE else name
    return f'<text x="{x}" y="{y}" style="text-anchor:{side}">{word}</text>'


def _named(name: str, x: float, y: float, to_x: float, to_y: float, side: str = "start") -> str:
    """A word and a leader from it to the line that it names."""
    start = x - 3 if side == "start" else x + 3
    return _word(name, x, y + 4, side) + _tape(f"M {start} {y} L {to_x} {to_y}", "leader")


def _level(x: float, top: float, bottom: float) -> str:
    """A length down the arm, with an arrowhead at each end."""
    heads = [f"M {x - _ARROW / 2} {y + s * _ARROW} L {x} {y} L {x + _ARROW / 2} {y + s * _ARROW}" for y, s in ((top, 1), (bottom, -1))]
    return _tape(f"M {x} {top} V {bottom} " + " ".join(heads), "level")


def _mirrored(drawn: str, about: float) -> str:
    return f'{drawn}<g transform="matrix(-1 0 0 1 {2 * about} 0)">{drawn}</g>'


def _moved(drawn: list[str], right: float) -> str:
    return f'<g transform="translate({right} 0)">' + "\n".join(drawn) + "</g>"


def body() -> tuple[int, int, str]:
    """A figure from the front, arms hanging: width and height in px, and what is drawn."""
    middle = 92.0
    arm = (
        '<path class="body" d="M 54 80 C 42 84 36 98 34 116 C 32 142 28 166 24 190 C 20 214 14 232 12 250 C 10 262 14 272 19 273'
        ' C 25 273 27 262 28 250 C 34 230 42 210 45 190 C 48 170 56 150 60 122 Z"/>'
    )
    trunk = (
        '<path class="body" d="M 84 52 C 84 62 82 67 75 70 L 54 79 C 56 98 60 108 60 122 C 57 136 62 148 66 160 C 69 178 62 200 54 226'
        ' C 52 244 52 262 53 288 H 131 C 132 262 132 244 130 226 C 122 200 115 178 118 160 C 122 148 127 136 124 122 C 124 108 128 98 130 79'
        ' L 109 70 C 102 67 100 62 100 52 Z"/>'
    )
    drawn = [
        _mirrored(arm, middle), trunk, '<ellipse class="body" cx="92" cy="32" rx="16" ry="22"/>',
        _tape("M 54 79 C 70 66 114 66 130 79", "behind"), _named("shoulder_width", 172, 58, 118, 71), _word("across the back", 172, 74),
        _tape("M 38 99 C 66 110 118 110 146 99"), _named("off_shoulder_girth", 172, 96, 144, 99.5), _word("both arms in it", 172, 112),
        _tape("M 146 99 H 166 M 124 127 H 166", "thin"), _level(161, 99, 127),
        _named("cap_height", 172, 134, 161, 119), _word("down to the bodice’s", 172, 150), _word("underarm", 172, 163),
        _tape("M 58 134 C 74 141 110 141 126 134"), _named("bust_girth", 172, 184, 112, 139),
        _tape("M 30 146 C 36 151 46 151 52 146"), _named("upper_arm_girth", 172, 206, 48, 149.5),
        _tape("M 8 99 H 38 M 8 146 H 30", "thin"), _level(14, 99, 146),
        _word("upper_arm_level", 8, 127, "end"),
    ]  # fmt: skip
    return 396, 300, _moved(drawn, 92)


def arm() -> tuple[int, int, str]:
    """An arm that hangs, and how far down it each level lies from the top edge of the sleeve."""
    top = 44
    limb = (
        '<path class="body" d="M 96 8 C 116 10 128 24 132 48 C 136 76 136 100 133 126 C 131 150 134 176 128 204 C 124 226 122 240 121 254'
        ' C 124 268 122 290 112 302 C 106 308 102 302 102 292 L 98 278 C 97 268 98 262 99 254 C 98 232 90 210 89 184 C 89 164 90 150 90 132'
        ' C 88 110 86 92 84 76 L 60 60 C 60 40 70 16 96 8 Z"/>'
    )
    #: How low each level is, the edge of the arm there, and where its arrow and its word stand.
    levels = {
        "upper_arm_level": (92, 136, 176, 66), "elbow_level": (150, 132, 196, 112), "wrist_level": (252, 121, 216, 240),
        "sleeve_length": (224, 124, 236, 180),
    }  # fmt: skip
    drawn = [
        limb,
        _tape(f"M 66 {top + 2} C 84 {top + 8} 110 {top + 8} 132 {top}"), _named("Top edge", 56, 30, 72, top + 3, "end"),
        _tape("M 86 92 C 100 99 124 99 136 92"), _named("Upper arm", 56, 92, 87, 93, "end"),
        _tape("M 90 150 C 104 157 122 157 132 150"), _named("elbow_girth", 56, 140, 91, 151, "end"), _word("arm bent", 56, 160, "end"),
        _tape("M 94 224 C 102 229 116 229 124 224"), _named("hem_girth", 66, 214, 95, 225, "end"),
        _tape("M 99 252 C 104 256 116 256 121 252"), _named("wrist_girth", 72, 252, 100, 253, "end"),
        _tape("M 100 284 C 106 289 116 289 121 283"), _named("hand_girth", 72, 290, 101, 285, "end"),
        _tape(f"M 132 {top} H 240", "thin"),
    ]  # fmt: skip
    for name, (y, edge, x, word_y) in levels.items():
        drawn += [_tape(f"M {edge} {y} H {x + 4}", "thin"), _level(x, top, y), _named(name, 254, word_y, x, word_y)]
    return 366, 320, _moved(drawn, 20)


def bodice() -> tuple[int, int, str]:
    """Front and back of an off-shoulder bodice, with the seams to which the sleeve is sewn."""
    drawn: list[str] = []
    for top, side, depth in ((22, "front", 11), (176, "back", 7)):
        armhole = f"M 40 {top} C 44 {top + 24} 36 {top + 44 - depth} 20 {top + 48}"
        piece = (
            f"M 40 {top} C 70 {top + 5} 130 {top + 5} 160 {top} C 156 {top + 24} 164 {top + 44 - depth} 180 {top + 48}"
            f" L 170 {top + 124} H 30 L 20 {top + 48} C 36 {top + 44 - depth} 44 {top + 24} 40 {top} Z"
        )
        drawn += [
            f'<path class="body" d="{piece}"/>', _mirrored(_tape(armhole), 100),
            _tape(f"M 40 {top} C 70 {top + 5} 130 {top + 5} 160 {top}", "behind"),
            _named(f"{side}_body_edge", 196, top + 2, 150, top + 1.5), _named(f"{side}_armhole_seam", 196, top + 34, 163, top + 32),
            _named("Underarm point", 196, top + 62, 181, top + 49),
            _word(side.capitalize(), 100, top + 84, "middle"),
        ]  # fmt: skip
    return 336, 312, _moved(drawn, 0)


DRAWN = {"body": body, "arm": arm, "bodice": bodice}


def document(width: int, height: int, drawn: str) -> str:
    """Return one picture as an SVG document, on a white card."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}"><style>{_STYLE}</style>'
        f'<rect width="{width}" height="{height}" rx="4" style="fill:#fff"/>{drawn}</svg>'
    )


def main(wanted: Iterable[str] = DRAWN) -> None:
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as workshop:
        for name in wanted:
            source, picture = Path(workshop, f"{name}.svg"), PICTURES / f"{name}.png"
            source.write_text(document(*DRAWN[name]()), encoding="utf-8")
            subprocess.run(["inkscape", f"--export-filename={picture}", str(source)], check=True, capture_output=True)
            print(f"Drew {picture}")


if __name__ == "__main__":
    main()

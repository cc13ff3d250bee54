"""One case of the campaign: a drafted sleeve, edits drawn by lot, the commands, and the verdict."""
from __future__ import annotations

import contextlib
import copy
import io
import traceback
from collections.abc import Iterator
from functools import cache
from random import Random
from typing import NamedTuple

import inkex
import numpy as np
from lxml import etree

from extension.command import Command
from extension.cutting_plan import CuttingPlan
from extension.draft_sleeve import DraftSleeve
from extension.drafting.start import EXAMPLE_LABEL
from extension.print_pages import PrintPages
from extension.remeasure_sleeve import RemeasureSleeve
from geometry.measuring.measurements import EXAMPLE
from tests.campaign import edits
from tests.campaign.judge import along, judge, parts, path_of, words_of
from tests.campaign.line import EDGES, OWN, Line
from tests.sleeve_edits import cubics

A4 = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297">'
    '<rect id="hers" x="10" y="10" width="40" height="30"/></svg>'
)

#: Invented sleeves, all lengths in cm.
SLEEVES = {
    "default": {},
    "short": {"length_style": "short", "tiers": "3"},
    "short hem at the elbow": {"length_style": "elbow", "tiers": "4"},
    "flared": {"shape": "flared", "flare_width": "46 cm", "hand_girth": "0"},
    "matched": {"front_armhole_seam": "17 cm", "back_armhole_seam": "17.5 cm", "armhole_ease": "1 cm"},
    "raised": {"top_edge_raise": "12 mm", "hem_girth": "30 cm"},
    "front wider": {"front_share": "54", "tiers": "8"},
    "tiers along the armhole": {"tier_layout": "following", "tiers": "7"},
    "tiers aslant": {"tier_layout": "aslant", "tiers": "5"},
    "tiers on the lower part": {"tier_part": "from 15 cm to 40 cm", "tiers": "4"},
    "a child": {"wearer": "child", "bust_girth": "60 cm", "off_shoulder_girth": "68 cm", "shoulder_width": "28 cm", "upper_arm_girth": "18 cm",
                "upper_arm_level": "9 cm", "elbow_girth": "17 cm", "elbow_level": "15 cm", "sleeve_length": "24 cm", "hem_girth": "15 cm",
                "hand_girth": "14 cm", "tiers": "4"},
    "one tier": {"tiers": "1", "elbow_girth": "0", "elbow_level": "0", "sleeve_length": "30 cm", "hem_girth": "29 cm", "hand_girth": "0"},
}  # fmt: skip


#: How many of a hundred cases have a line put elsewhere, or lines in another order.
PUT_ELSEWHERE = 0.15


class Answer(NamedTuple):
    """What a run gave: the new document ("" where nothing changed), what a box would say, and a traceback, if any."""

    text: str
    said: str
    crashed: str

    @property
    def refused(self) -> bool:
        return bool(self.said)


def run(command: type[Command], document: str, **options: object) -> Answer:
    """Run a command in this process as the editor would."""
    effect, out, said = command(), io.BytesIO(), io.StringIO()
    try:
        with contextlib.redirect_stderr(said):
            effect.parse_arguments([f"--{name}={value}" for name, value in options.items()])
            effect.options.input_file, effect.options.output = io.BytesIO(document.encode()), out
            effect.load_raw()
            effect.save_raw(effect.effect())
    except inkex.AbortExtension as refusal:
        return Answer("", str(refusal), "")
    except Exception:  # noqa: BLE001 - whatever it is, it is what the campaign looks for
        return Answer("", "", traceback.format_exc())
    return Answer(out.getvalue().decode(), said.getvalue().strip(), "")


@cache
def drafted(name: str) -> str:
    answer = run(DraftSleeve, A4, **{"unit": "cm", "label": EXAMPLE_LABEL, **EXAMPLE, **SLEEVES[name]})
    assert not answer.said and not answer.crashed, (name, answer)
    return answer.text


def parsed(text: str):
    return etree.fromstring(text.encode(), parser=inkex.elements.SVG_PARSER)


def line_of(root) -> Line:
    """The Seam line of a drawing just drafted, with its corners as the drawing tells them."""
    (seam,) = parts(root, "seam line")
    told = [[*map(float, pair.split(","))] for pair in seam.get(f"{OWN}corners").split()]
    return Line(cubics(seam), np.array(told))


class Case(NamedTuple):
    """A document as she leaves it, the truth about its Seam line, and what was done."""

    sleeve: str
    document: str
    line: Line
    done: tuple[str, ...]
    resized: bool
    flipped: bool
    tiers: int


def make(seed: int) -> Case:
    """The case of a seed: the same at any time."""
    lot = Random(seed)
    name = lot.choice(list(SLEEVES))
    root = parsed(drafted(name))
    line, done = edits.edited(line_of(root), lot)
    if done:
        (seam,) = parts(root, "seam line")
        seam.set("d", _as_written(line, lot))
    others = [lot.choice(edits.OTHERS) for _ in range(lot.choice([0, 0, 1, 1, 2]))]
    whole = [lot.choice(edits.WHOLE)] if lot.random() < 0.25 else []
    resized = lot.random() < 0.08
    flipped = not resized and lot.random() < 0.02
    ends = ([lot.choice(edits.SIZES)] if resized else []) + ([edits.mirrored_over] if flipped else [])
    if edits.seam_broken_apart in others and edits.names_lost in whole:
        whole = []
    further = Random(f"{seed} put elsewhere")  # a lot of its own: cases that were drawn before there was this kind stay as they were
    elsewhere = [further.choice(edits.ELSEWHERE)] if further.random() < PUT_ELSEWHERE else []
    for edit in (*others, *whole, *ends):
        edit(root, lot)
        done.append(edit.__name__)
    for edit in elsewhere:
        edit(root, further)
        done.append(edit.__name__)
    tiers = sum(e.get("d").upper().count("M") for e in root.iter() if _is_tier(e))
    return Case(name, etree.tostring(root).decode(), line, tuple(done), resized, flipped, tiers)


def _is_tier(element) -> bool:
    named = (element.get(edits.LABEL) or "").startswith("Tier line ")
    nameless = element.get(f"{OWN}part") is None and element.getparent() is not None and element.getparent().get(f"{OWN}part") == "tier layer"
    return element.get("d") is not None and (element.get(f"{OWN}part") == "tier line" or named or nameless)


def _as_written(line: Line, lot: Random) -> str:
    """The data begun anywhere, either way round."""
    turned = line.copy()
    turned.segments = np.roll(turned.segments, -lot.randrange(len(turned.segments)), axis=0)
    if lot.random() < 0.3:
        turned.segments = turned.segments[::-1, ::-1]
    return turned.data()


#: What holds for these sleeves by default, which are drafted in centimetres: 1.5 cm around, 3 cm at the hem.
ALLOWANCES = {**dict.fromkeys(EDGES, 15.0), "hem": 30.0}


class Verdict(NamedTuple):
    """What came of a case: "true", "asked" or "wrong", and the complaints."""

    outcome: str
    complaints: tuple[str, ...]
    said: str


def try_case(case: Case) -> Verdict:
    """Run every command on a case and judge what they leave."""
    complaints: list[str] = []
    answer = run(RemeasureSleeve, case.document)
    others = {"Cutting Plan": run(CuttingPlan, case.document), "Print Pages": run(PrintPages, case.document, unit="cm")}
    for name, other in (("Re-measure", answer), *others.items()):
        if other.crashed:
            complaints.append(f"{name}: traceback {other.crashed.strip().splitlines()[-1]}")
    if answer.crashed:
        return Verdict("wrong", tuple(complaints), "")
    if answer.refused:
        complaints += _after_asking(case, answer, others)
        complaints += _after_answering(case, answer)
        return Verdict("wrong" if complaints else "asked", tuple(complaints), answer.said)
    if case.resized:
        complaints.append("Re-measure: says nothing of another size")
    if case.line.lost:
        complaints.append(f"Re-measure: guesses at a corner: {sorted(case.line.lost)}")
        return Verdict("wrong", tuple(complaints), "")
    complaints += _after_measuring(case, answer._replace(text=answer.text or case.document))
    return Verdict("wrong" if complaints else "true", tuple(complaints), "")


def _after_asking(case: Case, answer: Answer, others: dict[str, Answer]) -> Iterator[str]:
    """Complain where another command goes on, and where nothing is in doubt."""
    for name, other in others.items():
        if not other.refused and not other.crashed:
            yield f"{name}: goes on where Re-measure asks"
    if case.line.plain and not case.resized and not case.flipped:
        yield f"Re-measure: asks after plain moves of nodes: {answer.said[:90]}"


def _after_answering(case: Case, answer: Answer) -> Iterator[str]:
    """Answer as she would who knows what she did, and complain where the answer leaves anything untrue."""
    document, choices = case.document, [{}]
    if case.resized or case.flipped:
        choices = [{"scaled": "undo"}, {"scaled": "meant"}]
    for choice in choices:
        answered = answer if not choice else run(RemeasureSleeve, document, **choice)
        if answered.text and answered.refused and not case.line.lost:  # rings ask for corners
            answered = run(RemeasureSleeve, _rings_deleted(answered.text, case.line), **choice)
        if answered.crashed:
            yield f"answered {choice}: traceback {answered.crashed.strip().splitlines()[-1]}"
        elif not answered.refused:
            complaints = _after_measuring(case, answered._replace(text=answered.text or document), judged="meant" not in choice.values())
            yield from (f"answered {choice}: {complaint}" for complaint in complaints)


def _rings_deleted(document: str, line: Line) -> str:
    """The rings deleted that are at none of the true corners, told from where the rings and the Seam line are on the drawing."""
    root = parsed(document)
    (layer,) = parts(root, "sleeve") or [root]
    seams, corners = parts(root, "seam line"), line.corners()
    seam_at = np.linalg.inv(edits.on_page(layer)) @ edits.on_page(seams[0]) if seams else np.eye(3)
    corners = corners @ seam_at[:2, :2].T + seam_at[:2, 2]
    for ring in [e for e in parts(root, "truing mark") if e.get(f"{OWN}asks")]:
        points = along(path_of(ring, layer), 8)
        middle = (points.min(axis=0) + points.max(axis=0)) / 2
        if np.min(np.hypot(*(corners - middle).T)) > 1.0:
            ring.getparent().remove(ring)
    return etree.tostring(root).decode()


def _after_measuring(case: Case, answer: Answer, judged: bool = True) -> list[str]:
    """Complain about what stands in the drawing, a second run, and what the other commands make of it."""
    complaints: list[str] = []
    root = etree.fromstring(answer.text.encode())
    complaints += judge(root, case.line, ALLOWANCES) if judged else []
    lines = len(parts(root, "tier line"))
    if lines != case.tiers:
        complaints.append(f"tiers: {case.tiers} were drawn, {lines} are left")
    again = run(RemeasureSleeve, answer.text)
    if again.crashed or again.said or again.text:
        complaints.append(f"second run: writes again {again.crashed[-80:]}{again.said[:80]} {_difference(answer.text, again.text)}")
    if not any(e.get("id") == "hers" for e in root.iter()):
        complaints.append("hers: her rectangle is gone")
    faulted = faulted_in_report(root)
    for name, command, options in (("Cutting Plan", CuttingPlan, {}), ("Print Pages", PrintPages, {"unit": "cm"})):
        then = run(command, answer.text, **options)
        if then.crashed:
            complaints.append(f"{name} after: traceback {then.crashed.strip().splitlines()[-1]}")
        elif then.text and ("Put right first" in then.text) != bool(faulted):
            complaints.append(f"{name} after: says nothing of {faulted}" if faulted else f"{name} after: puts right what is not faulted")
    return complaints


#: What is told again before cloth is cut: the report's rows about seams, ease and hem.
_TOLD_AGAIN = ("Top edge against", "Underarm seams", "Hem over the hand", "Last tier", "level", "armhole seam against")


def faulted_in_report(root) -> list[str]:
    """The titles of the report's rows with the verdict “put right”, of those that are told again."""
    faulted = []
    for panel in parts(root, "truing report"):
        rows = ["".join(words_of(text)) for text in panel.iter("{http://www.w3.org/2000/svg}text")]
        faulted += [title for title, verdict in zip(rows, rows[1:]) if verdict == "put right" and any(t in title for t in _TOLD_AGAIN)]
    return faulted


def _difference(one: str, other: str) -> str:
    if not other:
        return ""
    a, b = etree.fromstring(one.encode()), etree.fromstring(other.encode())
    for x, y in zip(a.iter(), b.iter()):
        if x.tag != y.tag or dict(x.attrib) != dict(y.attrib) or (x.text or "") != (y.text or ""):
            return f"at {x.get(f'{OWN}part')} {dict(set(y.attrib.items()) - set(x.attrib.items()))} {x.text!r:.60} {y.text!r:.60}"
    return "more elements" if len(list(b.iter())) != len(list(a.iter())) else "in its text alone"


__all__ = ["EDGES", "Case", "Verdict", "copy", "make", "try_case", "words_of"]

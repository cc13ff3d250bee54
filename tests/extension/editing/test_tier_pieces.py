"""Tier lines combined, broken apart, broken at a node or crossing in one path: lengths by svgpathtools, ends by shapely."""
from __future__ import annotations

import io

import inkex
import pytest
from lxml import etree
from shapely.geometry import LineString, Polygon
from svgpathtools import parse_path

from extension.cutting_plan import CuttingPlan
from extension.print_pages import PrintPages
from extension.remeasure_sleeve import RemeasureSleeve
from tests import sleeve_measures as measures
from tests.conftest import run_script
from tests.host import REPOSITORY
from tests.sleeve_edits import OWN, SVG, part, parts, tier

A4 = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"/>'
LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"

#: Millimetres: what is drawn is rounded to four decimals.
CLOSE = 0.01


@pytest.fixture(scope="module")
def drafted(tmp_path_factory) -> str:
    document = tmp_path_factory.mktemp("drafted") / "document.svg"
    document.write_text(A4, encoding="utf-8")
    outcome = run_script(REPOSITORY / "extension" / "draft_sleeve.py", {"unit": "cm"}, document)
    assert outcome.stderr == ""
    return outcome.stdout


@pytest.fixture
def run(tmp_path, capsys):
    def it(command, svg_text: str) -> tuple[str, str]:
        """Return the document that a command leaves (empty: unchanged) and what a box would say."""
        document, out = tmp_path / "document.svg", io.BytesIO()
        document.write_text(svg_text, encoding="utf-8")
        try:
            command().run([str(document)], output=out)
        except SystemExit as stop:
            assert stop.code, "only a refusal ends the script"
        return out.getvalue().decode(), capsys.readouterr().err

    return it


def edited(svg_text: str, change) -> str:
    root = etree.fromstring(svg_text.encode(), parser=inkex.elements.SVG_PARSER)
    change(root)
    return etree.tostring(root).decode()


def bare(element, label=None) -> None:
    """Take our marks and the name off, as Path > Combine and Break Apart do; Combine leaves the name of one."""
    for name in [n for n in element.attrib if n.startswith(OWN) or n in ("id", LABEL)]:
        del element.attrib[name]
    if label:
        element.set(LABEL, label)


def combine(root, numbers) -> None:
    """Path > Combine of the topmost in the stack first, as the editor writes it."""
    kept, *others = (tier(root, number) for number in sorted(numbers, reverse=True))
    kept.set("d", " ".join(e.get("d") for e in (kept, *others)))
    bare(kept, kept.get(LABEL))
    for other in others:
        other.getparent().remove(other)


def lengths(root) -> dict:
    """The length of each tier line by its number, by svgpathtools; its stored length is the same."""
    found = {float(e.get(f"{OWN}number")): parse_path(e.get("d")).length() for e in parts(root, "tier line")}
    for element in parts(root, "tier line"):
        assert float(element.get(f"{OWN}length-mm")) == pytest.approx(found[float(element.get(f"{OWN}number"))], abs=CLOSE)
        assert element.get(LABEL) == f"Tier line {float(element.get(f'{OWN}number')):.0f}"
    return found


def report(root) -> str:
    return " ".join("".join(e.itertext()) for e in part(root, "truing report").iter(f"{SVG}tspan"))


def assert_settled(run, text: str):
    assert run(RemeasureSleeve, text) == ("", "")


@pytest.mark.parametrize("numbers", [(2, 3), (2, 3, 4), (1, 3, 6), (1, 2, 3, 4, 5, 6)], ids=str)
def test_combined_lines_keep_their_numbers(numbers, drafted, run):
    was = lengths(etree.fromstring(drafted.encode()))
    text, said = run(RemeasureSleeve, edited(drafted, lambda root: combine(root, numbers)))
    assert said == "" and lengths(etree.fromstring(text.encode())) == pytest.approx(was, abs=CLOSE)
    assert_settled(run, text)


def test_two_combined_pairs_and_a_deleted_line(drafted, run):
    was = lengths(etree.fromstring(drafted.encode()))

    def change(root):
        combine(root, (2, 5))
        combine(root, (3, 6))
        tier(root, 4).getparent().remove(tier(root, 4))

    text, said = run(RemeasureSleeve, edited(drafted, change))
    root = etree.fromstring(text.encode())
    assert said == "" and lengths(root) == pytest.approx({n: length for n, length in was.items() if n != 4}, abs=CLOSE)
    assert "Deleted, and left so: Tier line 4" in report(root).replace("  ", " ")
    assert_settled(run, text)


def test_lines_without_names_are_found_by_where_they_lie_and_named(drafted, run):
    was = lengths(etree.fromstring(drafted.encode()))

    def change(root):
        for element in parts(root, "tier line"):
            bare(element)
        hers = etree.SubElement(part(root, "tier layer"), f"{SVG}path")
        hers.set("d", "M 0 60 L 12 60")

    text, said = run(RemeasureSleeve, edited(drafted, change))
    root = etree.fromstring(text.encode())
    assert said == "" and lengths(root) == pytest.approx(was, abs=CLOSE)
    assert "found by where they lie" in report(root)
    assert sum(e.get("d") == "M 0 60 L 12 60" and e.get(f"{OWN}part") is None for e in root.iter(f"{SVG}path")) == 1
    assert_settled(run, text)


def test_more_lines_without_names_than_numbers_are_asked_about(drafted, run):
    def change(root):
        bare(tier(root, 3))
        hers = etree.SubElement(part(root, "tier layer"), f"{SVG}path")
        hers.set("d", "M -160 120 L 160 120")

    text, said = run(RemeasureSleeve, edited(drafted, change))
    assert "2 lines without a name" in said and "more than are missing there (1)" in said
    assert len(parts(etree.fromstring(text.encode()), "truing mark")) >= 2


def in_two(root, number, gap=0.0, bend=30.0) -> LineString:
    """Break a bent tier line at its middle node; return the line as it was, with the gap straight across."""
    element = tier(root, number)
    path = parse_path(element.get("d"))
    a, b = path.start, path.end
    middle = (a + b) / 2 + bend * 1j
    element.set("d", f"M {a.real} {a.imag} L {middle.real} {middle.imag} M {middle.real + gap} {middle.imag} L {b.real} {b.imag}")
    return LineString([(z.real, z.imag) for z in (a, middle, middle + gap, b)])


@pytest.mark.parametrize("gap", [0.0, 0.4, 12.0])
def test_a_line_broken_at_a_node_is_whole_again(gap, drafted, run):
    kept = {}
    text, said = run(RemeasureSleeve, edited(drafted, lambda root: kept.update(line=in_two(root, 4, gap))))
    root = etree.fromstring(text.encode())
    area = Polygon(measures.points(parse_path(part(root, "seam line").get("d"))))
    true = kept["line"].intersection(area).length
    assert said == "" and len(parts(root, "tier line")) == 6
    assert lengths(root)[4] == pytest.approx(true, abs=CLOSE if gap in (0.0, 12.0) else 0.5)
    assert ("lay in pieces" in report(root)) == (gap == 12.0)
    assert_settled(run, text)


def test_a_plan_of_a_line_with_a_gap_waits_until_she_has_seen_it_joined(drafted, run):
    text, said = run(CuttingPlan, edited(drafted, lambda root: in_two(root, 4, 12.0)))
    assert text == "" and "Tier line 4 lies in pieces" in said


def test_two_crossing_lines_in_one_path_are_both_kept(drafted, run):
    def change(root):
        path = parse_path(tier(root, 4).get("d"))
        a, b = path.start, path.end
        tier(root, 4).set("d", f"{tier(root, 4).get('d')} M {a.real} {a.imag + 30} L {b.real} {b.imag - 30}")

    text, said = run(RemeasureSleeve, edited(drafted, change))
    root = etree.fromstring(text.encode())
    assert said == "" and len(lengths(root)) == 7 and "cross" in report(root)
    assert_settled(run, text)


def test_a_line_that_runs_down_the_sleeve_is_refused_by_the_plan(drafted, run):
    text, said = run(RemeasureSleeve, edited(drafted, lambda root: tier(root, 4).set("d", "M 0 150 L 0 300")))
    assert said == "" and "does not run from one side seam to the other" in report(etree.fromstring(text.encode()))
    text, said = run(CuttingPlan, text)
    assert text == "" and "Tier line 4 does not run from one side of the sleeve to the other" in said


@pytest.mark.parametrize("how", ["clip-path", "mask", "style"])
@pytest.mark.parametrize("name", ["cutting line", "seam line", "tier layer"])
def test_a_clip_over_the_pattern_is_named_before_it_is_printed(how, name, drafted, run):
    """SVG 2 names both the attributes and the properties clip-path and mask (CSS Masking Module Level 1)."""

    def change(root):
        part(root, name).set(how, "stroke:#000; clip-path: url(#c)" if how == "style" else "url(#c)")

    text, said = run(PrintPages, edited(drafted, change))
    assert text == "" and "Release Clip" in said and {"tier layer": "Tier line 4"}.get(name, name.capitalize()) in said
    text, said = run(PrintPages, drafted)
    assert text and said == ""

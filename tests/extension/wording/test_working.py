"""The lines of the working are read back as a pupil would, and recomputed with Python's Fraction."""
from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from lxml import etree, html

from extension.cutting_plan import CuttingPlan
from extension.demo import applied, drafted
from extension.fitting_changes import FittingChanges
from extension.remeasure_sleeve import RemeasureSleeve
from extension.wording.working import written
from geometry.measuring.sums import Sum, Term, plain
from tests import sleeve_measures as measures

NUMBER = r"−?(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)"
#: What four decimals hide of each number that is written with them, and of what it is taken times.
HIDDEN = Fraction(1, 10_000)


def number(text: str) -> Fraction:
    sign, text = (-1, text[1:]) if text.startswith("−") else (1, text)
    return sign * sum(Fraction(part) for part in text.split())


def recomputed(sum_: str) -> Fraction:
    """Words are left out; what remains is a sum of numbers, signs and brackets, done by Python with Fractions."""
    bare = re.sub(r"[A-Za-z][\w-]*(?: [A-Za-z][\w-]*)*", " ", re.sub(r"for \d+ joins? ", "", sum_))
    bare = re.sub(r"\btier \d+\b", "", bare)
    code = re.sub(r"(?<![\d/.])(\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)", lambda found: f"number('{found[1]}')", bare)
    return eval(code.replace("−", "-").replace("×", "*").replace("÷", "/"), {"number": number})


def check(line: str, unit: str) -> tuple[str, Fraction]:
    """Recompute one line, and return what it is of and what came out, in her unit."""
    match = re.fullmatch(rf"([^:]+): (.*) = ({NUMBER})( in| cm)?(?:, (say|in a shop) ({NUMBER}) (?:in|cm)(?: \(exact ({NUMBER})\))?)?", line)
    assert match, line
    of, sum_, result, _, how, said, exact = match.groups()
    again = recomputed(sum_)
    close = HIDDEN * (2 + sum(abs(number(each)) for each in re.findall(NUMBER, sum_) if "×" in sum_))
    money = of.startswith(("Price", "Work", "Overhead", "Margin", "Deposit"))
    assert abs(again - number(result)) <= (Fraction(1, 100) if money else close), line
    if exact:
        assert abs(number(exact) - again) <= close, line
    if how == "say":
        mark = Fraction(1, 8) if unit == "in" else Fraction(1, 10)
        assert (number(said) / mark).denominator == 1, line
        assert abs(number(said) - number(result)) <= (mark if of.startswith(("Cut ", "Strip")) else mark / 2) + close, line
        if of.startswith(("Cut ", "Strip")):
            assert number(said) >= number(result) - close, line
    if how == "in a shop":
        sold = Fraction(9, 2) if unit == "in" else Fraction(10)
        assert (number(said) / sold).denominator == 1 and number(result) <= number(said) < number(result) + sold + close, line
    return of, number(result)


def lines_of(drawing: str, part: str = "notes layer") -> list[str]:
    """The lines of the working in a panel, rows put together again."""
    layer = measures.parts(etree.fromstring(drawing.encode()), part)[0]
    texts = [" ".join("".join(span.itertext()) for span in text) for text in layer.iter(f"{measures.SVG}text")]
    start = texts.index("The working")
    return [text for text in texts[start + 2 :] if re.search(r": .* = ", text)]


@pytest.mark.parametrize("unit", ["in", "cm"])
@pytest.mark.parametrize(
    "options", [[], ["--tiers=7", "--spacing_snap=1/8in"], ["--finish=elastic", "--ease_elbow=15 %"], ["--length_style=short", "--cap_width=18 in"]]
)  # fmt: skip
def test_every_line_in_the_notes_comes_out(unit, options):
    body = [] if unit == "in" else ["--ease_cap=1,5", "--bust_girth=93"]
    drawing = drafted([f"--unit={unit}", "--show_working=true", *body, *options])
    found = dict(check(line, unit) for line in lines_of(drawing))
    per = {"in": 25.4, "cm": 10.0}[unit]
    edges = measures.edge_lengths(etree.fromstring(drawing.encode()))
    top = found.get("Top edge with its fullness", found["Top edge of one sleeve"])
    assert float(top) * per == pytest.approx(edges["top edge"], abs=0.02)
    assert float(found["Half width at the hem"]) * per == pytest.approx(edges["hem"] / 2, abs=0.02)
    check_widths(drawing, found, lines_of(drawing), unit)


def check_widths(drawing: str, found: dict, lines: list[str], unit: str) -> None:
    """Every width that is lettered on a level is reached by a line, and is as svgpathtools measures it."""
    root = etree.fromstring(drawing.encode())
    (layer,) = measures.parts(root, "level widths layer")
    said = [" ".join("".join(span.itertext()) for span in text) for text in layer.iter(f"{measures.SVG}text")]
    lettered = {match[1]: match[2] for match in (re.match(r"(.+?) [\d /.]+ (?:in|cm) .*sleeve ([\d /.]+) (?:in|cm)", text) for text in said) if match}
    assert {"Underarm", "Hem"} <= lettered.keys()
    for level, width in lettered.items():
        (line,) = (line for line in lines if line.startswith(f"Width at the {level.lower()}:"))
        assert line.endswith((f"= {width} {unit}", f"say {width} {unit}")) or f"say {width} {unit} (exact" in line, (line, width)
    per = {"in": 25.4, "cm": 10.0}[unit]
    for element in measures.parts(root, "level line"):
        if element.get(f"{measures.OWN}level") not in ("hem", "underarm"):
            across = measures.on_page(element).length()
            assert float(found[f"Width at the {element.get(f'{measures.OWN}level')}"]) * per == pytest.approx(across, abs=0.02)


def test_no_fraction_that_is_on_no_tape_stands_without_what_to_say_and_no_sum_stands_twice(tmp_path):
    drawing = drafted(["--show_working=true", "--tiers=7", "--finish=elastic"])
    options = ["--strip_edge=ribbon", "--layers=3", "--layer_step=3/8", "--net_price=4.5"]
    applied(CuttingPlan(), ["--show_working=true", f"--job_sheet_folder={tmp_path}", *options], drawing)
    (file,) = tmp_path.glob("*-working.html")
    lines = [item.text_content() for item in html.parse(str(file)).iter("li")]
    for line in lines:
        for fraction in re.finditer(r"\d+/(\d+)(, say )?", line):
            assert 16 % int(fraction[1]) == 0 or fraction[2], line
    layerless = [line for line in lines if "tier 2" in line]
    assert len({line.split(": ")[1] for line in layerless}) == len(layerless) > 4
    assert not any(re.search(r" ([\d ./]+) = \1(?:,|$)", line) for line in lines)


def test_the_words_are_those_of_the_trade():
    first = lines_of(drafted(["--show_working=true"]))
    assert "Body edge: shoulder width 14 3/4 − reduction 2 = 12 3/4 in" in first
    assert "Cap height: bust girth 36 1/2 ÷ 12 + 1 = 4 1/24, say 4 in (exact 4.0417)" in first


@pytest.mark.parametrize("unit", ["in", "cm"])
def test_every_line_of_the_plan_comes_out_and_stands_on_the_page_too(tmp_path, unit):
    options = ["--show_working=true", f"--job_sheet_folder={tmp_path}", "--net_price=4.5", f"--unit={unit}"]
    drawing = applied(CuttingPlan(), options, drafted(["--tiers=5"]))
    (file,) = tmp_path.glob("*-working.html")
    page = html.parse(str(file))
    lines = [item.text_content() for item in page.iter("li")]
    shown = [text.split(". ", 1)[1] for text in lines_of(drawing, "job sheet panel")]
    assert [line for line in shown if not line.startswith("Price of")] == lines and len(shown) > len(lines)
    for line in set(shown) - set(lines):
        check(line, unit)
    found = dict(check(line, unit) for line in lines)
    (listed,) = tmp_path.glob("*-cut-list.csv")
    cut = listed.read_text("utf-8-sig").splitlines()
    for row in cut[1:]:
        cells = dict(zip(cut[0].split(","), row.split(",")))
        for of, column in (("Cut width", "cut_width_mm"), ("Cut length", "cut_length_mm"), ("Drop", "drop_mm")):
            per = {"in": 25.4, "cm": 10.0}[unit]
            assert float(found[f"{of} of tier {cells['tier']}"]) * per == pytest.approx(float(cells[column]), abs=0.01)


def test_the_quote_comes_out_to_the_cent(tmp_path, monkeypatch):
    monkeypatch.setenv("INKSCAPE_PROFILE_DIR", str(tmp_path))  # her rates are kept there
    rates = ["--hourly=21.50", "--overhead=12", "--margin=15", "--deposit=40", "--rounding=5", "--net_price=4.5"]
    drawing = applied(CuttingPlan(), ["--show_working=true", *rates], drafted(["--tiers=4"]))
    lines = lines_of(drawing, "job sheet panel")
    found = dict(check(line.split(". ", 1)[1], "in") for line in lines if re.search(r"\. (Work|Overhead|Margin|Price|Deposit): ", line))
    assert list(found) == ["Work", "Overhead", "Margin", "Price", "Deposit"]
    assert found["Price"] % 5 == 0
    assert found["Deposit"] == pytest.approx(found["Price"] * Fraction(2, 5))


def test_the_page_for_a_class_holds_no_money(tmp_path, monkeypatch):
    """Neither price nor rate, overhead, margin or deposit, by name or by number: they are the client's affair and hers."""
    monkeypatch.setenv("INKSCAPE_PROFILE_DIR", str(tmp_path))
    rates = ["--hourly=21.37", "--overhead=12.3", "--margin=15.7", "--deposit=41.3", "--net_price=4.53", "--strip_edge=ribbon", "--trim_price=1.91"]
    applied(CuttingPlan(), ["--show_working=true", f"--job_sheet_folder={tmp_path}", *rates], drafted(["--tiers=4"]))
    (sheet,), (shown,) = tmp_path.glob("*-job-sheet.html"), tmp_path.glob("*-working.html")
    told, lines = (html.parse(str(file)).getroot().text_content() for file in (sheet, shown))
    for said in ("21.37", "12.3", "15.7", "41.3", "4.53", "1.91", "Price of", "Overhead: ", "Margin: ", "Price: ", "Deposit: "):
        assert said in told and not re.search(rf"(?<!\d){re.escape(said)}(?!\d)", lines), said


def test_it_is_shown_where_she_ticked_it_and_stays_after_measuring_again():
    plain_one, shown = drafted(), drafted(["--show_working=true"])
    assert "The working" not in plain_one
    assert applied(RemeasureSleeve(), [], shown).count(">The working<") == 1
    assert applied(FittingChanges(), ["--longer_below_elbow=1"], shown).count(">The working<") == 1
    longer = lines_of(applied(FittingChanges(), ["--longer_below_elbow=1"], shown))
    assert any(line.startswith("Spacing: length 19 3/4 ÷ tiers 6 = 3 7/24") for line in longer)


STEPS = some.deferred(lambda: some.one_of(some.tuples(some.sampled_from("+−"), EIGHTHS), some.tuples(some.sampled_from("×÷"), some.integers(1, 12))))
EIGHTHS = some.integers(1, 400).map(lambda count: Fraction(count, 8))


@settings(max_examples=200)
@given(
    some.sampled_from(["in", "cm"]), EIGHTHS,
    some.lists(STEPS, min_size=1, max_size=4),
)  # fmt: skip
def test_any_sum_is_written_as_it_is_computed(unit, first, steps):
    per = {"in": 25.4, "cm": 10.0}[unit]
    terms = tuple((sign, plain(float(value), "times") if sign in "×÷" else Term(float(value) * per, "more")) for sign, value in steps)
    total = Sum("something", Term(float(first) * per, "length"), terms)
    _, result = check(written(total, unit), unit)
    assert float(result) * per == pytest.approx(total.result, abs=1e-4 * per)

"""Cutting Plan as a script: what it draws and writes, what it refuses, and what it leaves alone."""
import csv
import datetime as dt
import errno
import io
import math
import os
import re
import shutil
import subprocess
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from fractions import Fraction
from html.parser import HTMLParser

import inkex
import numpy as np
import pandas as pd
import pypdfium2
import pytest
from lxml import etree
from shapely.geometry import LineString, Point, Polygon, box
from svgpathtools import parse_path

from extension.cutting.plan_sheets import measured_table
from extension.cutting_plan import CuttingPlan
from extension.demo import applied
from extension.wording.ways import WAYS as WORDS
from geometry.cloth.ways import WAYS
from geometry.measuring.given import read_given
from geometry.measuring.measurements import DEFAULTS, USUAL
from geometry.sleeve.settling import settle
from tests.host import REPOSITORY, missing
from tests.sleeve_edits import LABEL, SVG, part, parts, tier

EXTENSION = REPOSITORY / "extension"
SCRIPT = EXTENSION / "cutting_plan.py"
A4 = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"/>'
INCH = 25.4


@pytest.fixture
def draft(run_effect):
    def draft(**options):
        outcome = run_effect(EXTENSION / "draft_sleeve.py", options, A4)
        assert outcome.returncode == 0 and outcome.stderr == ""
        return outcome.stdout

    return draft


@pytest.fixture
def plan(run_effect, tmp_path):
    """Plan a drawing; return the new document's root and what was written, the cut list by tier."""

    def plan(svg, select=(), **options):
        folder = tmp_path / "files"
        folder.mkdir(exist_ok=True)
        outcome = run_effect(SCRIPT, {"job_sheet_folder": folder, **options}, svg, select)
        assert outcome.returncode == 0 and outcome.stderr == "", outcome.stderr
        with written(folder, "cut-list.csv").open(encoding="utf-8-sig", newline="") as file:
            rows = {int(row["tier"]): row for row in csv.DictReader(file)}
        return etree.fromstring(outcome.stdout.encode()), rows, written(folder, "job-sheet.html").read_text(encoding="utf-8")

    return plan


def written(folder, ending):
    """The one file of a folder whose name ends so."""
    [path] = folder.glob(f"*-{ending}")
    return path


def refusal(outcome):
    assert outcome.stdout == "" and outcome.stderr
    return outcome.stderr


def length_of(line) -> float:
    return parse_path(line.get("d")).length()


def rows_of(text):
    return [span.text for span in text.iter(f"{SVG}tspan")]


def lettering(layer):
    return " ".join(row or "" for row in rows_of(layer))


# --- numbers ------------------------------------------------------------------------------------------


def test_the_cut_list_follows_the_lines_in_the_drawing(draft, plan):
    svg = draft(tiers=7, unit="in")
    _, rows, _ = plan(svg)
    root = etree.fromstring(svg.encode())
    assert sorted(rows) == [1, 2, 3, 4, 5, 6, 7]
    spacing = 18.75 * INCH / 7  # the example's sleeve length over its tiers
    seam = parse_path(part(root, "seam line").get("d"))
    seam = Polygon([(p.real, p.imag) for piece in seam for p in map(piece.point, np.linspace(0, 1, 5001)[:-1])])
    beside = seam.buffer(12.7, join_style="mitre")
    for number, row in rows.items():
        line = length_of(tier(root, number))  # measured by svgpathtools
        joins = int(row["joins"])
        assert float(row["line_length_mm"]) == pytest.approx(line, abs=0.001)
        # The last reaches from its line to the hem where that lies lowest (shapely), and 1/4 in past it.
        drop = spacing * 4 / 3 if number < 7 else seam.bounds[3] - parse_path(tier(root, 7).get("d")).end.imag + INCH / 4
        # By hand, common practice: 4 : 1, 1/2 in outside the seam at both ends (shapely), 1/2 in for every join.
        end = parse_path(tier(root, number).get("d")).end
        follows = row["front_end"] == "along the seam"
        assert follows == (number < 3) == (row["back_end"] == "along the seam")
        hangs = box(0, end.imag - (12.7 if follows else 0.01), 999, end.imag + (drop if follows else 0.01))
        past = beside.intersection(hangs).bounds[2] - end.real
        assert float(row["front_end_past_line_mm"]) == pytest.approx(past, abs=0.05)
        assert float(row["front_end_past_line_in"]) * INCH == pytest.approx(float(row["front_end_past_line_mm"]), abs=0.002)
        assert float(row["cut_length_mm"]) == pytest.approx(4 * line + 2 * past + joins * 12.7, abs=0.1)
        assert float(row["drop_mm"]) == pytest.approx(drop, abs=0.002)
        assert float(row["cut_width_mm"]) == pytest.approx(drop + 12.7, abs=0.002)
        assert (row["layers"], row["cloth"], int(row["pieces"])) == ("3", "net", joins + 1)
        for name in ("line_length", "cut_length", "cut_width", "drop", "spacing"):
            assert float(row[f"{name}_in"]) * INCH == pytest.approx(float(row[f"{name}_mm"]), abs=0.003)
        assert int(row["pieces_in_all"]) == int(row["strips_in_all"]) + int(row["joins_in_all"])


def test_options_may_differ_from_tier_to_tier(draft, plan):
    _, rows, _ = plan(draft(tiers=3), fullness="4; 3,5; 3", layers="3 to 1", overlap="1 in", gathering_allowance="0.25 in")
    assert [row["fullness"] for row in rows.values()] == ["4", "3.5", "3"]
    assert [row["layers"] for row in rows.values()] == ["3", "2", "1"]
    for row in list(rows.values())[:2]:
        assert float(row["cut_width_mm"]) == pytest.approx(float(row["spacing_mm"]) + 1.25 * INCH, abs=0.002)


def test_an_edited_sleeve_is_planned_as_it_is_now_and_said_to_be_out_of_date(draft, plan):
    root = etree.fromstring(draft(tiers=5).encode())
    seam, level = part(root, "seam line"), parse_path(tier(root, 3).get("d")).start.imag
    # Widened more and more toward the hem.
    outward = lambda m: f"{float(m[1]) * (1 + float(m[2]) / 2000):.4f} {m[2]}"  # noqa: E731
    seam.set("d", re.sub(r"(-?[\d.]+) (-?[\d.]+)", outward, seam.get("d")))
    edited, rows, page = plan(etree.tostring(root).decode())
    drawn = parse_path(seam.get("d"))
    outline = Polygon([(p.real, p.imag) for p in map(drawn.point, np.linspace(0, 1, 40001)[:-1])])
    across = outline.intersection(LineString([(-999, level), (999, level)])).length  # by svgpathtools and shapely
    assert float(rows[3]["line_length_mm"]) == pytest.approx(across, abs=0.01)
    for where in (page, lettering(part(edited, "lay panel")), lettering(part(edited, "job sheet panel"))):
        assert "out of date" in where
    fresh, _, page = plan(draft(tiers=5))
    assert "out of date" not in page + lettering(part(fresh, "lay panel"))
    # The sleeve itself is left as it was.
    assert part(edited, "seam line").get("d") == seam.get("d")


def test_a_tier_line_that_was_moved_changes_two_spacings(draft, plan):
    svg = draft(tiers=5)
    _, straight, _ = plan(svg)
    root = etree.fromstring(svg.encode())
    tier(root, 3).set("transform", "translate(0, 10)")
    _, rows, _ = plan(etree.tostring(root).decode())
    moved = {number: float(rows[number]["spacing_mm"]) - float(straight[number]["spacing_mm"]) for number in rows}
    assert moved == pytest.approx({1: 0, 2: 10, 3: -10, 4: 0, 5: 0}, abs=0.002)


def test_a_tier_line_that_was_deleted_stays_out(draft, plan):
    svg = draft(tiers=5)
    root = etree.fromstring(svg.encode())
    line = tier(root, 2)
    line.getparent().remove(line)
    _, rows, _ = plan(etree.tostring(root).decode())
    assert sorted(rows) == [1, 3, 4, 5]
    assert float(rows[1]["spacing_mm"]) == pytest.approx(2 * float(rows[3]["spacing_mm"]), abs=0.003)


# --- in the drawing -----------------------------------------------------------------------------------


def test_panels_stand_clear_of_the_sleeve_in_layers_of_their_own(draft, plan):
    root, _, _ = plan(draft(tiers=7))
    for name in ("lay panel", "job sheet panel"):
        panel = part(root, name)
        assert panel.get("{http://www.inkscape.org/namespaces/inkscape}groupmode") == "layer"
        assert panel.get(LABEL)
    right = max(parse_path(part(root, "cutting line").get("d")).bbox()[1], 0)
    for name in ("lay panel", "job sheet panel"):
        shift = float(re.match(r"translate\(([-\d.]+)", part(root, name).get("transform"))[1])
        assert shift > right


def test_pieces_in_the_drawing_are_the_pieces_of_the_list_to_scale(draft, plan):
    root, rows, _ = plan(draft(tiers=7), base_width="0", lining_width="0")
    cloth = parse_path(part(root, "cloth").get("d")).bbox()
    outline = box(cloth[0], cloth[2], cloth[1], cloth[3])
    assert (cloth[1] - cloth[0]) * 10 == pytest.approx(54 * INCH)  # lettered “scale 1:10”
    assert "scale 1:10" in lettering(part(root, "lay panel"))
    drawn = []
    for path in parts(part(root, "lay panel"), "pieces"):
        for sub in parse_path(path.get("d")).continuous_subpaths():
            left, right, top, bottom = sub.bbox()
            drawn.append(box(left, top, right, bottom))
    assert len(drawn) == sum(int(row["pieces_in_all"]) for row in rows.values())
    assert all(outline.buffer(0.01).covers(piece) for piece in drawn)
    needed = sum(float(r["cut_width_mm"]) * float(r["cut_length_mm"]) * int(r["strips_in_all"]) for r in rows.values()) / 100
    area = sum(piece.area for piece in drawn)
    assert needed <= area <= 1.04 * needed  # rounded up to an eighth of an inch


def test_a_second_plan_takes_the_place_of_the_first(draft, plan):
    first, _, _ = plan(draft(tiers=4))
    again, _, _ = plan(etree.tostring(first).decode())
    assert etree.tostring(again) == etree.tostring(first)
    flounced, _, _ = plan(etree.tostring(first).decode(), make="flounce", fullness="2")
    assert len(parts(flounced, "flounce panel")) == 1 and len(parts(flounced, "lay panel")) == 1
    back, _, _ = plan(etree.tostring(flounced).decode())
    assert parts(back, "flounce panel") == []


def room_of(panel):
    """Left, top, width and height of a panel, which begins at its own origin."""
    across, down = map(float, re.match(r"translate\(([-\d.]+), ([-\d.]+)", panel.get("transform")).groups())
    return across, down, *(float(panel.get(f"{{urn:x-tiered-sleeve}}{side}-mm")) for side in ("width", "height"))


def test_a_panel_that_grows_moves_off_what_it_would_cover(draft, plan):
    first, _, _ = plan(draft(tiers=4), net_width="40 in")
    panel = part(first, "job sheet panel")
    grown, _, _ = plan(etree.tostring(first).decode(), net_width="150 in", strip_direction="across", contrast_layers="1")
    lay, job = part(grown, "lay panel"), part(grown, "job sheet panel")
    rooms = [box(x, y, x + wide, y + high) for x, y, wide, high in map(room_of, (lay, job))]
    assert not rooms[0].intersects(rooms[1])
    assert panel.get("transform") == job.get("transform")  # what did not grow stays


def test_flounces_are_drawn_as_true_pattern_pieces(draft, plan):
    root, rows, page = plan(draft(tiers=2), make="flounce", fullness="2", drop="10 in; 9 in")
    drawn = parts(root, "flounce seam line")
    assert len(drawn) == 2
    for number, drop, sewn in zip((1, 2), (10, 9), drawn):
        sectors = int(rows[number]["pieces"])
        line = float(rows[number]["line_length_mm"])
        # Closed form: at twice the length the radii are drop and twice the drop; two arcs and two straight ends.
        around = parse_path(sewn.get("d")).length() * sectors
        assert around == pytest.approx(line + 2 * line + sectors * 2 * drop * INCH, abs=0.5)
    assert "circular flounces" in page and "Angle of" in page


def test_flounces_of_one_ring_share_a_master(draft, plan):
    """Spacing and fullness alike make rings alike, in all tiers but the last, which hangs past the hem: by hand."""
    root, rows, page = plan(draft(tiers=4), make="flounce", fullness="2", layers="1")
    # Drawn are the master and the piece of tier 4; two of the three that share it end at a mark, the widest is all of it.
    assert (len(parts(root, "flounce cutting line")), len(parts(root, "flounce mark line"))) == (2, 2)
    assert "master: cut 6 from it" in " ".join("".join(each.itertext()) for each in parts(root, "flounce panel"))
    drop = [float(rows[number]["drop_mm"]) for number in (1, 2, 3, 4)]
    assert drop[0] == pytest.approx(drop[1]) == pytest.approx(drop[2]) and abs(drop[3] - drop[0]) > 1
    # At 2 : 1 the seam's radius is the drop, the edge's twice that; 1/2 in is allowed above the seam.
    inner, outer = (round(radius / INCH * 16) / 16 for radius in (drop[0] - INCH / 2, 2 * drop[0]))
    [told] = re.findall(r"Flounces of (.+?): all from one ring, (.+?) in to (.+?) in in radius as cut", page)
    assert told[0] == "1; 2; 3" and [float(sum(map(Fraction, radius.split()))) for radius in told[1:]] == [inner, outer]
    _, _, page = plan(draft(tiers=3), make="flounce", fullness="2; 2.2; 2.4", layers="1")
    assert "one ring" not in page


def test_the_list_tells_how_the_edges_of_every_layer_are_finished(draft, plan):
    _, rows, page = plan(draft(tiers=2), strip_edge="ribbon", under_edge="rolled", layers="2", trim_price="2")
    assert [(row["first_layer"], row["free_edge"]) for row in rows.values()] == [("1", "Rolled hem")] * 2  # the last row of each tier
    assert "every strip of the outermost layers" in page and "every strip of the layers under them" in page


def test_the_list_tells_a_tier_that_is_bought(draft, plan):
    """Its line and what its ends take past it, by hand from the row itself; bought by the yard at her price, nothing cut for it."""
    options = {"bought_tiers": "2", "bought_price": "3", "layers": "1", "hourly": "20", "show_working": "true"}
    root, rows, page = plan(draft(tiers=2), **options)
    row = rows[2]
    assert (row["cloth"], row["free_edge"], row["fullness"], row["cut_width_mm"]) == ("bought trim", "Bought gathered", "", "")
    length = float(row["line_length_mm"]) + float(row["back_end_past_line_mm"]) + float(row["front_end_past_line_mm"])
    assert float(row["cut_length_mm"]) == pytest.approx(length, abs=0.002)
    eighths = math.ceil(1.05 * 2 * length / (36 * INCH) * 8 - 1e-9)  # 5 % spare, as the dialog has it
    [trim] = [each for each in table_of(page, "What to buy") if each[0].startswith("Gathered trim")]
    assert Decimal(trim[-1]) == (Decimal(3) * eighths / 8).quantize(Decimal("0.01"), ROUND_HALF_UP)
    assert "Cut the bought trim of tier 2, 2 lengths in all" in page and "Trim of tier 2: (all lines" in page
    assert not [line for line in parts(root, "gather mark") if "tier line 2" in " ".join(line.attrib.values())]


@pytest.mark.parametrize("base_cloth", ["own", "net"])
def test_hems_on_a_border_are_told_and_their_grain_drawn_across(draft, plan, base_cloth):
    root, _, _ = plan(draft(tiers=2), base_way="on_border", base_cloth=base_cloth, layers="1")
    assert "Hems lie on the border along the left selvedge" in " ".join(span.text or "" for span in root.iter("{*}tspan"))
    lines = [path for path in (parse_path(each.get("d")) for each in parts(root, "lay grain")) if len(path) == 1]  # without the arrowheads
    assert sum(abs((line.end - line.start).imag) < 1e-6 for line in lines) == 2


@pytest.mark.parametrize(("unit", "other"), [("in", "cm|mm|m"), ("cm", "in|yd|″")])
@pytest.mark.parametrize("edge", ["ribbon", "wire", "trim"])
def test_a_job_sheet_speaks_in_one_unit(draft, plan, unit, other, edge):
    page = plan(draft(tiers=2, unit=unit), strip_edge=edge, sleeves="1")[2]
    said = " ".join(etree.HTML(re.sub("<(svg|style).*?</\\1>", "", page, flags=re.DOTALL)).itertext())
    assert re.search(rf"\d {unit}\b", said) and not re.search(rf"\d ({other})\b", said)


def test_where_all_tiers_are_bought_no_pieces_are_drawn(draft, plan):
    root, rows, _ = plan(draft(tiers=2), make="flounce", fullness="2", bought_tiers="all")
    assert {row["cloth"] for row in rows.values()} == {"bought trim"}
    assert parts(root, "flounce panel") == parts(root, "strip ends panel") == []


def test_stitching_that_would_show_is_said_and_drawn(draft, plan):
    root, _, page = plan(draft(tiers=3), drop="2 in")
    assert "Tier 1 ends" in page and "its stitching would show" in page and "above the hem" in page
    labels = [e.get(LABEL) for e in part(root, "flat layer").iter()]
    assert "Stitching of tier 2 shows" in labels
    root, _, page = plan(draft(tiers=3))
    assert "No stitching line shows" in page and not any("shows" in (e.get(LABEL) or "") for e in part(root, "flat layer").iter(f"{SVG}path"))


def test_everything_is_lettered_in_her_unit(draft, plan):
    inches, _, _ = plan(draft(tiers=3, unit="in"))
    centimetres, _, _ = plan(draft(tiers=3, unit="in"), unit="cm")
    assert re.search(r"\d yd", lettering(part(inches, "job sheet panel")))
    text = lettering(part(centimetres, "job sheet panel")) + lettering(part(centimetres, "lay panel"))
    assert re.search(r"\d m\b", text) and not re.search(r"\d (in|yd)\b", text)


def test_every_way_to_make_a_tier_has_its_words():
    assert list(WORDS) == list(WAYS)


# --- files --------------------------------------------------------------------------------------------


class Reader(HTMLParser):
    """Keeps the tags that are open, and every address."""

    def __init__(self):
        super().__init__()
        self.open, self.addresses, self.wrong = [], [], []

    def handle_starttag(self, tag, attrs):
        self.addresses += [value for name, value in attrs if name in ("href", "src") or name.endswith(":href")]
        if tag != "meta" and tag != "br":
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.addresses += [value for name, value in attrs if name in ("href", "src") or name.endswith(":href")]

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)


def test_the_page_is_whole_and_fetches_nothing(draft, plan):
    _, _rows, page = plan(draft(label='Zoë <b>& "袖"</b>'))
    reader = Reader()
    reader.feed(page)
    assert reader.open == [] and reader.wrong == []
    assert all(address.startswith("#") for address in reader.addresses)
    assert "url(" not in page and "@import" not in page and "<script" not in page
    assert "Zoë &lt;b&gt;&amp; &quot;袖&quot;&lt;/b&gt;" in page and "<b>" not in page
    for word in ("Measured", "Bust girth", "What to buy", "Sewing order", "Thread and time", "melt and burn", "Local rules", "Strip by strip"):
        assert word in page
    assert page.count("<svg") >= 4  # flat, net, base, lining


@pytest.mark.parametrize("label", ["=1+1", "+cmd", "-2", "@sum", "\tx", "Zoë, “袖”", ""])
def test_the_cut_list_opens_cleanly_in_a_spreadsheet(draft, run_effect, tmp_path, label):
    outcome = run_effect(SCRIPT, {"job_sheet_folder": tmp_path}, draft(tiers=2, label=label))
    assert outcome.stderr == ""
    content = written(tmp_path, "cut-list.csv").read_bytes()
    assert content.startswith(b"\xef\xbb\xbf")  # by which spreadsheets tell UTF-8
    head, *rows = csv.reader(io.StringIO(content.decode("utf-8-sig")))
    assert {name.replace("_mm", "_in") for name in head if name.endswith("_mm")} == {name for name in head if name.endswith("_in")}
    for row in (head, *rows):
        assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r")) for cell in row)  # OWASP, CSV Injection
        assert len(row) == len(head) == len(set(head))
    frame = pd.read_csv(written(tmp_path, "cut-list.csv"))
    assert list(frame["tier"]) == [1, 2]
    for column in ("line_length_mm", "cut_width_mm", "cut_length_mm", "layers", "pieces", "joins"):
        assert pd.api.types.is_numeric_dtype(frame[column])


def test_files_replace_earlier_ones_of_the_same_job_and_keep_them_once(draft, plan, tmp_path):
    folder = tmp_path / "files"
    for tiers in (1, 2, 3):
        _, rows, _page = plan(draft(tiers=tiers, label="Ana, gown no. 2 (invented)"))
        assert len(rows) == tiers
    names = ["ana-gown-no-2-invented-cut-list.csv", "ana-gown-no-2-invented-job-sheet.html"]
    assert sorted(path.name for path in folder.iterdir()) == sorted([*names, *(f"{name}.bak" for name in names)])
    assert len(list(csv.DictReader((folder / f"{names[0]}.bak").open(encoding="utf-8-sig", newline="")))) == 2


@pytest.mark.parametrize(
    "labels", [("Ana B", "ana-b"), ("ANA", "Ana"), ("../Ana", "Ana"), ("袖", "裾"), ("x" * 300, "x" * 299), ("?", "!"), ("CON", "con ")]
)
def test_another_clients_job_is_never_overwritten(draft, run_effect, tmp_path, labels):
    folder = tmp_path / "files"
    folder.mkdir()
    for label in labels:
        assert run_effect(SCRIPT, {"job_sheet_folder": folder}, draft(tiers=1, label=label)).stderr == ""
    pages = list(folder.glob("*-job-sheet.html"))
    titles = [re.search("<title>Job sheet: (.*)</title>", page.read_text("utf-8"))[1] for page in pages]
    assert sorted(titles) == sorted(label.strip() for label in labels) and not list(folder.glob("*.bak"))
    for page in pages:  # POSIX and Windows alike: letters and digits of any script, hyphens; short enough
        assert re.fullmatch(r"[\w-]+-job-sheet\.html", page.name) and page.name == page.name.lower() and len(page.name.encode()) < 120
        assert page.with_name(page.name.replace("job-sheet.html", "cut-list.csv")).exists()
    assert sorted(path.name for path in tmp_path.iterdir() if path.is_dir()) == ["files"]


def test_the_page_prints_well(draft, plan, tmp_path):
    browser = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if browser is None:
        missing("Chromium")
    plan(draft(tiers=7))
    pdf = tmp_path / "page.pdf"
    words = ["--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={tmp_path / 'browser'}", "--no-pdf-header-footer"]
    page = written(tmp_path / "files", "job-sheet.html").as_uri()
    subprocess.run([browser, *words, f"--print-to-pdf={pdf}", page], capture_output=True, timeout=120, check=True)
    document = pypdfium2.PdfDocument(pdf)
    text = "".join(page.get_textpage().get_text_range() for page in document)
    assert "Tiers: gathered strips" in text and "Care and cautions" in text
    assert len(document) <= 10  # three of words, one of the flat, the rest is the lays at their scale: the band lies along the base
    # The lay is printed at the scale that it names: 54 in of net at 1 : 10 are 137.16 mm.
    mm = 25.4 / 72
    widths = [
        (obj.get_bounds()[2] - obj.get_bounds()[0]) * mm
        for page in document
        for obj in page.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_PATH], max_depth=9)
    ]
    assert any(abs(width - 137.16) < 1 for width in widths)


def test_gathers_are_marked_on_the_tier_lines(draft, plan, run_effect):
    """Seven ticks on every line, each beginning on it; a second plan draws them once; they go when an edit is measured again."""
    once, _, _ = plan(draft(tiers=4))
    twice, _, _ = plan(etree.tostring(once).decode())
    (layer,) = parts(twice, "gather marks layer")
    marks = [path for path in layer if path.get("d")]
    assert len(marks) == 4
    for number, path in enumerate(marks, start=1):
        ticks = parse_path(path.get("d")).continuous_subpaths()
        line = parse_path(tier(twice, number).get("d"))
        along = LineString([(p.real, p.imag) for p in map(line.point, np.linspace(0, 1, 2001))])
        assert len(ticks) == 7
        assert [along.project(Point(t.start.real, t.start.imag)) / along.length for t in ticks] == pytest.approx(np.arange(1, 8) / 8, abs=1e-3)
    tier(twice, 3).set("transform", "translate(0 6)")
    measured = etree.fromstring(run_effect(EXTENSION / "remeasure_sleeve.py", {}, etree.tostring(twice).decode()).stdout.encode())
    assert parts(measured, "gather marks layer") == []
    pleated, _, _ = plan(etree.tostring(twice).decode(), make="knife")
    assert parts(pleated, "gather marks layer") == []


# --- hours and price ------------------------------------------------------------------------------------

PRICED = {
    "hourly": "$22", "net_price": "$4,50", "base_price": "9", "lining_price": "5.25", "thread_cost": "4", "elastic_cost": "1.80", "overhead": "10",
    "margin": "20", "rounding": "1", "currency": "$", "valid_until": "31 December 2026 (invented)",
    "maker": "Atelier <Invented>",
}  # fmt: skip


def table_of(page, heading):
    """The rows of the first table under a heading, or of the whole page."""
    part = page[page.index(f"<h2>{heading}</h2>") :] if heading else page
    root = etree.fromstring(f"<r>{part[part.index('<table>') : part.index('</table>')]}</table></r>".replace("<br>", " "))
    return [["".join(cell.itertext()) for cell in row] for row in root.iter("tr")]


def test_the_quote_adds_up_to_the_cent(draft, plan, tmp_path):
    _, _, page = plan(draft(tiers=5), **PRICED)
    buy = {row[0]: row for row in table_of(page, "What to buy")[1:]}
    rows = {row[0]: Decimal(row[2].replace(",", "")) for row in table_of(page, "Quote")[1:]}
    cents = Decimal("0.01")
    for cloth, price in (("Net", "4.50"), ("Base", "9"), ("Lining", "5.25")):
        whole, _, part = buy[cloth][5].replace(" yd", "").rpartition(" ")
        yards = Fraction(whole or "0") + Fraction(part)
        exact = Decimal(price) * yards.numerator / yards.denominator
        assert rows[cloth] == Decimal(buy[cloth][6]) == exact.quantize(cents, ROUND_HALF_UP)
    materials = rows["Net"] + rows["Base"] + rows["Lining"] + Decimal(4) + Decimal("1.80")
    hours, minutes = map(int, re.search(r"(\d+) h (\d+) min at", page).groups())
    *each, in_all = table_of(page, "Thread and time")[1:]
    assert sum(int(row[3]) for row in each) == 60 * hours + minutes and in_all[3] == f"{hours} h {minutes} min"
    work = (Decimal(22) * (60 * hours + minutes) / 60).quantize(cents, ROUND_HALF_UP)
    overhead = ((materials + work) / 10).quantize(cents, ROUND_HALF_UP)
    margin = ((materials + work + overhead) / 5).quantize(cents, ROUND_HALF_UP)
    assert (rows["Work"], rows["Overhead"], rows["Margin"]) == (work, overhead, margin)
    assert rows["Price"] == (materials + work + overhead + margin).to_integral_value(ROUND_CEILING)
    # The client's page: the same price, and nothing of how it came about.
    quote = written(tmp_path / "files", "quote.html").read_text("utf-8")
    told = {row[0]: Decimal(row[1].replace(",", "")) for row in table_of(quote, "")[1:]}
    assert told["Price"] == rows["Price"] == sum(told[name] for name in ("Net", "Base", "Lining", "Thread", "Elastic", "Making"))
    assert told["Deposit, with the order"] + told["Balance"] == told["Price"]
    assert re.findall('<tr class="total"><td>(.*?)</td>', quote) == ["Price"]  # what she asks stands out
    today = f"{dt.date.today():%d %B %Y}".lstrip("0")  # the standard library's own, in the C locale
    assert f"<p>{today}. Valid until" in quote
    assert "31 December 2026 (invented)" in quote and quote.count("<svg") == 1
    assert quote.index("<p>Atelier &lt;Invented&gt;</p>") < quote.index("<h1>Quote</h1>")
    seen = re.sub("<svg.*?</svg>", "", quote, flags=re.DOTALL)
    assert not re.search("hour|minute|margin (?!:)|Margin|Overhead|22[.]00", seen[seen.index("<body>") :])


def test_the_quote_names_what_has_no_price(draft, plan, tmp_path):
    """What is bought and costs nothing is not in the price: her sheet and the client's page both name it, what has a price neither."""
    svg = draft(tiers=3, finish="elastic")
    asked = {"hourly": "30", "net_price": "4.50", "colours": "ivory; blush", "strip_edge": "ribbon"}
    page = plan(svg, **asked)[2]
    assert "Not in it, since it has no price: base, lining, ribbon, elastic, thread." in page
    quote = written(tmp_path / "files", "quote.html").read_text("utf-8")
    assert "Not in this price: base, lining, ribbon, elastic." in quote
    page = plan(svg, **{**asked, **PRICED, "trim_price": "1", "net_price": "0"})[2]
    assert "since it has no price: net, blush; net, ivory. " in page
    assert "Not in this price: net, blush; net, ivory." in written(tmp_path / "files", "quote.html").read_text("utf-8")
    page = plan(svg, **{**asked, **PRICED, "trim_price": "1"})[2]
    assert "no price" not in page and "Not in this price" not in written(tmp_path / "files", "quote.html").read_text("utf-8")


@pytest.mark.parametrize("finish", ["bound", "band"])
def test_a_flounce_above_the_underarm_is_listed_as_it_is_drawn(draft, plan, finish):
    """Its ends are straight though the armhole slants: by hand, the line along the inner arc and 1/2 in at both ends of every piece."""
    _, rows, page = plan(draft(finish=finish, length_style="elbow", tiers=3, unit="in"), make="flounce", fullness="2.5 to 3", end_allowance="1/2")
    for row in rows.values():
        assert (row["back_end"], row["front_end"]) == ("straight", "straight")
        assert float(row["cut_length_in"]) == pytest.approx(float(row["line_length_in"]) + 1 + int(row["joins"]), abs=0.002)  # two ends a join
        assert float(row["back_end_past_line_in"]) == float(row["front_end_past_line_in"]) == 0.5
    told = table_of(page, "Ends of the strips")[1:]
    assert "armhole" in told[0][2] and {row[3] for row in told} == {"straight"} and {row[-1] for row in told} == {"1/2"}


def test_strips_of_different_widths_have_rows_of_their_own(draft, plan):
    """Shorter under-layers are narrower: every row of the strip-by-strip table gives the width of its own layer in the list."""
    page = plan(draft(tiers=3), layer_step="1/4 in", layers="3")[2]
    rows = table_of(page, "Strip by strip: net")[1:]
    wide = [float(sum(map(Fraction, row[5].split()))) for row in rows]
    assert len(rows) == 9 and [row[1] for row in rows[:3]] == ["1", "2", "3"]
    for inner, middle, outer in (wide[:3], wide[3:6], wide[6:]):  # each is a quarter of an inch narrower than the one over it
        assert outer - middle == middle - inner == 0.25


def test_the_quote_prints_on_one_sheet(draft, plan, tmp_path):
    browser = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if browser is None:
        missing("Chromium")
    unpriced = {"net_price": "0", "colours": "ivory; blush"}
    for options in ({"contrast_layers": "1", "contrast_price": "6"}, {**unpriced, "make": "flounce", "fullness": "2"}):
        plan(draft(tiers=7, label="A client with a rather long name, and the style that she chose (both invented)"), **{**PRICED, **options})
        pdf = tmp_path / "quote.pdf"
        words = ["--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={tmp_path / 'browser'}", "--no-pdf-header-footer"]
        page = written(tmp_path / "files", "quote.html").as_uri()
        subprocess.run([browser, *words, f"--print-to-pdf={pdf}", page], capture_output=True, timeout=120, check=True)
        assert len(pypdfium2.PdfDocument(pdf)) == 1


def test_on_a_full_disk_she_is_told_to_make_room(draft, tmp_path, monkeypatch):
    def full(*_args, **_options):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("extension.document.whole_files.tempfile.mkstemp", full)
    drawing, folder = draft(tiers=2), tmp_path / "files"
    folder.mkdir()
    with pytest.raises(inkex.AbortExtension, match=r"has no room left on its disk or stick\. Make some\."):
        applied(CuttingPlan(), [f"--job_sheet_folder={folder}"], drawing)
    assert not list(folder.iterdir())


def test_without_a_rate_there_is_no_quote(draft, plan, tmp_path):
    _, _, page = plan(draft(tiers=2))
    assert not list((tmp_path / "files").glob("*quote*")) and "<h2>Quote</h2>" not in page


def test_minutes_and_rates_are_kept_and_an_empty_field_means_the_last(draft, plan):
    svg = draft(tiers=3)
    _, _, guessed = plan(svg)
    assert ["Joining strips" in guessed, "1*" in guessed] == [False, True]
    _, _, first = plan(svg, cutting_minutes="2.5", hourly="30", currency="CHF")
    _, _, again = plan(svg)
    for page in (first, again):
        row = next(row for row in table_of(page, "Thread and time")[1:] if row[0] == "Cutting pieces")
        assert row[2] == "2.5" and float(row[3]) == pytest.approx(2.5 * int(row[1]), abs=0.5)
        assert "30.00" in page and "(CHF)" in page
    metres = plan(svg, unit="cm")[2]  # what was typed for yards is not taken for metres
    assert next(row for row in table_of(metres, "Thread and time")[1:] if row[0] == "Cutting pieces")[2] == "1*"


@pytest.mark.parametrize(("name", "label"), [("joining_minutes", "Joining two pieces, minutes"), ("hourly", "An hour of work"), ("pace", "Pace")])
def test_kept_settings_that_make_no_sense_are_named(draft, run_effect, tmp_path, name, label):
    settings = tmp_path / "profile" / "tiered-sleeve-settings.ini"
    settings.parent.mkdir(exist_ok=True)
    settings.write_text(f"[hours and prices, in]\n{name} = a lot\n", encoding="utf-8")
    svg = draft(tiers=2, unit="in")
    message = refusal(run_effect(SCRIPT, {}, svg))
    assert message.startswith(label) and "a lot" in message and "kept from an earlier plan" in message
    if name != "pace":  # typed anew, it holds and is kept
        assert run_effect(SCRIPT, {name: "5"}, svg).stderr == run_effect(SCRIPT, {}, svg).stderr == ""


def test_settings_that_cannot_be_read_are_said_so(draft, plan, tmp_path):
    settings = tmp_path / "profile" / "tiered-sleeve-settings.ini"
    settings.parent.mkdir(exist_ok=True)
    settings.write_bytes(b"\xff\xfe no settings")
    assert "could not be read" in plan(draft(tiers=2))[2]


# --- what it refuses ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"fullness": "0.5"}, "Fullness: “0.5” was read. What makes sense is 1 to 12. 1 lies flat without gathers"),
        ({"overlap": "lots"}, "Overlap: “lots” is not a length; write it like 13 3/8, 13.375 or 34 cm. Write a length, or auto."),
        ({"fullness": "4; 4"}, "gives 2 values, but there are 6 tiers"),
        ({"layers": "0"}, "Layers: “0” was read. What makes sense is a whole number from 1 to 12. A tier needs at least one layer"),
        ({"net_width": "4 in"}, "Net: 4 in of usable width can be cut, shrinking taken off, but the strip of tier 1 is"),
        ({"net_width": "2"}, "Net: usable width: “2” was read as 2 in"),
        ({"net_width": "4 in", "unit": "cm"}, "Net: 10.1 cm of usable width can be cut, shrinking taken off, but the strip of tier 1 is"),
        ({"base_width": "12 in", "base_shrinkage": "0"}, "Base: 12 in of usable width can be cut, shrinking taken off, but one sleeve"),
        ({"contrast_layers": "4"}, "Contrast layers: tier 1 has 3 layers, so that 4 of them can’t be in contrast"),
        ({"make": "flounce", "fullness": "1"}, "a circular flounce must be fuller at its edge than where it is sewn on (1)"),
        ({"make": "flounce", "drop": "2 in"}, "with a drop of 2 in the inner circle of the flounce would be too small to cut"),
        ({"job_sheet_folder": "/no/such/folder"}, "Job sheet folder: “/no/such/folder” does not exist"),
        ({"job_sheet_folder": __file__}, "is not a folder"),
        ({"sleeves": "0"}, "Sleeves: “0”"),
        ({"net_price": "6.40 per metre"}, "At that price a yard is 5.85: type that, or 6.40 if it was meant for a yard"),
        ({"net_price": "€6.40", "base_price": "£4"}, "“€6.40” are in two currencies"),
        ({"currency": "$", "hourly": "30 €"}, "An hour of work: “30 €” and Currency: “$” are in two currencies"),
    ],
)
def test_bad_input_is_named_and_nothing_is_drawn(draft, run_effect_everywhere, options, message):
    assert message in refusal(run_effect_everywhere(SCRIPT, options, draft()))


def test_a_list_that_cannot_be_replaced_keeps_the_old_pair(draft, run_effect, tmp_path):
    folder = tmp_path / "files"
    folder.mkdir()
    for tiers in (1, 2):
        assert run_effect(SCRIPT, {"job_sheet_folder": folder}, draft(tiers=tiers)).stderr == ""
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    assert len(before) == 4
    kept = written(folder, "cut-list.csv")
    kept.rename(tmp_path / "elsewhere")
    kept.mkdir()  # stands for a file that can't be replaced
    message = refusal(run_effect(SCRIPT, {"job_sheet_folder": folder}, draft(tiers=3)))
    assert kept.name in message and "can’t be replaced" in message and "The earlier files stand as they were" in message
    kept.rmdir()
    (tmp_path / "elsewhere").rename(kept)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


@pytest.mark.parametrize("options", [{"fullness": "4 to"}, {"drop": "3 1/"}, {"overlap": "au"}, {"net_width": "5 f"}, {"layers": ""}])
def test_half_typed_waits_or_is_named_but_never_draws(draft, run_effect, options):
    assert run_effect(SCRIPT, options, draft()).stdout == ""


def test_a_scaled_sleeve_is_asked_about_elsewhere(draft, run_effect):
    root = etree.fromstring(draft().encode())
    seam = part(root, "seam line")
    seam.set("transform", "scale(1.2)")
    assert "Run Extensions > Tiered Sleeve > 2 Re-measure After Editing… first" in refusal(run_effect(SCRIPT, {}, etree.tostring(root).decode()))


def test_it_needs_a_sleeve(run_effect):
    assert "no sleeve in this document" in refusal(run_effect(SCRIPT, {}, A4))


@pytest.mark.parametrize(
    ("measured", "asked"),
    [
        (
            {"tiers": 12, "bust_girth": "41.125", "off_shoulder_girth": "47.625", "shoulder_width": "16.75", "upper_arm_girth": "14.5",
             "upper_arm_level": "8.375", "elbow_girth": "12.75", "elbow_level": "14.375", "sleeve_length": "21.375", "hem_girth": "10.125",
             "hand_girth": "9.375"},
            {"make": "box", "fullness": "5", "layers": "2", "net_width": "45 in"},
        ),
        ({"tiers": 4, "bust_girth": "34.5", "off_shoulder_girth": "39.5", "sleeve_length": "17.625"}, {"layers": "2"}),
    ],
)  # fmt: skip
def test_tiers_that_are_alike_are_cut_to_one_mark(draft, plan, measured, asked):
    """Widths that fall on a mark of the tape stay there, though the lines were written into the drawing and read again."""
    _, rows, page = plan(draft(**measured), **asked)
    told = table_of(page, "Tiers: box pleats" if "make" in asked else "Tiers: gathered strips")
    width = told[0].index("Cut width")
    assert len({row[width] for row in told[1:-1]}) == 1  # all but the last, which hangs past the hem
    for row in told[1:]:
        inches = sum(Fraction(part) for part in row[width].split())
        assert 0 <= inches - Fraction(rows[int(row[0])]["cut_width_in"]) + Fraction(1, 10_000) < Fraction(1, 8)


def test_crossing_tier_lines_are_named(draft, run_effect):
    root = etree.fromstring(draft(tiers=4).encode())
    tier(root, 3).set("transform", "rotate(40, 0, 230)")
    message = refusal(run_effect(SCRIPT, {}, etree.tostring(root).decode()))
    assert re.search("Tier line [23] touches or crosses tier line [34]", message)


@pytest.mark.parametrize(("style", "length"), [("as measured", "18 3/4 in"), ("elbow", "12 1/2 in"), ("short", "8 1/4 in")])
def test_the_job_sheet_tells_the_length_that_holds(style, length):
    """Worked by hand: the elbow at 12 1/2 in; short is halfway to it from the underarm at 36 1/2 in / 12 + 1 in = 4 1/24 in."""
    settled = settle(read_given(DEFAULTS, "in"), USUAL._replace(length_style=style))
    told = {row[i]: row[i + 1] for row in measured_table(settled, "in").rows for i in range(0, len(row), 2)}
    assert told["Sleeve length"] == length


def pictures_of_pieces(page: str) -> tuple[list, list]:
    """Return the boxes of all pieces drawn on a page (by svgpathtools), and what its pictures show, of the lay of the net."""
    shown, pieces = [], []
    for label, left, top, wide, high, drawn in re.findall(
        r'aria-label="([^"]*)"[^>]*viewBox="([-\d.]+) ([-\d.]+) ([-\d.]+) ([-\d.]+)">(.*?)</svg>', page, re.DOTALL
    ):
        if label.startswith("Net"):
            (x, y, w, h), data = map(float, (left, top, wide, high)), re.findall(r'<path [^>]*d="([^"]+)"', drawn)
            shown.append(box(x, y, x + w, y + h))
            pieces += [box(x0, y0, x1, y1) for path in data for x0, x1, y0, y1 in (part.bbox() for part in parse_path(path).continuous_subpaths())]
    cloth = max(pieces, key=lambda piece: piece.area)
    return [piece for piece in pieces if piece is not cloth], shown


@pytest.mark.parametrize(
    ("options", "most_cut"),
    [
        ({"net_width": "20 in", "layers": "4", "strip_direction": "across"}, 0),
        ({"net_width": "30 in", "layers": "3", "make": "flounce", "fullness": "3"}, 12),
    ],
)
def test_a_long_lay_is_parted_between_its_bands(draft, plan, options, most_cut):
    """Every piece lies whole in a picture; sectors lie in each other's hollows, so that few are parted and a sentence says so."""
    page = plan(draft(), **options)[2]
    pieces, shown = pictures_of_pieces(page)
    assert len(pieces) > 20 and len(shown) > 1
    lost = [piece for piece in pieces if not any(picture.buffer(0.01).covers(piece) for picture in shown)]
    assert len(lost) <= most_cut
    said = [int(count) for count in re.findall(r"<p>(\d+) pieces? goe?s? on in the next picture", page)]
    assert len(lost) <= sum(said) and bool(lost) == bool(said)


@pytest.mark.parametrize("net_width", ["54 in", "30 in"])
def test_distances_across_the_cloth_stand_above_every_part_of_a_lay(draft, plan, net_width):
    """Bands that run along the cloth are marked off by the distances above it: each picture that shows some of them begins with those."""
    page = plan(draft(), strip_direction="along", net_width=net_width)[2]
    figures = [figure for figure in re.findall("<figure>(.*?)</figure>", page, re.DOTALL) if 'aria-label="Net' in figure]
    turned = "".join(re.findall(r'<text[^>]*rotate\(-90\)">.*?</text>', figures[0] + figures[1], re.DOTALL))
    cloth = -max(float(x) for x, _ in re.findall(r'x="([-\d.]+)"[^>]*>(\d[\d/ ]*)</tspan>', turned))  # numbers alone are distances
    with_cloth = 0
    for figure in figures:
        boxes = [tuple(map(float, each.split())) for each in re.findall(r'viewBox="([^"]+)"', figure)]
        if any(y + high > cloth + 5 for _, y, _, high in boxes):
            with_cloth += 1
            assert any(y < cloth - 5 and cloth < y + high for _, y, _, high in boxes)
            assert boxes[-1][3] > 20  # no sliver
    assert with_cloth > (net_width == "30 in")


@pytest.mark.parametrize("options", [{}, {"attach": "top_down", "past_hem": "0.5"}, {"make": "flounce"}], ids=["usual", "short drop", "flounce"])
def test_no_row_of_letters_is_cut_by_the_edge_of_its_picture(draft, plan, options):
    """Capitals of the font are some 0.73 of its size high (DejaVu Sans: 1493 of 2048 units)."""
    page = plan(draft(), **options)[2]
    pictures = re.findall(r'aria-label="([^"]*)"[^>]*viewBox="([-\d.]+) ([-\d.]+) ([-\d.]+) ([-\d.]+)">(.*?)</svg>', page, re.DOTALL)
    shown = {label: [(float(y), float(y) + float(h)) for name, _, y, _, h, _ in pictures if name == label] for label, *_ in pictures}
    checked = 0
    for label, *_, drawn in pictures:
        for size, y in re.findall(r'<text style="[^"]*font-size:([\d.]+)px[^"]*" x="[-\d.]+" y="([-\d.]+)"', drawn):
            checked += 1
            assert any(top <= float(y) - 0.73 * float(size) and float(y) <= bottom for top, bottom in shown[label]), label
    assert checked > 5

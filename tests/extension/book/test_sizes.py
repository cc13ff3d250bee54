"""Runs of sizes and sheets of nested sizes: lengths by svgpathtools, steps by Fraction, black and white by what is drawn."""
from __future__ import annotations

import re
from fractions import Fraction

import inkex
import numpy as np
import pytest
from lxml import etree
from shapely.geometry import Point
from svgpathtools import parse_path

from docs.size_table import PERCENTILES, size_table
from extension.book.csv_table import read_table
from extension.book.drafting_many import asked_for
from extension.book.nested_sheet import PATTERNS
from extension.client_book import ClientBook
from extension.cutting_plan import CuttingPlan
from extension.demo import BLANK, applied, drafted
from extension.fitting_changes import FittingChanges
from extension.print_pages import PrintPages
from extension.remeasure_sleeve import RemeasureSleeve
from geometry.measuring.given import read_given
from geometry.measuring.measurements import EXAMPLE
from tests import sleeve_edits as edits
from tests import sleeve_measures as measures
from tests.bodies import women
from tests.host import REPOSITORY

LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"
INCH = Fraction(127, 5)
#: By how much each size is larger, invented: in inches, by the names of the example's measurements.
STEPS = {
    "bust_girth": "2", "off_shoulder_girth": "1 1/2", "shoulder_width": "1/4", "upper_arm_girth": "1/2", "upper_arm_level": "1/8",
    "elbow_girth": "3/8", "elbow_level": "1/4", "sleeve_length": "1/4", "hem_girth": "1/4", "hand_girth": "-1/8",
}  # fmt: skip
NAMES = ["8", "10", "12", "14", "16"]


def book(steps=STEPS, sizes="8; 10; 12; 14; 16", base="12") -> bytes:
    names = list(EXAMPLE)
    rows = [
        "# unit: in", ",".join(["label", "base", "sizes", *names]),
        ",".join(["12", "", "", *(EXAMPLE[name].removesuffix(" in") for name in names)]),
        ",".join(["Sizes", base, sizes, *(steps.get(name, "") for name in names)]),
    ]  # fmt: skip
    return "\n".join(rows).encode()


def fraction(text: str) -> Fraction:
    sign, text = (-1, text[1:]) if text.startswith("-") else (1, text)
    return sign * sum(Fraction(part) for part in text.removesuffix(" in").split())


def nested(tmp_path, data: bytes, document: str = BLANK, *options: str):
    file = tmp_path / "sizes.csv"
    file.write_bytes(data)
    drawing = applied(ClientBook(), [f"--book={file}", "--action=draft", "--arrange=nested", *options], document)
    return etree.fromstring(drawing.encode())


def size_layers(root) -> dict:
    return {layer.get(LABEL).removeprefix("Size "): layer for layer in measures.parts(root, "size layer")}


def seam_of(layer):
    return measures.on_page(measures.parts(layer, "nested seam line")[0])


def test_each_size_is_so_many_steps_from_the_base():
    clients = asked_for(read_table(book(), ("label",)), "Sizes").clients
    assert [client.label for client in clients] == NAMES
    for k, client in enumerate(clients):
        given = read_given(client.typed, "in")
        for name, step in STEPS.items():
            wanted = (fraction(EXAMPLE[name]) + (k - 2) * fraction(step)) * INCH
            assert getattr(given, name) == pytest.approx(float(wanted), abs=1e-6), (client.label, name)
    assert {name: clients[2].typed[name] for name in EXAMPLE} == {name: text.removesuffix(" in") for name, text in EXAMPLE.items()}


def test_all_has_each_size_once_and_one_may_be_asked_for_by_name():
    table = read_table(book(), ("label",))
    assert [client.label for client in asked_for(table, "all").clients] == NAMES
    assert [client.label for client in asked_for(table, "14; 8").clients] == ["14", "8"]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (book(base="13"), "there is not just one"), (book(sizes="8; 10"), "the base is one of them"),
        (book({**STEPS, "hem_girth": "x"}), "column hem_girth: “x” is not a length"),
    ],
)  # fmt: skip
def test_a_run_that_can_not_be_read_is_told(data, said):
    assert said in " ".join(asked_for(read_table(data, ("label",)), "Sizes").said)


def test_all_sizes_lie_on_one_grain_line_and_top_edge(tmp_path):
    root = nested(tmp_path, book())
    layers = size_layers(root)
    assert list(layers) == NAMES
    tops, middles, widths = [], [], []
    for layer in layers.values():
        left, right, top, _ = seam_of(layer).bbox()
        tops.append(top)
        middles.append((left + right) / 2)
        widths.append(right - left)
    (grain,) = measures.parts(root, "grain line")
    assert np.ptp(tops) < 1e-3 and np.ptp(middles) < 1e-3
    assert measures.on_page(grain).bbox()[0] == pytest.approx(middles[0], abs=1e-3)
    assert np.diff(widths).min() > 5


def test_sizes_are_told_apart_in_black_and_white(tmp_path):
    root = nested(tmp_path, book())
    patterns = []
    for layer in size_layers(root).values():
        styles = {path.get("style") for path in layer if not path.get(f"{measures.OWN}part").endswith("notch")}
        assert {re.search(r"stroke:#(..)(..)(..)", style).groups() for style in styles} <= {("00",) * 3, ("70",) * 3}
        (pattern,) = {re.search(r"stroke-dasharray:([^;]*)", style)[1] for style in styles}
        patterns.append(pattern)
    legend = [re.search(r"stroke-dasharray:([^;]*)", line.get("style"))[1] for line in measures.parts(root, "legend line")]
    assert patterns == legend and len(set(patterns)) == len(NAMES)
    assert len(set(PATTERNS)) == len(PATTERNS)


def test_names_and_tier_numbers_stand_inside_the_narrowest_size(tmp_path):
    """The piece's name, FRONT, BACK, and a number above each tier line's back end, all where every size has paper (by shapely)."""
    root = nested(tmp_path, book())
    narrowest = size_layers(root)["8"]
    outline = measures.polygon(seam_of(narrowest))
    rows = {}
    for row in measures.parts(root, "names layer")[0].iter("{http://www.w3.org/2000/svg}tspan"):
        x, y, _ = measures.matrix_of(row) @ (float(row.get("x")), float(row.get("y")), 1)
        assert outline.contains(Point(x, y)), row.text
        rows[row.text] = x, y
    middle = outline.centroid.x
    assert rows["FRONT"][0] > middle > rows["BACK"][0] and rows["Cut 2 (1 pair)"][0] > middle
    for number, line in tier_lines(narrowest).items():
        x, y = rows[str(number)]
        start = min(line.point(0), line.point(1), key=lambda end: end.real)
        assert abs(x - start.real) < 15 and -5 < y - start.imag < 0


def test_the_table_says_what_is_drawn(tmp_path):
    root = nested(tmp_path, book())
    columns = {
        text.get(LABEL): ["".join(span.itertext()) for span in text]
        for text in root.iter(f"{measures.SVG}text")
    }
    for (label, layer), bust in zip(size_layers(root).items(), columns["Column Bust girth"]):
        assert Fraction(36 * 2 + 1, 2) + 2 * (NAMES.index(label) - 2) == fraction(bust) or bust == "2"
        assert seam_of(layer).length() > 0


def test_her_edit_appears_on_every_size(tmp_path):
    plain = size_layers(nested(tmp_path, book()))
    hers = applied(FittingChanges(), ["--elbow_front=3/8", "--elbow_back=3/8"], drafted(["--label=12"]))
    carried = size_layers(nested(tmp_path, book(), hers, "--carry=true"))
    for label, layer in carried.items():
        with_it, without = (measures.polygon(seam_of(each)) for each in (layer, plain[label]))
        wider = (with_it.bounds[2] - with_it.bounds[0]) - (without.bounds[2] - without.bounds[0])
        assert abs(wider) < 0.5  # not at the underarm, which is the widest
        # Two smooth steps, up from the upper arm to the elbow and down to the hem, hold half of what a box so long would.
        upper_arm = float((Fraction(29, 4) + Fraction(1, 8) * (NAMES.index(label) - 2)) * INCH)
        long = without.bounds[3] - without.bounds[1] - upper_arm
        assert with_it.area - without.area == pytest.approx(9.525 * long, rel=0.02), label


def test_the_base_size_is_her_sleeve_as_it_stands(tmp_path):
    bulged = etree.fromstring(drafted(["--label=12"]).encode(), parser=inkex.elements.SVG_PARSER)
    edits.bulge_front(bulged)
    hers = applied(RemeasureSleeve(), [], etree.tostring(bulged).decode())
    (seam,) = measures.parts(etree.fromstring(hers.encode()), "seam line")
    carried = size_layers(nested(tmp_path, book(), hers, "--carry=true"))
    drawn = measures.parts(carried["12"], "nested seam line")[0]
    assert measures.line(parse_path(drawn.get("d"))).hausdorff_distance(measures.line(parse_path(seam.get("d")))) < 1e-3


def test_the_shape_of_a_sleeve_that_she_left_alone_is_no_shape(tmp_path):
    """Every line of every size is drawn as it is without it, to the last digit."""
    plain, carried = (size_layers(nested(tmp_path, book(), *more)) for more in ((), (drafted(["--label=12"]), "--carry=true")))
    for label, layer in plain.items():
        assert [line.get("d") for line in carried[label].iter(f"{measures.SVG}path")] == [line.get("d") for line in layer.iter(f"{measures.SVG}path")]


def test_one_alone_is_the_single_draft(tmp_path):
    data = book(dict.fromkeys(STEPS, "0"), sizes="12")
    file = tmp_path / "one.csv"
    file.write_bytes(data)
    by_book = applied(ClientBook(), [f"--book={file}", "--action=draft", "--arrange=nested", "--clients=12"], BLANK)
    beside = applied(ClientBook(), [f"--book={file}", "--action=draft", "--arrange=beside", "--clients=12"], BLANK)
    assert by_book == beside


def test_steps_are_what_subtracting_in_the_table_of_sizes_gives(tmp_path):
    """Rows read back with Fraction: to the sixteenth of her tape, each row of steps the difference of two rows of sizes."""
    root = nested(tmp_path, book())
    columns: dict = {}
    for text in root.iter(f"{measures.SVG}text"):
        if text.get(LABEL, "").startswith("Column ") and text.get(LABEL) not in ("Column Size (in)", "Column Steps (in)"):
            columns.setdefault(text.get(LABEL), []).append([fraction("".join(span.itertext())) for span in text])
    assert len(columns) == 10
    for sizes, steps in columns.values():
        assert len(sizes) == len(NAMES) and all(16 % length.denominator == 0 for length in sizes)
        assert steps == [after - before for before, after in zip(sizes, sizes[1:])]


@pytest.mark.parametrize("command", [CuttingPlan, RemeasureSleeve, FittingChanges])
def test_nested_sizes_are_named_where_a_single_sleeve_is_asked_for(tmp_path, command):
    """Also where there is another sleeve, which is not what she selected."""
    file = tmp_path / "sizes.csv"
    file.write_bytes(book())
    options = [f"--book={file}", "--action=draft", "--arrange=nested"]
    alone = applied(ClientBook(), options, BLANK)
    beside = applied(ClientBook(), options, drafted())
    root = etree.fromstring(beside.encode())
    measures.parts(root, "nested seam line")[0].set("id", "hers")
    for drawing, chosen in ((alone, []), (etree.tostring(root).decode(), ["--id=hers"])):
        with pytest.raises(inkex.AbortExtension, match="nested sizes, which only"):
            applied(command(), chosen, drawing)
    options = ["--hem_front=1/4"] if command is FittingChanges else []
    assert applied(command(), options, beside)  # the only sleeve


def test_sleeves_side_by_side_stand_in_rows_in_their_order(tmp_path):
    """Seven sizes, six to a row; boxes of the cut outlines by svgpathtools."""
    file = tmp_path / "sizes.csv"
    file.write_bytes(book(sizes="6; 8; 10; 12; 14; 16; 18"))
    root = etree.fromstring(applied(ClientBook(), [f"--book={file}", "--action=draft", "--arrange=beside"], drafted()).encode())
    hers, *sleeves = measures.parts(root, "sleeve")
    assert [sleeve.get(LABEL).split()[-1] for sleeve in sleeves] == ["6", "8", "10", "12", "14", "16", "18"]
    boxes = [measures.on_page(measures.parts(sleeve, "cutting line")[0]).bbox() for sleeve in sleeves]
    first, last = boxes[:6], boxes[6]
    assert all(left[1] < right[0] for left, right in zip(first, first[1:]))  # xmin, xmax, ymin, ymax
    assert max(box[2] for box in first) < min(box[3] for box in first) and last[2] > max(box[3] for box in first)
    other = measures.on_page(measures.parts(hers, "cutting line")[0]).bbox()
    assert not any(box[0] < other[1] and other[0] < box[1] and box[2] < other[3] and other[2] < box[3] for box in boxes)


def test_every_tier_has_its_number_in_the_nest(tmp_path):
    root = nested(tmp_path, book())
    (names,) = measures.parts(root, "names layer")
    said = ["".join(text.itertext()) for text in names.iter(f"{measures.SVG}text")]
    assert sorted(text for text in said if text.isdigit()) == [str(k) for k in range(1, 7)]


def test_steps_that_jump_are_told(tmp_path):
    rows = book().decode().splitlines()[:3]
    cells = rows[2].split(",")
    full = [",".join([str(k), "", "", f"{bust}", *cells[4:]]) for k, bust in enumerate(["32 1/2", "34 1/2", "36 1/2", "41", "43"])]
    root = nested(tmp_path, "\n".join([*rows[:2], *full]).encode())
    said = " ".join("".join(span.itertext()) for layer in measures.parts(root, "book report") for span in layer.iter(f"{measures.SVG}tspan"))
    assert "Bust girth: from 2 to 3 it goes by 4 1/2 in, beside by 2 in and 2 in." in said
    assert said.count("it goes by") == 1


def test_clients_in_the_order_in_which_they_came_are_no_run_of_sizes(tmp_path):
    """Eases typed as lengths and in percent side by side, girths up and down: no step is told, and none is drawn up in a table."""
    header, example = book().decode().splitlines()[1:3]
    cells = example.split(",")
    rows = [
        ",".join([name, "", "", bust, *cells[4:], ease])
        for name, bust, ease in (("Ada", "36 1/2", "15 %"), ("Bea", "38", "1"), ("Cleo", "34", ""), ("Dora", "37", "10 %"))
    ]
    file = tmp_path / "clients.csv"
    file.write_text("\n".join(["# unit: in", f"{header},ease_hem", *rows]), encoding="utf-8")
    root = etree.fromstring(applied(ClientBook(), [f"--book={file}", "--action=draft", "--arrange=beside"], BLANK).encode())
    (report,) = measures.parts(root, "book report")
    said = " ".join("".join(span.itertext()) for span in report.iter(f"{measures.SVG}tspan"))
    assert "4 of 4 drafted" in said and "Size" in said
    assert "it goes by" not in said and "Steps" not in said


def test_a_size_that_can_not_be_drafted_makes_no_jump(tmp_path):
    """Even steps; one size whose hem is wider than any sleeve takes is told for that alone."""
    rows = book().decode().splitlines()[:3]
    cells = rows[2].split(",")
    full = [",".join([str(k), "", "", str(32 + 2 * k), *cells[4:]]) for k in range(6)]
    full[2] = full[2].replace(",9,", ",900,")
    root = nested(tmp_path, "\n".join([*rows[:2], *full]).encode())
    said = " ".join("".join(span.itertext()) for layer in measures.parts(root, "book report") for span in layer.iter(f"{measures.SVG}tspan"))
    assert "5 of 6 drafted" in said and "900" in said and "it goes by" not in said


def test_sixty_sizes_in_one_sheet(tmp_path):
    small = dict.fromkeys(STEPS, "1/16")
    root = nested(tmp_path, book(small, sizes="; ".join("12" if k == 30 else f"Size {k}" for k in range(60))))
    assert len(size_layers(root)) == 60


def test_the_table_to_start_from_is_what_the_data_say_and_every_size_of_it_is_drafted(tmp_path):
    """Percentiles counted here by sorting: so many percent of 260 women are no larger (openintro/bdims)."""
    file = REPOSITORY / "docs" / "sizes-to-start-from.csv"
    assert file.read_text("utf-8") == size_table()
    asked = asked_for(read_table(file.read_bytes(), ("label",)), "all")
    assert all("it goes by" in said for said in asked.said) and len(asked.clients) == len(PERCENTILES)  # nothing but how real bodies grow
    for percentile, client in zip(PERCENTILES, asked.clients):
        for name, column in (("bust_girth", "che_gi"), ("upper_arm_girth", "bic_gi"), ("wrist_girth", "wri_gi")):
            girths = sorted(woman[column] for woman in women())
            low, high = (sum(girth <= float(client.typed[name]) + off for girth in girths) / len(girths) for off in (-0.251, 0.251))
            assert low - 0.01 <= percentile / 100 <= high + 0.01, (name, percentile)
    assert len(size_layers(nested(tmp_path, file.read_bytes()))) == len(PERCENTILES)


def test_nested_sizes_are_printed_with_their_legend_where_notes_are_ticked(tmp_path):
    drawing = etree.tostring(nested(tmp_path, book())).decode()
    counts = []
    for options in ([], ["--notes=true"]):
        root = etree.fromstring(applied(PrintPages(), ["--paper=A4", *options], drawing).encode())
        pages = list(root.iter("{http://www.inkscape.org/namespaces/inkscape}page"))
        counts.append(len(pages))
        boxes = np.array([[float(page.get(side)) for side in ("x", "y", "width", "height")] for page in pages])
        for layer in size_layers(root).values():
            left, right, top, bottom = measures.on_page(measures.parts(layer, "nested cutting line")[0]).bbox()
            covered = [x <= right and left <= x + w and y <= bottom and top <= y + h for x, y, w, h in boxes]
            assert sum(covered) >= 4  # larger than an A4 sheet both ways
    assert counts[1] > counts[0]


def moved_by_hand(*changes) -> str:
    """The sleeve of size 12 after edits by hand, re-measured."""
    root = etree.fromstring(drafted(["--label=12"]).encode(), parser=inkex.elements.SVG_PARSER)
    for change in changes:
        change(root)
    return applied(RemeasureSleeve(), [], etree.tostring(root).decode())


def tier_lines(layer) -> dict[int, object]:
    """The tier lines of a size below its top edge, on the page, by number."""
    return {
        int(re.match(r"Tier line (\d+)", line.get(LABEL))[1]): measures.on_page(line) for line in measures.parts(layer, "nested tier line")
    }


def test_tier_lines_moved_by_hand_are_moved_in_every_size(tmp_path):
    """The fourth 13 mm down and the fifth aslant on the base, the second deleted: so in every size, and the others as planned there."""
    plain = size_layers(nested(tmp_path, book()))
    carried = size_layers(nested(tmp_path, book(), moved_by_hand(edits.tier_moved, edits.tier_tilted, edits.tier_deleted), "--carry=true"))
    falls = []
    for label, layer in carried.items():
        length = (fraction(EXAMPLE["sleeve_length"]) + fraction(STEPS["sleeve_length"]) * (NAMES.index(label) - 2)) * INCH
        tiers, before = tier_lines(layer), tier_lines(plain[label])
        assert sorted(tiers) == [3, 4, 5, 6] and sorted(before) == [2, 3, 4, 5, 6]
        # Both sheets hang from the top edge, and the plan puts the lines at sixths of the length.
        top = before[3].start.imag - float(length * 2 / 6)
        for number, off in ((3, 0), (4, 13), (6, 0)):
            ends = [tiers[number].start.imag, tiers[number].end.imag]
            here = top_of(layer) - top_of(plain[label]) + top + float(length * (number - 1) / 6) + off
            assert ends == pytest.approx([here, here], abs=0.02), (label, number)
        seam = measures.line(seam_of(layer))
        for line in tiers.values():
            assert max(seam.distance(Point(end.real, end.imag)) for end in (line.start, line.end)) < 0.01
        across = tiers[5].end - tiers[5].start
        falls.append(across.imag)
    assert max(falls) < -15 and max(falls) - min(falls) < 0.5  # from end to end it falls as on the base, narrower or wider


def top_of(layer) -> float:
    return measures.polygon(seam_of(layer)).bounds[1]


def test_tier_lines_on_another_number_of_tiers_stand_as_planned_and_it_is_said(tmp_path):
    hers = moved_by_hand(edits.tier_moved)
    rows = book(sizes="12").decode().splitlines()
    fuller = "\n".join([f"{rows[1]},tiers", f"{rows[2]},7"]).replace("12,,", "Other,,", 1)
    root = nested(tmp_path, f"# unit: in\n{fuller}\n{rows[2]},6".encode(), hers, "--carry=true")
    assert "Other: its tiers are not those of the selected sleeve" in report_of(root)
    assert sorted(tier_lines(size_layers(root)["Other"])) == [2, 3, 4, 5, 6, 7]


def report_of(root) -> str:
    return " ".join("".join(span.itertext()) for layer in measures.parts(root, "book report") for span in layer.iter(f"{measures.SVG}tspan"))


def test_what_is_wrong_in_a_size_is_told(tmp_path):
    """Her back seam is shorter than the front one, by svgpathtools, in every size; the report names each, and of an even edit none."""
    uneven = nested(tmp_path, book(), moved_by_hand(edits.shorten_back), "--carry=true")
    for name in NAMES:
        assert f"{name}, to put right: underarm seams, sewn to each other" in report_of(uneven)
    even = applied(FittingChanges(), ["--elbow_front=3/8", "--elbow_back=3/8"], drafted(["--label=12"]))
    assert "to put right" not in report_of(nested(tmp_path, book(), even, "--carry=true"))


def test_sizes_side_by_side_have_a_legend_a_line_each_and_both_tables(tmp_path):
    """Cutting lines whole or with dots, as the legend shows them in its order; none has the seam line's plain dashes; re-measuring keeps them."""
    file = tmp_path / "sizes.csv"
    file.write_bytes(book())
    drawing = applied(ClientBook(), [f"--book={file}", "--action=draft", "--arrange=beside"], BLANK)
    root = etree.fromstring(drawing.encode())

    def dashes(line) -> str:
        return re.search(r"stroke-dasharray:([^;]*)", line.get("style"))[1]

    drawn = [dashes(line) for line in measures.parts(root, "cutting line")]
    assert drawn == [dashes(line) for line in measures.parts(root, "legend line")] and len(set(drawn)) == len(NAMES)
    assert all(dash == "none" or min(map(float, dash.split(","))) <= 1 for dash in drawn)
    assert {dashes(line) for line in measures.parts(root, "seam line")} == {"6,1.5"}
    said = report_of(root)
    assert "5 of 5 drafted." in said and "8 to 10" in said and "14 to 16" in said and "What comes next" in said
    last = measures.parts(root, "sleeve")[-1]
    others = [sleeve for sleeve in measures.parts(root, "sleeve") if sleeve is not last]
    for sleeve in others:
        sleeve.getparent().remove(sleeve)
    again = etree.fromstring(applied(RemeasureSleeve(), ["--mirror=front_to_back"], etree.tostring(root).decode()).encode())
    assert [dashes(line) for line in measures.parts(again, "cutting line")] == drawn[-1:]

"""The sewing order and what is bought are those of what was chosen; the lining is laid by its own outline."""
import re

import pytest
from lxml import etree
from svgpathtools import parse_path

from tests.host import REPOSITORY
from tests.sleeve_edits import part, parts, tier

A4 = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"/>'
INCH = 25.4


@pytest.fixture
def planned(run_effect):
    """Draft, change the drawing if need be, plan, and return the document and the words of the job sheet."""

    def planned(change=None, plan=None, **options):
        svg = A4
        for name, given in (("draft_sleeve", options), ("cutting_plan", plan or {})):
            outcome = run_effect(REPOSITORY / "extension" / f"{name}.py", given, svg)
            assert outcome.returncode == 0 and outcome.stderr == "", outcome.stderr
            svg = outcome.stdout
            if change and name == "draft_sleeve":
                root = etree.fromstring(svg.encode())
                change(root)
                svg = etree.tostring(root).decode()
        root = etree.fromstring(svg.encode())
        return root, " ".join(" ".join(text.split()) for text in part(root, "job sheet panel").itertext() if text.strip())

    return planned


# By hand: 41 1/4 in around; elastic 0.9 of it and 1 in; a binding 4 x 3/8 in; half a band 20 5/8 + 1/2 in, 2 + 1 in high.
@pytest.mark.parametrize(
    ("options", "said", "unsaid"),
    [
        ({}, ["Cut the base, the band and the lining", "sew it to the top edge", "41 1/4 in long", "21 1/8 in × 3 in"], ["Elastic", "bias"]),
        (
            {"finish": "elastic"},
            ["Attach the tiers but the first", "stitch it 5/8 in below the fold", "Elastic 1/2 in wide: 38 1/8 in", "Sew tier 1 on the stitching",
             "catching the ends of tiers 2 to 6", "The ends of tier 2 lie along the armhole"],
            ["the band", "bias", "ends of every tier", "ends of tiers 1"],
        ),
        ({"finish": "bound"}, ["Bind the top edge with a bias strip cut 1 1/2 in wide", "Bias strip 1 1/2 in wide: 41 1/4 in"], ["elastic,"]),
        ({"finish": "faced"}, ["Turn the facing in along its fold"], ["the band", "bias"]),
        ({"finish": "faced", "top_edge_raise": "1/4"}, ["Cut the base, the facing and the lining", "clip the curve", "Facing: cut 2"], ["the band"]),
        ({"lining": "none"}, ["Cut the base and the band"], ["lining and put it in", "Lining:"]),
        (
            {"lining": "own", "lining_hem": "caught"},
            ["sew its lower edge to the edge of the turned-up hem", "the band takes in both"], ["hangs free"],
        ),
        ({"lining": "own", "finish": "elastic"}, ["the casing’s stitching takes it in"], ["the band"]),
        ({"lining": "own", "finish": "faced"}, ["until the facing is turned in"], ["the band"]),
        ({"lining": "own", "finish": "faced", "top_edge_raise": "1/4"}, ["Sew its top edge to the lower edge of the facing first"], ["the band"]),
        ({"lining": "own"}, ["turn up its hem, which hangs free"], ["turned-up hem"]),
        ({"edge_fullness": "1.2"}, ["draw 9 1/2 in up to 7 7/8 in"], []),  # 1.2 x 7 7/8 = 9.45 in
        (
            {"edge_fullness": "1.2", "finish": "faced"},
            ["along its fold and catch it to the seams", "through the facing as well", "Stay it with a tape 7 7/8 in long"], ["onto the"],
        ),
        ({"tiers": 7}, ["catching the ends of tiers 2 to 7", "The ends of tiers 1 and 2 lie along the armhole"], []),
    ],
)  # fmt: skip
def test_the_order_is_that_of_what_was_chosen(planned, options, said, unsaid):
    _, sheet = planned(**options)
    assert [words for words in said if words not in sheet] == []
    assert [words for words in unsaid if words in sheet] == []


def test_a_hem_is_turned_up_before_a_lining_is_caught_in_it(planned):
    for hem, hem_first in (("caught", True), ("shorter", False)):
        _, sheet = planned(lining="own", lining_hem=hem)
        assert (sheet.index("Turn up the hem") < sheet.index("of the lining and put it in")) == hem_first


# By hand: 4 sleeves have two top edges, so two bands and 4 facings; the whole band is 41 1/4 + 1 in long.
@pytest.mark.parametrize(
    ("options", "plan", "said"),
    [
        ({}, {"sleeves": 4}, ["Band: cut 2 on the fold", "laid with the base, opened out"]),
        ({}, {"base_width": "0"}, ["Band: cut 1 on the fold", "not laid, since no base cloth is planned"]),
        ({"finish": "faced", "top_edge_raise": "1/4"}, {"sleeves": 4}, ["Facing: cut 4 (2 pairs); laid with the base"]),
        ({"finish": "bound"}, {}, ["Cut the base, the bias strips and the lining", "laid with the base"]),
        ({"finish": "elastic"}, {"sleeves": 3}, ["2 pieces of 38 1/8 in, one for each whole top edge"]),
    ],
)
def test_what_finishes_the_top_edge_is_laid_with_the_base(planned, options, plan, said):
    _, sheet = planned(plan=plan, **options)
    assert [words for words in said if words not in sheet] == []


def test_a_band_that_she_has_edited_is_laid_as_she_has_it(planned):
    def longer(root):
        (panel,) = parts(root, "band pieces panel")
        cut = part(panel, "piece cutting line")
        cut.set("d", parse_path(cut.get("d")).scaled(1.2, 1.0, origin=0j).d() + " Z")

    lengths = []
    for change in (None, longer):
        root, _ = planned(change, plan={"base_spare": "0"})
        lengths.append(max(bottom - top for *_, top, bottom in lay_of(root, "base")) * 10)
    assert lengths == pytest.approx([42.25 * INCH, 1.2 * 42.25 * INCH], abs=1)  # the lay is drawn at 1:10


def lay_of(root, name):
    layers = [layer for layer in parts(root, "lay layer") if layer.get("{http://www.inkscape.org/namespaces/inkscape}label") == f"Lay of {name}"]
    shapes = [parse_path(path.get("d")) for layer in layers for path in layer.iter() if path.get("{urn:x-tiered-sleeve}part") == "pieces"]
    return [shape.bbox() for shape in shapes]


def test_a_lining_of_its_own_is_laid_as_it_is(planned):
    root, _ = planned(lining="own", lining_shorter="3", finish="bound")
    heights = {name: lay_of(root, name)[0][3] - lay_of(root, name)[0][2] for name in ("base", "lining")}
    scale = 10 if heights["base"] < 60 else 5
    assert (heights["base"] - heights["lining"]) * scale == pytest.approx(3 * INCH, abs=3)


def test_a_lining_that_she_has_edited_is_laid_as_she_has_it(planned):
    def longer(root):
        (panel,) = parts(root, "lining pieces panel")
        cut = part(panel, "piece cutting line")
        stretched = parse_path(cut.get("d")).scaled(1.0, 1.1, origin=0j)
        cut.set("d", stretched.d() + " Z")

    plain, _ = planned(lining="own")
    edited, _ = planned(longer, lining="own")
    before, after = (lay_of(root, "lining")[0] for root in (plain, edited))
    assert (after[3] - after[2]) == pytest.approx(1.1 * (before[3] - before[2]), rel=1e-3)


# --- the minutes of each step ---------------------------------------------------------------------------

TIMED = ("cutting", "joining", "edge", "rows", "shaping", "setting", "seams", "lining", "hem", "top_edge", "setting_in", "pressing")


def minutes_in(duration: str) -> int:
    hours, minutes = re.fullmatch(r"(?:(\d+) h )?(\d+) min", duration).groups(default="0")
    return 60 * int(hours) + int(minutes)


def steps_of(sheet: str) -> dict[str, int]:
    """The steps of a job sheet that take time, and the minutes of each."""
    order = re.split(r" \d+\. (?=[A-Z])", sheet[sheet.index("table below.") : sheet.index("Thread and time")])
    told = (re.fullmatch(r"(.+) \(([^()]*\d+ min)\) ?", step) for step in order[1:])
    return {step[1]: minutes_in(step[2]) for step in told if step}


@pytest.mark.parametrize(
    ("options", "plan"),
    [
        ({}, {}),
        ({"finish": "elastic"}, {"layers_sewn": "together"}),
        ({"finish": "faced", "edge_fullness": "1.2"}, {"make": "knife", "net_width": "30"}),
        ({}, {"bought_tiers": "2; 6", "strip_edge": "ribbon", "under_edge": "braid", "layer_step": "1/4 in", "inner_layers": "1"}),
        ({"finish": "elastic"}, {"bought_tiers": "all"}),
        ({"lining": "none", "finish": "bound", "tiers": 3}, {"make": "flounce", "fullness": "2", "layers": "1"}),
    ],
)  # fmt: skip
def test_the_steps_take_as_long_as_all_operations(planned, options, plan):
    _, sheet = planned(plan={"fitting": "0", **plan}, **options)
    steps = steps_of(sheet)
    in_all = minutes_in(re.search(r"of thread and ([^()]*?\d+ min) of work in all", sheet)[1])
    assert len(steps) >= 7 and all(steps.values())
    assert sum(steps.values()) == in_all


def test_a_step_takes_the_time_of_its_own_operation(planned):
    """One operation after the other takes an hour for its yard or piece, all others none: by hand how long its steps take then."""
    def step_of(name, **options):
        _, sheet = planned(plan={"base_width": "54 in", **{f"{each}_minutes": "60" if each == name else "0" for each in TIMED}}, **options)
        return {says[:24]: minutes for says, minutes in steps_of(sheet).items()}

    # Six lines as svgpathtools measures them, on two sleeves, in three layers: one is sewn on, two lie under it.
    root, _ = planned()
    yards = 2 * sum(parse_path(tier(root, number).get("d")).length() for number in range(1, 7)) / (36 * INCH)
    assert step_of("setting") == pytest.approx({"Lay the layers of each t": 2 * yards * 60, "Attach the tiers from th": yards * 60}, abs=0.51)
    # The band: 41 1/4 in for two sleeves.  Two linings.  Pressing two sleeves.
    assert step_of("top_edge") == pytest.approx({"Mark the seam places on ": 41.25 / 36 * 60}, abs=1)
    assert step_of("lining") == {"Close the underarm seam ": 120}
    assert step_of("pressing") == {"Press the sleeves, the i": 120}


@pytest.mark.parametrize(("make", "trial"), [("gathered", "gather it"), ("box", "pleat it"), ("flounce", "clip and spread it")])
def test_the_trial_of_one_layer_is_of_the_way_that_was_chosen(planned, make, trial):
    sheet = planned(plan={"make": make, "fullness": "2"}, tiers=2)[1]
    assert f"Cut one layer of one tier, {trial} and hold it to its line" in sheet

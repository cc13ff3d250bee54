"""What is cut beside the sleeves: by hand, and shapely looks at how it is laid."""
import math

import numpy as np
import pytest
from shapely.affinity import scale
from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

from geometry.cloth.beside import BIAS_JOIN, bias_strip, cut_beside
from geometry.cloth.nesting import APART, lay_outlines
from geometry.curves.curve import Curve
from geometry.measuring.measurements import USUAL
from geometry.pieces.all_pieces import pieces_of
from geometry.pieces.piece import opened_out
from geometry.sleeve.draft import cut_around, draft_sleeve
from tests.bodies import DEFAULTS

INCH = 25.4
WIDTH = 52 * INCH


def made(finish: str, sleeves: int = 2, across: bool = False, raised: float = 0.0, **style):
    draft = draft_sleeve(DEFAULTS._replace(top_edge_raise=raised), 6, style=USUAL._replace(finish=finish, **style))
    cut = {piece.name: piece.cut for piece in pieces_of(draft)}
    return cut_around(draft.seam, draft.settled), cut_beside(draft.seam, draft.settled, cut, sleeves, across)


def test_a_band_is_opened_out_at_its_fold():
    """A half with a wavy free end: by shapely, the half and its mirror image together."""
    half = Curve.chain([
        Curve.line((0, 0), (500, 0)), Curve.cubic((500, 0), (520, 20), (490, 40), (510, 76)),
        Curve.line((510, 76), (0, 76)), Curve.line((0, 76), (0, 0)),
    ])  # fmt: skip
    polygon = Polygon(half.flatten(0.001))
    whole = unary_union([polygon, scale(polygon, -1, 1, origin=(0, 0))])
    assert Polygon(opened_out(half).flatten(0.001)).symmetric_difference(whole).area < 1e-3 * whole.area


@pytest.mark.parametrize("sleeves", [1, 2, 4])
def test_so_many_pieces_for_so_many_sleeves(sleeves):
    """Two sleeves to a top edge; by hand: 41 1/4 in and two allowances of 1/2 in, 2 x 1 in and two allowances high."""
    tops = math.ceil(sleeves / 2)
    ((band,),) = made("band", sleeves)[1]
    left, top, right, bottom = band.outline.bounds()
    assert (band.number, band.name) == (tops, "band")
    assert ((bottom - top) / INCH, (right - left) / INCH) == pytest.approx((42.25, 3))
    ((two_part,),) = made("band", sleeves, band_cut="two-part")[1]
    assert two_part.number == 2 * tops
    ((facing,),) = made("faced", sleeves, raised=8.0)[1]
    assert (facing.number, facing.paired) == (sleeves, True)
    assert made("elastic", sleeves)[1] == [()]
    assert made("faced", sleeves)[1] == [()]  # cut in one


def test_strips_on_the_bias_make_up_the_whole_edge():
    """By shapely: 1 1/2 in wide, at 45 degrees to the grain, their ends along it; what is left between all joins is 41 1/4 in."""
    for ways in made("bound")[1]:
        (binding,) = ways
        corners = binding.outline.nodes[:-1]
        edges = [LineString([a, b]) for a, b in zip(corners, np.roll(corners, -1, axis=0))]
        assert edges[0].distance(edges[2]) / INCH == pytest.approx(1.5)
        along, end = (np.subtract(edge.coords[1], edge.coords[0]) for edge in edges[:2])
        assert abs(along[0]) == pytest.approx(abs(along[1]))
        assert end[0] == pytest.approx(0)
        # Two pieces overlap, right sides together, by twice the allowance square to their ends.
        assert binding.number * (edges[0].length - 2 * BIAS_JOIN / math.cos(math.pi / 4)) / INCH == pytest.approx(41.25)


CASES = [
    ("band", {}, 1), ("band", {"band_cut": "two-part"}, 2), ("faced", {"raised": 12.0}, 2), ("bound", {}, None), ("band", {"across": True}, 1),
]  # fmt: skip


@pytest.mark.parametrize("either_way", [True, False])
@pytest.mark.parametrize(("finish", "options", "number"), CASES)
def test_all_lies_on_the_cloth_and_nothing_upon_another(finish, options, number, either_way):
    piece, ways = made(finish, **options)
    for beside in ways:
        lay = lay_outlines(piece, 2, WIDTH, either_way, 0.0, beside)
        shapes = [Polygon(piece.transformed(at.matrix).flatten(0.02)) for at in lay.placements]
        shapes += [Polygon(each.laid.flatten(0.02)) for each in lay.others]
        assert lay.piece_count == len(shapes) == 2 + sum(each.number for each in beside)
        assert number is None or len(lay.others) == number
        assert min(a.distance(b) for i, a in enumerate(shapes) for b in shapes[:i]) >= APART - 0.1
        left, top, right, bottom = unary_union(shapes).bounds
        assert (left, top) >= (-0.1, -0.1) and right <= WIDTH + 0.1 and bottom == pytest.approx(lay.length, abs=0.1)
        if not either_way or not options.get("across"):  # the grain of each lies along the cloth
            assert all(abs(each.placement.matrix[0, 1]) < 1e-9 for each in lay.others)
        if not either_way:
            assert all(each.placement.matrix[1, 1] == 1 for each in lay.others)


def test_every_second_facing_is_mirrored():
    piece, ((facing,),) = made("faced", 4, raised=12.0)
    lay = lay_outlines(piece, 4, WIDTH, False, 0.0, (facing,))
    assert sorted(np.linalg.det(each.placement.linear) for each in lay.others) == pytest.approx([-1, -1, 1, 1])


def test_across_a_band_takes_less_cloth_where_it_would_lie_below_the_sleeves():
    piece, ((along,),) = made("band")
    lengths = [lay_outlines(piece, 2, WIDTH, True, 0.0, (along._replace(across=across),)).length for across in (False, True)]
    assert lengths[0] / INCH == pytest.approx(42.25, abs=0.01) and lengths[1] < lengths[0] - 12 * INCH


def test_the_area_of_a_strip():
    assert abs(bias_strip(300.0, 38.0).signed_area()) == pytest.approx(38.0 * (300.0 + 2 * BIAS_JOIN * math.sqrt(2)))

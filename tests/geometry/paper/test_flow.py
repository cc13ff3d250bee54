"""Pages of what is higher than a page: nothing is lost, and only what must be cut is.

The references are shapely's union of intervals, and every place tried one by one.
"""
import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, box, unary_union

from geometry.paper.flow import shortest_cuts

#: Whole numbers, so that ends meet exactly as those of bands do.
SPANS = st.lists(st.tuples(st.integers(0, 300), st.integers(1, 90)), min_size=1, max_size=30)


def runs_of(spans):
    """(top, bottom) of what reaches past each other's ends, as one; a hair shorter, since those that only touch are two."""
    merged = unary_union([box(top + 1e-6, 0, bottom - 1e-6, 1) for top, bottom in spans])
    return [(run.bounds[0], run.bounds[2]) for run in getattr(merged, "geoms", [merged])]


def cut_by(spans, place):
    return sum(top < place < bottom for top, bottom in spans)


@given(SPANS, st.integers(20, 120))
def test_nothing_is_lost_and_only_what_must_be_is_cut(found, height):
    spans = np.array([(top, top + length) for top, length in found], dtype=float)
    pages = shortest_cuts(spans, height)
    assert all(0 < page.bottom - page.top <= height for page in pages)
    assert all(above.bottom <= below.top for above, below in zip(pages, pages[1:]))
    for top, bottom in spans:
        shown = unary_union([LineString([(page.top, 0), (page.bottom, 0)]) for page in pages])
        assert shown.buffer(1e-9).covers(LineString([(top, 0), (bottom, 0)]))
    for page in pages:
        assert page.run_on == cut_by(spans, page.bottom)
        if page.run_on:  # only what can't lie whole on a page, and anywhere else on the lower half of this one as many would be cut, or more
            assert any(top < page.bottom < bottom and bottom - top > height - 1e-5 for top, bottom in runs_of(spans))
            anywhere = page.top + np.arange(2 * height, 4 * height + 1) / 4
            assert page.run_on == min(cut_by(spans, place) for place in anywhere)


def test_bands_of_a_lay_are_parted_where_they_meet():
    """By hand: bands of 30 on pages of 100 go three to a page."""
    bands = np.array([(30.0 * k, 30.0 * k + 30) for k in range(7)])
    assert [tuple(page) for page in shortest_cuts(bands, 100.0)] == [(0, 90, 0), (90, 180, 0), (180, 210, 0)]

"""Free room keeps clear of what she drew; ``tests/editor/test_drawn_boxes.py`` asks the editor for its boxes."""
from __future__ import annotations

import inkex
import pytest
from lxml import etree

from extension.document.extents import drawn_boxes
from extension.document.free_room import free_room, middle_of_view, room_beside, room_in_view
from extension.document.scale import DocumentHasNoSize
from geometry.box import Box
from tests.strange_elements import STRANGE

NAMESPACES = (
    'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
    'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" '
    'xmlns:sodipodi="http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"'
)


def document(inside: str = "", attributes: str = 'width="210mm" height="297mm" viewBox="0 0 210 297"'):
    return inkex.load_svg(f"<svg {NAMESPACES} {attributes}>{inside}</svg>".encode()).getroot()


def test_an_empty_page_is_used_in_its_middle():
    assert tuple(free_room(document(), 110, 97)) == pytest.approx((50, 100))


def test_a_page_that_is_just_large_enough_is_used():
    assert tuple(free_room(document(), 210, 297)) == pytest.approx((0, 0))


def test_too_small_a_page_sends_it_to_the_right_level_with_the_top():
    assert tuple(free_room(document(), 211, 97)) == pytest.approx((230, 0))
    assert tuple(free_room(document(), 100, 298, gap=5)) == pytest.approx((215, 0))


def test_what_is_drawn_off_the_place_does_not_matter():
    assert tuple(free_room(document('<rect width="20" height="297"/>'), 110, 97)) == pytest.approx((50, 100))


def test_units_and_places_are_the_documents():
    # By hand: the page is 200 mm x 100 mm, one unit 0.5 mm, and 0 lies 25 mm from its left edge.
    svg = document("", 'width="200mm" height="100mm" viewBox="-50 -20 400 200"')
    assert tuple(free_room(svg, 100, 50)) == pytest.approx((50, 30))
    assert tuple(free_room(svg, 300, 50)) == pytest.approx((390, -20))


def test_a_page_that_is_scaled_both_ways():
    svg = document("", 'width="200mm" height="100mm" viewBox="0 0 400 400" preserveAspectRatio="none"')
    assert tuple(free_room(svg, 100, 50)) == pytest.approx((100, 100))


def test_the_first_free_page_is_used_else_right_of_all_pages():
    pages = (
        '<sodipodi:namedview><inkscape:page x="0" y="0" width="210" height="297"/>'
        '<inkscape:page x="300" y="-10" width="210" height="297"/></sodipodi:namedview>'
    )
    svg = document(pages + '<rect x="90" y="90" width="50" height="50"/>')
    assert tuple(free_room(svg, 110, 97)) == pytest.approx((350, 90))
    assert tuple(free_room(svg, 400, 97)) == pytest.approx((530, 0))


#: Each reaches to x = 400 exactly, or generously beyond.
DRAWN = {
    "path": '<path d="M 0 0 C 0 0 100 9 400 9"/>',
    "relative path": '<path d="m 10 10 q 100 90 200 0 t 190 0"/>',
    "group": '<g transform="translate(100)"><g transform="scale(3)"><rect width="100" height="1"/></g></g>',
    "turned": '<g transform="rotate(-90)"><line x1="0" y1="390" x2="9" y2="400"/></g>',
    "hidden layer": '<g inkscape:groupmode="layer" style="display:none"><circle cx="390" r="10"/></g>',
    "locked layer": '<g inkscape:groupmode="layer" sodipodi:insensitive="true"><ellipse cx="390" rx="10" ry="2"/></g>',
    "huge stroke": '<path d="M 5 5 H 300" style="stroke:#000;stroke-width:200;stroke-linecap:square"/>',
    "inherited stroke": '<g stroke="red" stroke-width="100"><g transform="scale(2)"><path d="M 1 1 H 150"/></g></g>',
    "stylesheet's stroke": '<style>.a { stroke-width: 100; stroke: red }</style><path class="a" d="M 1 1 H 350"/>',
    "arrowhead": '<path d="M 5 5 H 380" style="stroke:#000;stroke-width:4;marker-end:url(#arrow)"/>',
    "image": '<image x="300" y="5" width="100" height="9" xlink:href="a.png"/>',
    "image in another unit": '<image width="105.84mm" height="9" xlink:href="a.png"/>',
    "text": '<text x="300" y="50" style="font-size:20px">WWWWW</text>',
    "text at the end": '<text x="400" y="50" style="font-size:20px;text-anchor:end">hem</text>',
    "text by points": '<text x="1 9 390" y="50" font-size="20">abc</text>',
    "text in lines": '<text font-size="20"><tspan x="1" y="5">a</tspan><tspan x="300" y="50">WWWWW</tspan></text>',
    "text in percent": '<g font-size="20"><text x="300" y="9" style="font-size:500%">WW</text></g>',
    "text by shorthand": '<text x="300" y="9" style="font:italic 100px serif">W</text>',
    "flowed text": '<flowRoot><flowRegion><rect x="9" width="391" height="9"/></flowRegion><flowPara>a</flowPara></flowRoot>',
    "text in a shape": '<defs><rect id="s" width="400" height="9"/></defs><text style="shape-inside:url(#s)">a</text>',
    "text on a path": '<defs><path id="s" d="M 0 9 H 400"/></defs><text><textPath xlink:href="#s">a</textPath></text>',
    "clone": '<rect id="r" x="10" width="40" height="9"/><use xlink:href="#r" x="50" transform="translate(300)"/>',
    "clone of a clone": (
        '<rect id="r" width="100" height="9"/><use id="u" href="#r" x="100"/><use href="#u" transform="translate(200)"/>'
    ),
    "clone from defs": '<defs><g id="g" transform="scale(2)"><rect width="200" height="9"/></g></defs><use href="#g"/>',
    "symbol": '<symbol id="y"><rect width="90" height="9"/></symbol><use href="#y" x="310"/>',
    "nested drawing": '<svg x="300" width="100" height="50" viewBox="0 0 9 9"/>',
    "link and switch": '<switch><a><rect width="400" height="9"/></a></switch>',
    "blurred": '<rect x="200" width="190" height="9" style="filter:url(#blur)"/>',
}


@pytest.mark.parametrize("name", DRAWN)
def test_room_is_beyond_whatever_is_drawn(name):
    x, y = free_room(document(DRAWN[name]), 250, 100, gap=10)
    assert 410 - 1e-2 <= x < 1500
    assert y == 0


@pytest.mark.parametrize(
    "unseen",
    [
        '<defs><rect width="900" height="900"/></defs>',
        '<symbol><rect width="900" height="900"/></symbol>',
        '<clipPath><rect width="900" height="900"/></clipPath><mask><rect width="900" height="900"/></mask>',
        '<marker><rect width="900" height="900"/></marker><pattern><rect width="900" height="900"/></pattern>',
        "<metadata>900</metadata><title>900</title><desc>900</desc><script>900</script>",
        '<foreign xmlns="urn:x-foreign" x="900" width="900"/>',
    ],
)
def test_what_is_never_seen_takes_no_room(unseen):
    assert drawn_boxes(document(unseen)) == []
    assert tuple(free_room(document(unseen), 110, 97)) == pytest.approx((50, 100))


@pytest.mark.parametrize("strange", STRANGE)
def test_a_strange_element_is_no_reason_to_stop(strange, capfd):
    svg = document(f'{strange}<g transform="translate(300)"><rect width="100" height="1"/></g>')
    before = etree.tostring(svg)
    x, _ = free_room(svg, 250, 100, gap=10)
    assert x >= 410
    assert etree.tostring(svg) == before, "her document is rewritten"
    assert capfd.readouterr() == ("", ""), "the host would open a box"


def test_deeply_nested_groups_and_many_clones_do_not_hang():
    clones = "".join(
        f'<g id="g{n + 1}"><use xlink:href="#g{n}"/><use xlink:href="#g{n}" x="1"/></g>' for n in range(60)
    )
    assert free_room(document(f'<g id="g0"><rect width="1" height="1"/></g>{clones}'), 50, 50)
    assert free_room(document("<g>" * 200 + '<rect width="9" height="9"/>' + "</g>" * 200), 50, 50)


def test_a_document_of_no_size_is_refused():
    with pytest.raises(DocumentHasNoSize):
        free_room(document(attributes=""), 10, 10)


# --- in view ------------------------------------------------------------------------------------------

VIEW = '<sodipodi:namedview inkscape:cx="{}" inkscape:cy="{}" inkscape:zoom="0.5"/>'
A_SHEET = Box(-300, -10, 500, 490)
ITS_PATTERN = Box(-300, 0, 100, 480)


def placed(svg) -> Box:
    """Where the sheet comes to stand, in true millimetres, whose user unit is one."""
    x, y = room_in_view(svg, A_SHEET, ITS_PATTERN)
    return A_SHEET.moved(x - A_SHEET.left, y - A_SHEET.top)


def middle_of_the_pattern(room: Box) -> tuple[float, float]:
    across, down = room.left - A_SHEET.left, room.top - A_SHEET.top
    pattern = ITS_PATTERN.moved(across, down)
    return ((pattern.left + pattern.right) / 2, (pattern.top + pattern.bottom) / 2)


def test_on_an_empty_page_too_small_for_it_the_pattern_stands_in_the_middle():
    assert middle_of_the_pattern(placed(document())) == pytest.approx((105, 148.5))


def test_where_she_looks_it_is_drawn():
    # By hand: 96 px are 25.4 mm.
    svg = document(VIEW.format(960, -192))
    assert middle_of_the_pattern(placed(svg)) == pytest.approx((254, -50.8))


def test_the_view_counts_from_the_corner_of_the_page():
    """As the editor writes it: px of the page, whatever the viewBox begins with."""
    svg = document(VIEW.format(96, 96), 'width="100mm" height="100mm" viewBox="-50 -20 200 200"')
    assert middle_of_view(svg) == pytest.approx((-50 + 50.8, -20 + 50.8))


def test_a_large_free_page_in_view_has_it_in_its_middle():
    svg = document(attributes='width="900mm" height="600mm" viewBox="0 0 900 600"')
    assert placed(svg) == pytest.approx((50, 50, 850, 550))
    elsewhere = document(VIEW.format(-8000, 0), 'width="900mm" height="600mm" viewBox="0 0 900 600"')
    assert middle_of_the_pattern(placed(elsewhere))[0] == pytest.approx(-8000 * 25.4 / 96)


def test_a_second_one_stands_beside_the_first_and_near():
    first = placed(document())
    drawn = f'<rect x="{first.left}" y="{first.top}" width="{first.width}" height="{first.height}"/>'
    second = placed(document(drawn))
    assert not second.grown(20 - 1e-6).overlaps(first)
    middles = [middle_of_the_pattern(room) for room in (first, second)]
    assert abs(middles[0][0] - middles[1][0]) + abs(middles[0][1] - middles[1][1]) <= 500 + 20 + 1e-6  # no farther than right below


def test_her_page_and_printed_sheets_are_kept_clear_of():
    hers = placed(document('<rect x="50" y="50" width="9" height="9"/>'))
    assert not hers.grown(20 - 1e-6).overlaps(Box(0, 0, 210, 297))
    pages = '<inkscape:page x="0" y="0" width="210" height="297"/><inkscape:page x="210" y="0" width="210" height="297"/>'
    sheets = placed(document(f"<sodipodi:namedview>{pages}</sodipodi:namedview>"))
    assert not sheets.overlaps(Box(0, 0, 420, 297))


def test_reports_stand_right_of_the_sleeve_and_clear_of_what_is_there():
    sleeve, other = Box(0, 0, 400, 500), Box(590, -50, 760, 300)
    x, y = room_beside(document(), sleeve, 150, 100, [sleeve, other])
    assert (x, y) == pytest.approx((580, -50 - 20 - 100))
    assert tuple(room_beside(document(), sleeve, 150, 100, [sleeve])) == pytest.approx((580, 0))
    assert tuple(room_beside(document(), sleeve, 150, 100, [sleeve], left=True)) == pytest.approx((-170, 0))

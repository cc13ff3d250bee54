"""Every pair of seams that meet, for every finish, lay-out and client; the pieces by hand; shapely and scipy measure."""
import numpy as np
import pytest
from shapely.geometry import LineString, Point, Polygon

from geometry.cloth.strips import spacings
from geometry.curves.curve import Curve
from geometry.measuring.measurements import USUAL
from geometry.pieces.all_pieces import pieces_of
from geometry.pieces.strip_ends import ends_on
from geometry.refusal import Refused
from geometry.sleeve.armhole import LEAST_RUN
from geometry.sleeve.draft import draft_sleeve
from geometry.sleeve.rules import ELASTIC_STRETCH, RAISED_ARMS
from geometry.sleeve.top_edge import stretch_of
from tests.bodies import DEFAULTS, eight
from tests.geometry.shapes import arc, as_line, as_polygon

INCH = 25.4
CLIENTS = eight()
FINISHES = ("band", "elastic", "faced", "faced, raised", "bound")
LAYOUTS = ("level", "following", "aslant", "on part")
CLOSE = 0.01
SHORT = {"sleeve_length": 180.0, "elbow_girth": 0.0, "elbow_level": 0.0, "upper_arm_level": 150.0}


def drafted(client, finish="band", layout="level", given=None, tiers=6, **style):
    given = (given or CLIENTS[client])._replace(top_edge_raise=8.0 if "raised" in finish else 0.0)
    chosen = USUAL._replace(**{"finish": finish.split(",")[0], **laid_out(layout), "lining": "own", **style})
    return draft_sleeve(given, tiers, style=chosen)


def laid_out(layout: str) -> dict:
    """How the tiers are laid out, as the style has it: everywhere, or level between two levels below the top edge."""
    return {"tier_part": "from 4 cm to 25 cm"} if layout == "on part" else {"tier_layout": layout}


def pieces(draft) -> dict:
    return {piece.name: piece for piece in pieces_of(draft)}


def angle(seam, corner: str, before: str, after: str) -> float:
    """The angle inside an outline at a corner, by the directions of points a thousandth of a millimetre off."""
    at = seam.corner(corner)
    arriving, leaving = (as_line(seam.edge(name), 1e-6) for name in (before, after))
    back, on = arriving.interpolate(arriving.length - 1e-3), leaving.interpolate(1e-3)
    to_back, to_on = np.subtract((back.x, back.y), at), np.subtract((on.x, on.y), at)
    return np.degrees(np.arctan2(to_back[1], to_back[0]) - np.arctan2(to_on[1], to_on[0])) % 360


def hangs_free(seam, line: Curve, side: str, drop: float) -> float:
    """How much of a strip's end hangs below the hem, where no seam takes it: square to the line, from the corner of the hem."""
    end, along = (line.end, line.end - line.start) if side == "front" else (line.start, line.start - line.end)
    down = np.array([-along[1], along[0]]) / np.hypot(*along) * (1 if side == "front" else -1)
    return max(0.0, drop - float(down @ (seam.corner(f"{side} hem") - end))) if len(line) == 1 else 0.0


@pytest.mark.parametrize("client", range(8))
@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize("finish", FINISHES)
def test_seams_that_meet(finish, layout, client):
    draft = drafted(client, finish, layout)
    seam, settled, found = draft.seam, draft.settled, pieces(draft)
    length = {name: arc(seam.edge(name)) for name in seam.shape.edges}
    pairs = [
        ("underarm seam", length["front underarm"], length["back underarm"]),
        ("top edge drawn up", 2 * length["top edge"] / settled.top.fullness + settled.front.edge + settled.back.edge, settled.off_shoulder_girth),
    ]
    lining = {name: arc(found["lining"].outline.edge(name)) for name in seam.shape.edges}
    pairs.append(("underarm seam of the lining", lining["front underarm"], lining["back underarm"]))
    if finish in ("band", "bound"):
        pairs += [(f"{side} armhole of the lining", lining[f"{side} armhole"], length[f"{side} armhole"]) for side in ("front", "back")]
    if finish == "band":
        pairs.append(("band", 2 * arc(found["band"].outline.edge("lower edge")), settled.off_shoulder_girth))
    if finish == "faced, raised":
        facing = {name: arc(found["facing"].outline.edge(name)) for name in found["facing"].outline.shape.edges}
        pairs += [("facing at the top", facing["top edge"], length["top edge"]), ("facing and lining", facing["lower edge"], lining["top edge"])]
        pairs += [(f"{s} facing and lining", facing[f"{s} armhole"] + lining[f"{s} armhole"], length[f"{s} armhole"]) for s in ("front", "back")]
    for line, drop in zip(draft.tiers, spacings(seam, draft.tiers)):
        for end in ends_on(seam, line.curve, drop):
            if end.follows:
                free = hangs_free(seam, line.curve, end.side, drop)
                pairs.append((f"{end.side} end of strip {line.number}", arc(end.sewn), end.armhole + end.underarm + free))
    apart = {name: abs(one - other) for name, one, other in pairs}
    assert {name: off for name, off in apart.items() if off > CLOSE} == {}
    assert {name: sum(both) for name, both in angles_that_meet(draft, found).items()} == pytest.approx({**STRAIGHT, **ANGLES[finish]}, abs=0.1)


#: Seams run on smoothly where two pieces meet, degrees, whatever the finish …
STRAIGHT = {"underarm": 180, "hem": 180, "underarm of the lining": 180, "hem of the lining": 180}

#: … and so do the armhole over facing and lining, at the angle of the sleeve on top; a band is square.
ANGLES = {
    "band": {"band and its fold": 180, "ends of the band": 180}, "elastic": {}, "bound": {}, "faced": {},
    "faced, raised": {f"{side} {where}": at for side in ("front", "back") for where, at in (("armhole below the facing", 180), ("top", 0))},
}  # fmt: skip


def angles_that_meet(draft, found) -> dict:
    """The angles on both sides of every place where seams meet; those at the top of a facing are compared with the sleeve's."""

    def at_underarm(outline) -> tuple:
        return (
            angle(outline, "front underarm point", "front armhole", "front underarm"),
            angle(outline, "back underarm point", "back underarm", "back armhole"),
        )

    def at_hem(outline) -> tuple:
        return angle(outline, "front hem", "front underarm", "hem"), angle(outline, "back hem", "hem", "back underarm")

    seam, lining = draft.seam, found["lining"].outline
    pairs = {"underarm": at_underarm(seam), "hem": at_hem(seam), "underarm of the lining": at_underarm(lining), "hem of the lining": at_hem(lining)}
    if "band" in found:
        band = found["band"].outline
        pairs["band and its fold"] = [
            angle(band, "front upper corner", "centre front", "upper edge"), angle(band, "front lower corner", "lower edge", "centre front"),
        ]  # fmt: skip
        pairs["ends of the band"] = [
            angle(band, "back upper corner", "upper edge", "centre back"), angle(band, "back lower corner", "centre back", "lower edge"),
        ]  # fmt: skip
    if "facing" in found:
        facing = found["facing"].outline
        pairs.update({
            "front armhole below the facing": (
                angle(facing, "front lower corner", "front armhole", "lower edge"), angle(lining, "front top", "top edge", "front armhole"),
            ),
            "back armhole below the facing": (
                angle(facing, "back lower corner", "lower edge", "back armhole"), angle(lining, "back top", "back armhole", "top edge"),
            ),
            "front top": (angle(facing, "front top", "top edge", "front armhole"), -angle(seam, "front top", "top edge", "front armhole")),
            "back top": (angle(facing, "back top", "back armhole", "top edge"), -angle(seam, "back top", "back armhole", "top edge")),
        })  # fmt: skip
    return pairs


def test_the_band_by_hand():
    """41 1/4 in around, edges 12 3/4 in: half is 20 5/8, the sleeve from 6 3/8 to 14 1/4; 1/2 in of allowance but on the fold."""
    piece = pieces(drafted(0, given=DEFAULTS))["band"]
    assert np.divide(piece.size, INCH) == pytest.approx((20.625 + 0.5, 2 * 1 + 2 * 0.5))
    marked = sorted({round(tick.line.start[0] / INCH, 3) for tick in piece.ticks})
    assert marked == pytest.approx([6.375, 10.3125, 14.25], abs=1e-3)  # and the middle between them
    (fold,) = piece.folds
    assert fold.start[1] / INCH == pytest.approx(1)
    two = pieces(drafted(0, given=DEFAULTS, band_cut="two-part"))["band"]
    assert two.size[1] / INCH == pytest.approx(1 + 2 * 0.5) and two.folds == ()


@pytest.mark.parametrize("finish", FINISHES)
@pytest.mark.parametrize("hem", ["shorter", "caught"])
def test_the_lining_against_the_sleeve(finish, hem):
    draft = drafted(0, finish, given=DEFAULTS, lining_hem=hem)
    piece = pieces(draft)["lining"]
    sleeve, lining = as_polygon(draft.seam.closed(), 1e-4), as_polygon(piece.outline.closed(), 1e-4)
    assert sleeve.buffer(0.01).covers(lining)
    middle = LineString([(0, -50), (0, 600)])
    shorter = sleeve.intersection(middle).bounds[3] - lining.intersection(middle).bounds[3]
    # By hand: 3/4 in shorter by the rule; a casing for 1/2 in elastic is stitched 5/8 in below the fold, a facing is 1 in deep.
    assert shorter / INCH == pytest.approx(0.75 if hem == "shorter" else 0)
    below = {"elastic": 0.625, "faced": 1.0, "faced, raised": 1.0}.get(finish, 0.0)
    assert min(piece.outline.edge("top edge").nodes[:, 1]) / INCH == pytest.approx(below, abs=1e-4)
    gone = sleeve.difference(lining)
    assert gone.area == pytest.approx(sleeve.area - lining.area)
    # Allowances, by shapely: none at a bound top edge, the hem's own or one seam allowance below.
    cut = as_polygon(piece.cut, 1e-4)
    assert (lining.bounds[1] - cut.bounds[1]) / INCH == pytest.approx(0.0 if finish == "bound" else 0.5, abs=0.01)
    turned = cut.intersection(middle).bounds[3] - lining.intersection(middle).bounds[3]
    assert turned / INCH == pytest.approx(1.0 if hem == "shorter" else 0.5, abs=0.01)


@pytest.mark.parametrize("start", ["elbow", "underarm"])
@pytest.mark.parametrize("flare", [26.0, 33.0, 40.0])
def test_the_lining_of_a_spread_flare_is_as_much_shorter_all_along_the_hem(start, flare):
    """By shapely: within the sleeve, every place of its hem 3/4 in from the sleeve's."""
    asked = DEFAULTS._replace(flare_width=flare * INCH, lining_shorter=0.75 * INCH)
    draft = drafted(0, given=asked, tiers=1, length_style="short", shape="flared", flare_from=start)
    assert draft.block.spread
    piece = pieces(draft)["lining"]
    sleeve, lining = as_polygon(draft.seam.closed(), 1e-4), as_polygon(piece.outline.closed(), 1e-4)
    assert sleeve.buffer(0.01).covers(lining)
    hem = as_line(draft.seam.edge("hem"), 1e-4)
    between = piece.outline.edge("hem").flatten(0.5)[1:-1]
    assert max(abs(hem.distance(Point(place)) - 0.75 * INCH) for place in between) < 0.02
    assert Polygon(piece.cut.flatten(0.01)).buffer(0.01).covers(lining)


def test_ease_of_the_lining():
    plain, eased = (pieces(drafted(0, given=DEFAULTS._replace(lining_ease=ease)))["lining"].outline for ease in (0.0, 5.0))
    for y in (150.0, 300.0, 420.0):
        assert eased.width_at(y) - plain.width_at(y) == pytest.approx(10.0, abs=1e-6)
    assert arc(eased.edge("top edge")) == pytest.approx(arc(plain.edge("top edge")))
    for name in ("front underarm", "back underarm"):
        assert arc(eased.edge(name)) == pytest.approx(arc(plain.edge(name)))
    assert 0 < arc(eased.edge("front armhole")) - arc(plain.edge("front armhole")) < 5.0


@pytest.mark.parametrize("share", [50.0, 46.0])
@pytest.mark.parametrize("hem", ["shorter", "caught"])
@pytest.mark.parametrize("flare", [520.0, 900.0, 1500.0, 2200.0])
def test_ease_of_a_spread_lining_is_added_across_it(flare, hem, share):
    """Both seams moved as they are, along the level lines where those end: by numpy and shapely, on sides that have turned up."""
    ease, asked = 6.0, DEFAULTS._replace(flare_width=flare)
    chosen = {"shape": "flared", "lining_hem": hem, "front_share": share}
    plain, eased = (drafted(0, given=asked._replace(lining_ease=each), **chosen) for each in (0.0, ease))
    assert plain.block.spread
    before, after = (pieces(draft)["lining"].outline for draft in (plain, eased))
    level = as_line(plain.block.spread.across(DEFAULTS.elbow_level), 1e-5)
    for side, end, inner in (("front", -1, -2), ("back", 0, 1)):
        moved = after.edge(f"{side} underarm").segments - before.edge(f"{side} underarm").segments
        across = np.subtract(level.coords[end], level.coords[inner])
        assert np.abs(moved - ease * across / np.hypot(*across)).max() < 0.05
        assert arc(after.edge(f"{side} underarm")) == pytest.approx(arc(before.edge(f"{side} underarm")))
        assert 0 < arc(after.edge(f"{side} armhole")) - arc(before.edge(f"{side} armhole")) < ease
    assert arc(after.edge("top edge")) == pytest.approx(arc(before.edge("top edge")))
    # The hem is longer by what both seams have moved along it, and a fifth of that more, since where sides that have turned up
    # far move across they move farther out as well; it crosses the grain line where it did, and is as smooth.
    grown = arc(after.edge("hem")) - arc(before.edge("hem"))
    assert 2 * ease * np.cos(0.35) <= grown <= 1.2 * 2 * ease
    grain = LineString([(0, 0), (0, 2000)])
    assert as_line(after.edge("hem"), 1e-3).intersection(grain).y == pytest.approx(as_line(before.edge("hem"), 1e-3).intersection(grain).y, abs=0.01)
    ahead = np.diff(as_line(after.edge("hem"), 1e-4).coords, axis=0)
    assert np.degrees(np.abs(np.diff(np.unwrap(np.arctan2(ahead[:, 1], ahead[:, 0]))))).max() < 1
    assert as_polygon(after.closed()).buffer(CLOSE).covers(as_polygon(before.closed()))


def notched(edge, piece) -> list[float]:
    """How far along an edge each notch of a piece stands that points at it, measured by shapely."""
    line = as_line(edge, 1e-4)
    found = []
    for tick in piece.ticks:
        out, inward = np.array(tick.line.start), np.array(tick.line.end) - tick.line.start
        met = LineString([out, out + 40 * inward / np.hypot(*inward)]).intersection(line)
        if not met.is_empty and met.distance(Point(out)) < 15:
            found.append(line.project(met))
    return sorted(found)


@pytest.mark.parametrize("client", range(8))
@pytest.mark.parametrize("lining", ["own", "none"])
def test_facing_and_lining_are_notched_as_their_partners(client, lining):
    """The middles of sleeve, facing and lining stand as far along the edges that are sewn together: where shapely finds x = 0."""
    draft = drafted(client, "faced, raised", lining=lining)
    found = pieces(draft)
    facing, upright = found["facing"], LineString([(0, -500), (0, 500)])
    top, lower = facing.outline.edge("top edge"), facing.outline.edge("lower edge")
    middle = as_line(draft.seam.edge("top edge"), 1e-4)
    assert notched(top, facing) == pytest.approx([middle.project(middle.intersection(upright))], abs=CLOSE)
    if lining == "own":
        (below,), (above,) = notched(lower, facing), notched(found["lining"].outline.edge("top edge"), found["lining"])
        assert below == pytest.approx(arc(lower) - above, abs=CLOSE)  # they run opposite ways
    else:
        assert notched(lower, facing) == []


@pytest.mark.parametrize("depth", [50.0, 60.0, 70.0])
def test_a_notch_of_the_armhole_stands_on_whichever_piece_has_it(depth):
    """On the lining, the double one parted between both, or on a facing so deep that it bears them: as far up as on the sleeve."""
    draft = drafted(0, "faced, raised", given=DEFAULTS._replace(casing_allowance=depth))
    found = pieces(draft)
    for side, ticks in (("front", 1), ("back", 2)):
        (notch,) = (each for each in draft.notches if each.side == side)
        armholes = [found[name].outline.edge(f"{side} armhole") for name in ("facing", "lining")]
        on_facing, on_lining = (notched(edge, found[name]) for edge, name in zip(armholes, ("facing", "lining")))
        assert len(on_facing) + len(on_lining) == ticks
        whole = arc(draft.seam.edge(f"{side} armhole"))
        from_underarm = [whole - at if side == "front" else arc(armholes[1]) + at for at in on_facing]
        from_underarm += [arc(armholes[1]) - at if side == "front" else at for at in on_lining]
        assert min(from_underarm) == pytest.approx(notch.from_underarm, abs=0.02)


def test_the_facing_is_as_deep_everywhere():
    piece = pieces(drafted(0, "faced, raised", given=DEFAULTS))["facing"]
    top, lower = as_line(piece.outline.edge("top edge"), 1e-4), piece.outline.edge("lower edge").flatten(0.01)
    inner = [Point(p) for p in lower if abs(p[0]) < 0.9 * abs(piece.outline.corner("front top")[0])]
    assert max(abs(top.distance(p) - INCH) for p in inner) < 0.02
    assert Polygon(piece.cut.flatten(0.01)).buffer(0.01).covers(Polygon(piece.outline.closed().flatten(0.01)))


@pytest.mark.parametrize("flare", [700.0, 1100.0, 1600.0])
def test_the_facing_of_a_spread_flare_is_as_deep_everywhere(flare):
    """Its underarm points turn up, beyond the height of the middle of its bent top edge: what ends on the armholes is no deeper for that."""
    draft = drafted(0, "faced", given=DEFAULTS._replace(flare_width=flare), tiers=3, shape="flared")
    facing, seam = pieces(draft)["facing"], as_polygon(draft.seam.closed())
    lower, top = (as_line(facing.outline.edge(name)) for name in ("lower edge", "top edge"))
    assert draft.block.spread and seam.buffer(CLOSE).covers(as_polygon(facing.outline.closed()))
    assert max(abs(top.distance(Point(p)) - draft.settled.top.casing) for p in lower.coords[1:-1]) < CLOSE
    for side in ("front", "back"):
        assert as_line(draft.seam.edge(f"{side} armhole")).distance(Point(facing.outline.corner(f"{side} lower corner"))) < CLOSE


@pytest.mark.parametrize("client", range(8))
def test_an_elasticated_edge_slips_over_raised_arms(client):
    """Both the flat edge and the stretched elastic are as long as is needed, or it is told that they are not."""
    draft = drafted(client, "elastic")
    settled = draft.settled
    edge = LineString(draft.seam.edge("top edge").flatten(0.01)).length
    bodies = settled.front.edge + settled.back.edge
    stretch = stretch_of(settled.top, edge, bodies, settled.off_shoulder_girth)
    assert stretch.needed == pytest.approx(RAISED_ARMS * settled.off_shoulder_girth)
    assert stretch.flat == pytest.approx(2 * edge + bodies)
    assert stretch.elastic == pytest.approx(0.9 * settled.off_shoulder_girth * ELASTIC_STRETCH)
    assert (stretch.edge_passes, stretch.elastic_passes) == (2 * edge + bodies >= stretch.needed, stretch.elastic >= stretch.needed)


def test_with_elastic_the_top_edge_is_half_as_long_again_by_the_rule():
    draft = draft_sleeve(DEFAULTS, 6, style=USUAL._replace(finish="elastic"))
    plain = draft_sleeve(DEFAULTS, 6)
    assert arc(draft.seam.edge("top edge")) == pytest.approx(1.5 * arc(plain.seam.edge("top edge")))
    assert draft.tiers[0].curve.start[1] / INCH == pytest.approx(0.625)  # on the stitching of the casing, not on the fold
    settled = draft.settled
    stretch = stretch_of(settled.top, arc(draft.seam.edge("top edge")), settled.front.edge + settled.back.edge, settled.off_shoulder_girth)
    assert stretch.edge_passes and stretch.elastic_passes


@pytest.mark.parametrize("client", range(8))
def test_the_fullness_by_the_rule_leaves_an_armhole_on_every_body(client):
    """1.5, or the next step of 0.05 below that at which the underarm still stands out beyond the edge on both sides."""
    settled = drafted(client, "elastic").settled
    fits = [step / 100 for step in range(100, 151, 5) if settled.cap.girth - step / 100 * settled.top_edge_width >= 2 * LEAST_RUN]
    assert settled.top.fullness == pytest.approx(max(fits))
    with pytest.raises(Refused):  # her own stays as it is
        drafted(client, "elastic", edge_fullness=3.0)


def test_the_fullness_that_is_named_as_the_most_holds():
    with pytest.raises(Refused) as refusal:
        draft_sleeve(DEFAULTS, 6, style=USUAL._replace(edge_fullness=2.9))
    ((rule, facts),) = refusal.value.problems
    assert rule == "no armhole with this fullness"
    draft_sleeve(DEFAULTS, 6, style=USUAL._replace(edge_fullness=facts["most"]))


@pytest.mark.parametrize(
    ("finish", "changes", "style", "rule"),
    [
        ("elastic", {"casing_allowance": 12.0, "elastic_width": 20.0}, {}, "casing too narrow"),
        ("faced", {}, {"edge_fullness": 0.5}, "fullness below 1"),
        ("band", {**SHORT, "lining_shorter": 149.0}, {}, "lining too short"),
        ("faced, raised", {"casing_allowance": 75.0, "cap_height": 60.0}, {}, "facing below the underarm"),
    ],
)
def test_what_can_not_be(finish, changes, style, rule):
    with pytest.raises(Refused) as refusal:
        pieces_of(drafted(0, finish, given=DEFAULTS._replace(**changes), **style))
    assert refusal.value.problems[0].rule == rule

"""What she does to a sleeve, drawn by lot: to its Seam line, to its other lines, to the whole, to the document.

An edit of the Seam line changes a :class:`~tests.campaign.line.Line`, which goes on knowing the truth; the others
change the document as the editor leaves it (tried in the real one, see ``tests/editor``).
"""
from __future__ import annotations

import copy
import math
from random import Random

import numpy as np
from lxml import etree
from shapely.geometry import LineString, Point
from svgpathtools import parse_path
from svgpathtools.parser import parse_transform
from svgpathtools.path import transform

from tests.campaign.line import CORNERS, EDGES, OWN, Line, Opening, points_on, straight, svg_path

SVG = "{http://www.w3.org/2000/svg}"
LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"
SIDES = ("front", "back")

#: A hem that turns to and fro by this many degrees more than it turns in all waves, as the guide says: it goes straight across.
WAVY = 60.0


# --- nodes and handles ----------------------------------------------------------------------------------


def nodes_added(line: Line, lot: Random) -> None:
    for edge in lot.sample(["front underarm", "back underarm", "hem", "front armhole"], lot.randint(1, 3)):
        line.split(edge, lot.uniform(0.2, 0.8))


def seam_let_out(line: Line, lot: Random) -> None:
    """A smooth node of an underarm seam moved across; on a seam without one, a node is added first."""
    edge = f"{lot.choice(SIDES)} underarm"
    i = line.split(edge, lot.uniform(0.3, 0.7))
    out = 1 if edge.startswith("front") else -1
    line.move(i, np.array([out * lot.uniform(-6, 18), lot.uniform(-4, 4)]))
    line.plain = line.plain and abs(line.turn(i)) < 15  # let out to a point it may be a corner, for all that can be seen


def handles_turned(line: Line, lot: Random) -> None:
    side = lot.choice(SIDES)
    first, last = line.span(f"{side} armhole")
    segment = line.segments[lot.randrange(first, last)]
    segment[1:3] += np.array([[lot.uniform(-5, 5), lot.uniform(-5, 5)] for _ in range(2)])


def _plain_while_they_turn(line: Line, corner: str) -> None:
    """A corner dragged past the next node turns no more, or in, and that node turns instead: to ask which is meant is right."""
    line.plain = line.plain and all(line.turn(line.at[f"{side} {corner}"]) > 22 for side in SIDES)


def hem_corners_moved(line: Line, lot: Random) -> None:
    """One hem corner dragged, or both alike: out or in, up or down, a little or a lot."""
    out, down = lot.choice([lot.uniform(-12, 12), lot.uniform(20, 95)]), lot.choice([0.0, lot.uniform(-15, 25)])
    for side in lot.choice([("front",), ("back",), SIDES, SIDES]):
        sign = 1 if side == "front" else -1
        line.move(line.at[f"{side} hem"], np.array([sign * out, down]))
        line.moved.add(f"{side} hem")
    _plain_while_they_turn(line, "hem")


def underarm_points_moved(line: Line, lot: Random) -> None:
    out, down = lot.uniform(-20, 20), lot.uniform(-15, 25)
    for side in lot.choice([("front",), ("back",), SIDES]):
        sign = 1 if side == "front" else -1
        line.move(line.at[f"{side} underarm point"], np.array([sign * out, down]))
        line.moved.add(f"{side} underarm point")
    _plain_while_they_turn(line, "underarm point")


def top_corners_moved(line: Line, lot: Random) -> None:
    across, up = lot.uniform(-12, 12), lot.uniform(-15, 5)
    for side in lot.choice([("front",), SIDES]):
        sign = 1 if side == "front" else -1
        line.move(line.at[f"{side} top"], np.array([sign * across, up]))
        line.moved.add(f"{side} top")
    _plain_while_they_turn(line, "top")


def lengthened(line: Line, lot: Random) -> None:
    by = np.array([0.0, lot.uniform(20, 140)])
    for side in SIDES:
        line.move(line.at[f"{side} hem"], by)
        line.moved.add(f"{side} hem")
    first, last = line.span("hem")
    for i in range(first + 1, last):
        line.move(i, by)


def hem_bent(line: Line, lot: Random) -> None:
    first, last = line.span("hem")
    by = np.array([0.0, lot.uniform(-8, 10)])
    for i in range(first + 1, last):
        line.move(i, by)
    line.segments[first, 1] += by
    line.segments[last - 1, 2] += by


# --- what a cutter draws --------------------------------------------------------------------------------


def _hem_nodes(line: Line, count: int) -> list[np.ndarray]:
    """Places that part the hem evenly, its corners among them, in a straight row."""
    a, b = line.corner("front hem").copy(), line.corner("back hem").copy()
    return [a + (b - a) * k / count for k in range(count + 1)]


def _down(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Square to the hem, out of the sleeve."""
    across = (b - a) / np.hypot(*(b - a))
    return np.array([across[1], -across[0]])


def hem_scalloped(line: Line, lot: Random) -> None:
    """The hem cut into scallops, bulging out or hollowed."""
    places = _hem_nodes(line, lot.choice([2, 3, 4, 5, 6, 8]))
    deep = lot.choice([1, 1, -1]) * lot.uniform(10, 26)
    arcs = []
    for a, b in zip(places, places[1:]):
        out = 4 / 3 * deep * _down(a, b)
        arcs.append(np.array([a, a + 0.1 * (b - a) + out, b - 0.1 * (b - a) + out, b]))
    line.replace(*line.span("hem"), arcs)
    line.shaped, line.plain = True, False


def hem_pointed(line: Line, lot: Random) -> None:
    """A zigzag of equal points below the old hem."""
    count = lot.choice([3, 4, 5, 6])
    places, deep = _hem_nodes(line, count), lot.uniform(12, 30)
    pieces = []
    for a, b in zip(places, places[1:]):
        tip = (a + b) / 2 + deep * _down(a, b)
        pieces += [straight(a, tip), straight(tip, b)]
    line.replace(*line.span("hem"), pieces)
    line.shaped, line.plain = True, False


def _cut_in(line: Line, edge: str, share: float, mouth: float, depth: float, slant: float = 0.0) -> None:
    """Two legs from an edge to a point inside, equally long where ``slant`` is 0."""
    whole = line.length(edge)
    start, end = share - mouth / whole / 2, share + mouth / whole / 2
    i = line.split(edge, start)
    a = line.segments[i, 0].copy()
    j = line.split(edge, end)
    b = line.segments[j, 0].copy() if j < len(line.segments) else line.segments[0, 0].copy()
    along = (b - a) / np.hypot(*(b - a))
    inward = np.array([-along[1], along[0]])
    tip = (a + b) / 2 + depth * inward + slant * along
    line.replace(i, j, [straight(a, tip), straight(tip, b)])
    line.openings.append(Opening(edge, a, tip, b))
    line.plain = False


def elbow_dart(line: Line, lot: Random) -> None:
    _cut_in(line, f"{lot.choice(SIDES)} underarm", lot.uniform(0.35, 0.65), lot.uniform(8, 30), lot.uniform(30, 60))


def hem_vent(line: Line, lot: Random) -> None:
    _cut_in(line, "hem", lot.choice([0.5, 0.25, lot.uniform(0.2, 0.8)]), lot.uniform(10, 50), lot.uniform(40, 100))


def cap_dart(line: Line, lot: Random) -> None:
    _cut_in(line, "top edge", lot.uniform(0.35, 0.65), lot.uniform(8, 20), lot.uniform(25, 45))


# --- corners lost or in doubt ----------------------------------------------------------------------------


def corner_deleted(line: Line, lot: Random) -> None:
    """Delete a corner's node: its neighbours' outer handles stay."""
    name = lot.choice(CORNERS[1:])
    i = line.at[name]
    before, after = line.segments[i - 1], line.segments[i]
    joined = np.array([before[0], before[1], after[2], after[3]])
    line.segments = np.concatenate([line.segments[: i - 1], [joined], line.segments[i + 1 :]])
    line.at = {n: k - 1 if k > i else k for n, k in line.at.items()}
    line.at[name] = i - 1
    line.lost.add(name)
    line.plain = False


def corner_smoothed(line: Line, lot: Random) -> None:
    """Make a corner's node smooth: its handles come into one line."""
    name = lot.choice(CORNERS[2:])
    i = line.at[name]
    here = line.segments[i, 0]
    along = line.segments[i, 1] - line.segments[i - 1, 2]
    along /= max(np.hypot(*along), 1e-9)
    line.segments[i, 1] = here + 20 * along
    line.segments[i - 1, 2] = here - 20 * along
    line.shaped = line.shaped or line.hem_to_and_fro() > WAVY
    line.plain = False


def corner_cut_off(line: Line, lot: Random) -> None:
    """A node added on either side of a corner, and the corner taken out, straight across."""
    k = lot.randrange(2, len(CORNERS))
    name, size = CORNERS[k], lot.uniform(18, 40)
    if line.shaped and name.endswith("hem"):
        return  # between scallops or points there is no corner left to cut off
    before, after = EDGES[k - 1], EDGES[k]
    first = line.split(before, 1 - size / _whole(line, before))
    last = line.split(after, size / _whole(line, after))
    a, b = line.segments[first, 0].copy(), line.segments[last, 0].copy()
    line.segments = np.concatenate([line.segments[:first], [straight(a, b)], line.segments[last:]])
    line.at = {n: i - (last - first - 1) if i >= last else i for n, i in line.at.items()}
    turns = [line.turn(i % len(line.segments)) for i in (first, first + 1)]
    # Cut off so flat that one corner is left, it is that one; but where both ends lie on the line as drafted, she may mean either.
    line.at[name] = first + int(turns[1] > turns[0])
    as_drafted = LineString(np.concatenate([points_on(s, 200) for s in line.drafted]))
    if min(turns) > 22 or max(as_drafted.distance(Point(end)) for end in (a, b)) < 0.1:
        line.lost.add(name)
    line.plain = False


def _whole(line: Line, edge: str) -> float:
    return svg_path(line.edge(edge)).length(error=1e-5)


#: Each with how often it is drawn.
HAND = {nodes_added: 2, seam_let_out: 4, handles_turned: 2, hem_corners_moved: 6, underarm_points_moved: 4, top_corners_moved: 2,
        lengthened: 3, hem_bent: 1}  # fmt: skip
CUTTER = {hem_scalloped: 5, hem_pointed: 2, elbow_dart: 4, hem_vent: 4, cap_dart: 1}
DOUBT = {corner_deleted: 4, corner_smoothed: 3, corner_cut_off: 2}


def seam_edits(lot: Random) -> list:
    """What is done to the Seam line in one case, in order."""
    chosen = []
    for table, least, most in ((HAND, 0, 2), (CUTTER, 0, 1)):
        for _ in range(lot.randint(least, most)):
            edit = lot.choices(list(table), list(table.values()))[0]
            if edit not in chosen:
                chosen.append(edit)
    if lot.random() < 0.15:
        chosen.append(lot.choices(list(DOUBT), list(DOUBT.values()))[0])
    return chosen


def edited(line: Line, lot: Random) -> tuple[Line, list[str]]:
    """The line after the edits that the lot chooses, see :func:`in_turn`."""
    return in_turn(line, seam_edits(lot), lot)


def in_turn(line: Line, chosen: list, lot: Random) -> tuple[Line, list[str]]:
    """The line after the edits one by one, but for one that would make it cross itself, and their names."""
    done = []
    for edit in chosen:
        tried = line.copy()
        edit(tried, lot)
        if not tried.crosses_itself():
            line = tried
            done.append(edit.__name__)
    return line, done


# --- the other lines, as the editor leaves them ------------------------------------------------------------


def parts(root: etree._Element, part: str) -> list:
    return [e for e in root.iter() if e.get(f"{OWN}part") == part]


def tier_numbers(root: etree._Element) -> list[int]:
    return sorted(int(float(e.get(f"{OWN}number"))) for e in parts(root, "tier line"))


def _some_tier(root: etree._Element, lot: Random):
    lines = [e for e in parts(root, "tier line") if float(e.get(f"{OWN}number")) > 1]
    return lot.choice(lines) if lines else None


def _drop(elements) -> None:
    for element in elements:
        element.getparent().remove(element)


def tier_moved(root, lot):
    line = _some_tier(root, lot)
    if line is not None:
        line.set("transform", f"translate(0 {lot.uniform(-15, 15):.4f})")


def tier_tilted(root, lot):
    line = _some_tier(root, lot)
    if line is not None:
        line.set("transform", f"rotate({lot.uniform(-4, 4):.4f})")


def tier_deleted(root, lot):
    line = _some_tier(root, lot)
    if line is not None:
        _drop([line])


def tier_duplicated(root, lot):
    line = _some_tier(root, lot)
    if line is not None:
        other = copy.deepcopy(line)
        other.set("transform", f"translate(0 {lot.uniform(15, 45):.4f})")
        line.getparent().append(other)


def tiers_all_deleted(root, lot):
    _drop(parts(root, "tier line"))


def tier_layer_deleted(root, lot):
    _drop(parts(root, "tier layer"))


def tiers_combined(root, lot):
    """Path > Combine: one path, without our marks, with the name of the last."""
    lines = parts(root, "tier line")
    if len(lines) < 3:
        return
    one, other = sorted(lot.sample(range(1, len(lines)), 2))
    kept, gone = lines[other], lines[one]
    inside = np.linalg.inv(parse_transform(kept.get("transform") or "")) @ parse_transform(gone.get("transform") or "")
    kept.set("d", f"{kept.get('d')} {transform(parse_path(gone.get('d')), inside).d()}")
    for name in [n for n in kept.attrib if n.startswith(OWN)]:
        del kept.attrib[name]
    _drop([gone])


def seam_broken_apart(root, lot):
    """Path > Break Apart on the Seam line: the path stays, its names and our marks go."""
    for seam in parts(root, "seam line"):  # none where the lot breaks it apart twice
        for name in [n for n in seam.attrib if n.startswith(OWN) or n == LABEL]:
            del seam.attrib[name]


def levels_all_deleted(root, lot):
    _drop(parts(root, "level line"))


def a_level_deleted(root, lot):
    _drop([lot.choice(parts(root, "level line"))] if parts(root, "level line") else [])


def cutting_deleted(root, lot):
    _drop(parts(root, "cutting line"))


def cutting_moved(root, lot):
    for line in parts(root, "cutting line"):
        line.set("transform", f"translate({lot.uniform(-9, 9):.3f} {lot.uniform(3, 9):.3f})")


def cutting_scaled(root, lot):
    for line in parts(root, "cutting line"):
        line.set("transform", f"scale({lot.uniform(0.9, 1.1):.4f})")


def marks_deleted(root, lot):
    part = lot.choice(["grain line", "front notch", "back notch", "body line", "grain arrowhead", "test square"])
    _drop(parts(root, part))


def a_layer_deleted(root, lot):
    layers = [e for e in root.iter() if (e.get(f"{OWN}part") or "").endswith(" layer") and e.get(f"{OWN}part") != "seam layer"]
    if layers:
        _drop([lot.choice(layers)])


def a_layer_emptied(root, lot):
    layers = [e for e in root.iter() if (e.get(f"{OWN}part") or "").endswith(" layer") and e.get(f"{OWN}part") != "seam layer"]
    if layers:
        _drop(list(lot.choice(layers)))


OTHERS = [
    tier_moved, tier_tilted, tier_deleted, tier_deleted, tier_duplicated, tiers_all_deleted, tier_layer_deleted, tiers_combined, tiers_combined,
    seam_broken_apart, levels_all_deleted, a_level_deleted, cutting_deleted, cutting_moved, cutting_scaled, marks_deleted,
    a_layer_deleted, a_layer_emptied,
]  # fmt: skip


# --- put elsewhere, or in another order ---------------------------------------------------------------------


def on_page(element) -> np.ndarray:
    """3 x 3: from the coordinates inside an element to those of the root."""
    total = np.eye(3)
    for each in [element, *element.iterancestors()]:
        total = parse_transform(each.get("transform") or "") @ total
    return total


def moved_out(element, home) -> None:
    """Layer > Move Selection to Layer…: the element stays where it lies."""
    before = on_page(element)
    home.append(element)
    within = np.linalg.inv(on_page(home)) @ before
    element.set("transform", "matrix({} {} {} {} {} {})".format(*within[:2].T.ravel().tolist()))


def seam_to_the_root(root, lot=None):
    for seam in parts(root, "seam line"):
        moved_out(seam, root)


def seam_to_a_layer_of_hers(root, lot=None):
    hers = etree.SubElement(root, f"{SVG}g", {LABEL: "My layer", "transform": "translate(3, 4) scale(0.5) rotate(20)"})
    for seam in parts(root, "seam line"):
        moved_out(seam, hers)


def a_tier_to_the_root(root, lot):
    line = _some_tier(root, lot)
    if line is not None:
        moved_out(line, root)


def a_tier_among_the_lettering(root, lot):
    line, layers = _some_tier(root, lot), [*parts(root, "notes layer"), *parts(root, "names layer")]
    if line is not None and layers:
        moved_out(line, lot.choice(layers))


def tiers_swapped(root, lot):
    """Two dragged past each other: each keeps its number."""
    lines = [e for e in parts(root, "tier line") if float(e.get(f"{OWN}number")) > 1]
    if len(lines) > 1:
        one, other = lot.sample(lines, 2)
        apart = np.mean([p.imag for s in parse_path(other.get("d")) for p in (s.start, s.end)])
        apart -= np.mean([p.imag for s in parse_path(one.get("d")) for p in (s.start, s.end)])
        for line, down in ((one, apart), (other, -apart)):
            line.set("transform", f"translate(0 {down:.4f}) {line.get('transform') or ''}")


def tier_bent_steeply(root, lot):
    line = _some_tier(root, lot)
    if line is not None:
        path = parse_path(line.get("d"))
        middle = (path.start + path.end) / 2 + 1j * lot.choice([1, -1]) * lot.uniform(40, 120)
        line.set("d", f"M {path.start.real} {path.start.imag} L {middle.real} {middle.imag} L {path.end.real} {path.end.imag}")


def tiers_reversed(root, lot):
    for line in parts(root, "tier line"):
        line.set("d", parse_path(line.get("d")).reversed().d())


def layers_shuffled(root, lot):
    for sleeve in parts(root, "sleeve"):
        layers = list(sleeve)
        lot.shuffle(layers)
        sleeve.extend(layers)


def cutting_copied(root, lot):
    for line in parts(root, "cutting line"):
        other = copy.deepcopy(line)
        other.set("transform", "translate(5 0)")
        line.addnext(other)


ELSEWHERE = [
    seam_to_the_root, seam_to_a_layer_of_hers, a_tier_to_the_root, a_tier_among_the_lettering, tiers_swapped, tier_bent_steeply, tiers_reversed,
    layers_shuffled, cutting_copied,
]  # fmt: skip


# --- the whole ----------------------------------------------------------------------------------------------


def layer_moved(root, lot):
    (layer,) = parts(root, "sleeve")
    layer.set("transform", f"rotate({lot.uniform(-180, 180):.3f}) translate({lot.uniform(-50, 50):.3f},9) {layer.get('transform', '')}")


def layer_in_a_group(root, lot):
    (layer,) = parts(root, "sleeve")
    group = etree.SubElement(layer.getparent(), f"{SVG}g", transform=f"translate(5 6) rotate({lot.choice([90, -90, 180, 7])})")
    group.append(layer)


def seam_turned(root, lot):
    for seam in parts(root, "seam line"):
        seam.set("transform", f"translate(12 -7) rotate({lot.uniform(-20, 20):.3f} 20 230)")


def another_unit(root, lot):
    (layer,) = parts(root, "sleeve")
    root.set("viewBox", " ".join(repr(float(number) / 25.4) for number in root.get("viewBox").split()))
    layer.set("transform", f"scale({1 / 25.4!r}) {layer.get('transform', '')}")


def names_lost(root, lot):
    """Saved as plain SVG."""
    for element in root.iter():
        for name in [n for n in element.attrib if "inkscape" in n or "sodipodi" in n]:
            del element.attrib[name]


WHOLE = [layer_moved, layer_in_a_group, seam_turned, another_unit, names_lost]


def _distort(root, matrix: str) -> None:
    (layer,) = parts(root, "sleeve")
    layer.set("transform", f"{layer.get('transform', '')} {matrix}")


def scaled(root, lot):
    _distort(root, f"scale({lot.choice([0.95, 1.05, 0.5, 1.002]):g})")


def stretched(root, lot):
    _distort(root, f"scale({lot.choice([0.95, 1.03]):g} 1)")


def skewed(root, lot):
    _distort(root, f"skewX({lot.choice([1, -1, 4, 0.2]):g})")


def document_scaled(root, lot):
    box = [float(x) for x in root.get("viewBox").split()]
    factor = lot.choice([0.95, 1.05])
    root.set("viewBox", " ".join(repr(x / factor) for x in box))


SIZES = [scaled, stretched, skewed, document_scaled]


def mirrored_over(root, lot):
    """Object > Flip Horizontal: front and back change places."""
    _distort(root, "scale(-1 1)")


def angle(degrees: float) -> float:
    return math.radians(degrees)

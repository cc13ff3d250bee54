"""What people do to a drafted sleeve in an editor, as functions on its document.

Each takes the root of a document with one sleeve and changes it; none uses the project's own geometry.
Coordinates are millimetres of the sleeve's layer: the top edge at y = 0, the front at x > 0.
"""
from __future__ import annotations

import copy
import math

import inkex
import numpy as np
from lxml import etree

OWN = "{urn:x-tiered-sleeve}"
SVG = "{http://www.w3.org/2000/svg}"
LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"


def parts(root, part):
    return [e for e in root.iter() if e.get(f"{OWN}part") == part]


def part(root, name):
    (found,) = parts(root, name)
    return found


def tier(root, number):
    return next(e for e in parts(root, "tier line") if float(e.get(f"{OWN}number")) == number)


def cubics(element) -> np.ndarray:
    """The closed Seam line as cubics (n, 4, 2); it is drawn with M, L, C and Z."""
    segments, here, begin = [], None, None
    for command in inkex.Path(element.get("d")):
        args = np.array(command.args, dtype=float).reshape(-1, 2)
        if command.letter == "M":
            here = begin = args[0]
        elif command.letter == "C":
            segments.append([here, *args])
            here = args[-1]
        else:
            there = begin if command.letter == "Z" else args[0]
            if np.abs(there - here).max() > 1e-9:
                segments.append([here, here + (there - here) / 3, there - (there - here) / 3, there])
            here = there
    return np.array(segments)


def write(element, segments, close=True):
    words = ["M {:.6f} {:.6f}".format(*segments[0][0])]
    words += ["C " + " ".join(f"{x:.6f}" for x in np.ravel(s[1:])) for s in segments]
    element.set("d", " ".join(words) + (" Z" if close else ""))


def halves(segment, u=0.5):
    a = segment[:-1] + u * (segment[1:] - segment[:-1])
    b = a[:-1] + u * (a[1:] - a[:-1])
    c = b[0] + u * (b[1] - b[0])
    return np.array([segment[0], a[0], b[0], c]), np.array([c, b[1], a[2], segment[3]])


# --- nodes and segments -------------------------------------------------------------------------------


def nothing(root):
    pass


def add_nodes(root, rounds=2):
    seam = part(root, "seam line")
    segments = cubics(seam)
    for _ in range(rounds):
        segments = np.array([piece for segment in segments for piece in halves(segment)])
    write(seam, segments)


def drag(root, where, by, only_handles=False):
    """Move the node nearest to ``where`` with its handles."""
    seam = part(root, "seam line")
    s = cubics(seam)
    nodes = s[:, 0]
    i = int(np.argmin(np.hypot(*(nodes - where).T)))
    if not only_handles:
        s[i, 0] += by
        s[i - 1, 3] += by
    s[i, 1] += by
    s[i - 1, 2] += by
    write(seam, s)


def bulge_front(root):
    """The front underarm seam let out by 15 mm in the middle."""
    drag(root, (161.9, 317.5), (15, 4))


def shorten_back(root):
    drag(root, (-133.35, 476.25), (0, -8))


def slant_hem(root):
    drag(root, (-133.35, 476.25), (-3, -12))
    drag(root, (133.35, 476.25), (6, 9))


def lower_the_underarm(root):
    drag(root, (205.3167, 102.6583), (-6, 14))
    drag(root, (-205.3167, 102.6583), (6, 14))


def raise_the_top_edge(root):
    drag(root, (-100.0125, 0), (2, -11))
    drag(root, (100.0125, 0), (-2, -11))


def bend_the_top_edge(root):
    seam = part(root, "seam line")
    s = cubics(seam)
    i = int(np.argmin(np.hypot(*(s[:, 0] - (-100.0125, 0)).T) + np.hypot(*(s[:, 3] - (100.0125, 0)).T)))
    s[i, 1:3, 1] -= 9
    write(seam, s)


def delete_a_smooth_node(root):
    """Delete the front node at the elbow: its neighbours' outer handles stay and are made longer."""
    seam = part(root, "seam line")
    s = cubics(seam)
    i = int(np.argmin(np.hypot(*(s[:, 0] - (161.925, 317.5)).T)))
    before, after = s[i - 1], s[i]
    joined = np.array([before[0], before[0] + 2 * (before[1] - before[0]), after[3] + 2 * (after[2] - after[3]), after[3]])
    write(seam, np.concatenate([s[: i - 1], [joined], s[i + 1 :]]))


def smooth_the_seam(root):
    """Turn the handles of the front elbow node into line, and make them longer."""
    seam = part(root, "seam line")
    s = cubics(seam)
    i = int(np.argmin(np.hypot(*(s[:, 0] - (161.925, 317.5)).T)))
    along = np.array([-0.2, 1.0]) / math.hypot(0.2, 1)
    s[i, 1], s[i - 1, 2] = s[i, 0] + 30 * along, s[i, 0] - 25 * along
    write(seam, s)


def segments_to_lines(root):
    seam = part(root, "seam line")
    s = cubics(seam)
    seam.set("d", "M " + " L ".join("{:.5f} {:.5f}".format(*p) for p in s[:, 0]) + " Z")


def hem_to_a_curve(root):
    seam = part(root, "seam line")
    s = cubics(seam)
    i = int(np.argmin(np.hypot(*(s[:, 0] - (133.35, 476.25)).T)))
    s[i, 1:3, 1] += 6
    write(seam, s)


def reverse(root):
    seam = part(root, "seam line")
    write(seam, cubics(seam)[::-1, ::-1])


def start_elsewhere(root):
    seam = part(root, "seam line")
    write(seam, np.roll(cubics(seam), -4, axis=0))


def other_commands(root):
    """Horizontal, relative, smooth, quadratic and arc commands, as other programs write them."""
    part(root, "seam line").set(
        "d",
        "m -100.0125,0 h 200.025 Q 140,70 205.3167 102.6583 c -11.38,27.16 -17.22,54.33 -22.75,81.49"
        " S 169.3067 273.05 161.925 317.5 t -20 80 L 133.35 476.25 H -133.35 A 900 900 0 0 1 -161.925 317.5"
        " C -169.3067 273.05 -173.5014 228.6 -182.5625 184.15 A 400 400 0 0 0 -205.3167 102.6583 Q -140,70 -100.0125 0 z",
    )


def many_pieces_in_one_path(root):
    seam = part(root, "seam line")
    s = cubics(seam)
    s = np.roll(s, -3, axis=0)
    cuts = [s[:2], s[2:5], s[5:]]
    data = []
    for k, cut in enumerate(cuts):
        piece = cut.copy()
        piece[0, 0] += (0.003 * k, -0.001 * k)
        write(seam, piece[::-1, ::-1] if k == 1 else piece, close=False)
        data.append(seam.get("d"))
    seam.set("d", " ".join(data))


def many_paths(root):
    """Path > Break Apart, then the pieces in another order and direction."""
    seam = part(root, "seam line")
    s = cubics(seam)
    pieces = [s[:1], s[1:4], s[4:7], s[7:]]
    parent = seam.getparent()
    for k in (2, 0, 3):
        other = copy.deepcopy(seam)
        other.attrib.pop("id", None)
        write(other, pieces[k][::-1, ::-1] if k == 3 else pieces[k], close=False)
        parent.append(other)
    write(seam, pieces[1], close=False)


# --- moved, turned, grouped ---------------------------------------------------------------------------


def transformed(points, matrix):
    m = np.array(matrix)
    return points @ m[:, :2].T + m[:, 2]


def turn(degrees, about=(0.0, 0.0), shift=(0.0, 0.0)):
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    a = np.array([[c, -s], [s, c]])
    return np.column_stack([a, np.array(about) - a @ about + shift])


_MOVED = turn(0, shift=(35, -18))


def seam_moved_in_its_data(root, matrix=_MOVED):
    seam = part(root, "seam line")
    write(seam, transformed(cubics(seam), matrix))


def seam_turned_in_its_data(root):
    seam_moved_in_its_data(root, turn(23, about=(0, 200), shift=(9, 4)))


def seam_turned_by_its_transform(root):
    part(root, "seam line").set("transform", "translate(12 -7) rotate(-14.5 20 230)")


def everything_moved_one_by_one(root):
    """Select all in all layers, turn and move: every object gets a transform of its own."""
    for element in part(root, "sleeve").iter():
        if element.tag in (f"{SVG}path", f"{SVG}text"):
            element.set("transform", "translate(-60 15) rotate(10)")


def layer_moved_and_turned(root):
    layer = part(root, "sleeve")
    layer.set("transform", f"rotate(33) translate(40,-9) {layer.get('transform', '')}")


def layer_in_a_group(root):
    layer = part(root, "sleeve")
    group = etree.SubElement(layer.getparent(), f"{SVG}g", transform="translate(5 6) rotate(-90)")
    group.append(layer)


def seam_grouped(root):
    seam = part(root, "seam line")
    parent = seam.getparent()
    group = etree.SubElement(parent, f"{SVG}g", transform="scale(4) translate(1 2)")
    group.append(seam)
    write(seam, (cubics(seam) / 4) - (1, 2))


def ungrouped(root):
    """The sleeve's layer ungrouped, as the editor does it: its transform goes to its children."""
    layer = part(root, "sleeve")
    parent, transform = layer.getparent(), layer.get("transform", "")
    for child in list(layer):
        if child.tag == f"{SVG}g":
            child.set("transform", f"{transform} {child.get('transform', '')}".strip())
            parent.append(child)
    parent.remove(layer)


def ungrouped_twice(root):
    ungrouped(root)
    for group in [g for g in root if g.get(f"{OWN}part", "").endswith(" layer")]:
        for child in list(group):
            child.set("transform", f"{group.get('transform', '')} {child.get('transform', '')}".strip())
            root.append(child)
        root.remove(group)


def another_unit(root):
    """File > Document Properties: the viewBox in inches, what is drawn scaled along; its true size stays."""
    layer = part(root, "sleeve")
    root.set("viewBox", " ".join(repr(float(number) / 25.4) for number in root.get("viewBox").split()))
    layer.set("transform", f"scale({1 / 25.4!r}) {layer.get('transform', '')}")


# --- names, layers, what other programs leave -----------------------------------------------------------


def renamed(root):
    for i, element in enumerate(root.iter()):
        if element.get(LABEL):
            element.set(LABEL, f"mine {i}")
        if element.get(f"{OWN}part"):
            element.set("id", f"x{i}")


def hidden_and_locked(root):
    for element in parts(root, "tier layer") + parts(root, "seam layer") + parts(root, "tier lengths layer"):
        element.set("style", "display:none")
        element.set("{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}insensitive", "true")


def marks_of_lines_lost(root):
    """Our own marks gone from the lines, labels kept."""
    for element in parts(root, "seam line") + parts(root, "tier line") + parts(root, "grain line") + parts(root, "cutting line"):
        for name in [n for n in element.attrib if n.startswith(OWN)]:
            del element.attrib[name]


def names_lost(root):
    """Saved as plain SVG: labels and layers are gone, our own marks stay."""
    for element in root.iter():
        for name in [n for n in element.attrib if "inkscape" in n or "sodipodi" in n]:
            del element.attrib[name]


def recoloured(root):
    tier(root, 3).set("style", "fill:none;stroke:#00ff00;stroke-width:2")


def a_clone_beside(root):
    seam = part(root, "seam line")
    seam.set("id", "theseam")
    use = etree.SubElement(seam.getparent(), f"{SVG}use", transform="translate(600 0)")
    use.set("{http://www.w3.org/1999/xlink}href", "#theseam")


# --- tier lines ---------------------------------------------------------------------------------------


def tier_moved(root):
    tier(root, 4).set("transform", "translate(0 13)")


def tier_tilted(root):
    tier(root, 5).set("d", "M -140 330 L 150 309")


def tier_bent(root):
    tier(root, 3).set("d", "M -160 150 C -60 190 70 190 170 150")


def tier_bent_backwards(root):
    tier(root, 3).set("d", "M 170 150 C 70 190 -60 190 -160 150")


def tier_deleted(root):
    line = tier(root, 2)
    line.getparent().remove(line)


def tier_duplicated(root):
    line = tier(root, 3)
    other = copy.deepcopy(line)
    other.set("transform", "translate(0 41)")
    line.getparent().append(other)


def tiers_layer_moved(root):
    part(root, "tier layer").set("transform", "translate(0 6)")


#: Edits that change nothing of the sleeve's true shape or size: where its corners are stays the same.
HARMLESS = [
    nothing, add_nodes, reverse, start_elsewhere, seam_moved_in_its_data, seam_turned_in_its_data,
    seam_turned_by_its_transform, everything_moved_one_by_one, layer_moved_and_turned, layer_in_a_group, seam_grouped,
    ungrouped, ungrouped_twice, another_unit, renamed, hidden_and_locked, marks_of_lines_lost, names_lost, recoloured,
    a_clone_beside, tier_moved, tier_tilted, tier_bent, tier_bent_backwards, tier_deleted, tier_duplicated, tiers_layer_moved,
    many_paths, many_pieces_in_one_path,
]  # fmt: skip

#: Edits that change the Seam line itself.
RESHAPING = [
    bulge_front, shorten_back, slant_hem, lower_the_underarm, raise_the_top_edge, bend_the_top_edge, delete_a_smooth_node,
    smooth_the_seam, segments_to_lines, hem_to_a_curve, other_commands,
]  # fmt: skip
